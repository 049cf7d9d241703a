"""Check digits of table numbers.

ISO/IEC 7064:2003, MOD 97-10 (pure system, two check digits). The expected values come from
python-stdnum, an independent library; its documentation gives 99991234567890121414 -> 90 and
4354111611551114 -> 31.
"""

from random import Random

import pytest
from stdnum.iso7064 import mod_97_10 as reference

from forms.numbers import TableNumber, mod_97_10


@pytest.mark.parametrize(("number", "check"), [(99991234567890121414, 90), (4354111611551114, 31)])
def test_check_digits_are_those_of_the_documented_examples(number: int, check: int) -> None:
    assert mod_97_10(number) == check


def test_check_digits_are_those_of_the_reference_library() -> None:
    numbers = [Random(1).randrange(10**7) for _ in range(2000)]

    assert [f"{mod_97_10(n):02d}" for n in numbers] == [
        reference.calc_check_digits(str(n)) for n in numbers
    ]


def test_drawn_table_numbers_are_valid_for_the_reference_library() -> None:
    bits = Random(5).getrandbits

    assert all(reference.is_valid(TableNumber.new(bits).code) for _ in range(500))
