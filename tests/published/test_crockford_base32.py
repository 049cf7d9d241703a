"""Form numbers and care tokens.

D. Crockford, Base 32 (crockford.com/base32.html): alphabet, check value modulo 37, look-alikes.
Expected values: base32-crockford, an independent library.
"""

from random import Random

import base32_crockford as reference
import pytest

from forms.numbers import BASE32, CareToken, FormNumber, base32, mod_37, number_of

VECTORS = [
    (0, "00"),
    (42, "1A5"),
    (1234, "16JD"),
    (5111, "4ZQ5"),
    (10**9, "XSNJG01"),
    (123456789012, "3JZ9J6GMB"),
    (2**64 - 1, "FZZZZZZZZZZZZB"),
]


@pytest.mark.parametrize(("value", "written"), VECTORS)
def test_numbers_are_written_as_in_the_vectors(value: int, written: str) -> None:
    assert base32(value, len(written) - 1) + BASE32[mod_37(value)] == written


@pytest.mark.parametrize(("value", "written"), VECTORS)
def test_the_reference_library_gives_the_same_vectors(value: int, written: str) -> None:
    assert reference.encode(value, checksum=True) == written


def test_thirty_two_has_a_check_value_without_a_data_symbol() -> None:
    assert (mod_37(32), reference.encode(32, checksum=True)) == (32, "10*")


def test_drawn_form_numbers_are_valid_for_the_reference_library() -> None:
    bits = Random(4).getrandbits
    codes = [FormNumber.new(bits).code for _ in range(500)]

    assert [reference.decode(code, checksum=True) for code in codes] == [
        number_of(code[:-1]) for code in codes
    ]


def test_a_care_token_is_the_reference_library_s_number() -> None:
    token = CareToken.new(lambda _: 2**80 - 12345)

    assert reference.decode(token.code) == 2**80 - 12345


@pytest.mark.parametrize(("typed", "meant"), [("i", "1"), ("L", "1"), ("o", "0")])
def test_look_alikes_are_read_as_the_reference_library_does(typed: str, meant: str) -> None:
    assert reference.normalize(typed) == meant == FormNumber._bare(typed)
