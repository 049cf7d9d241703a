"""What holds for every number."""

from random import Random

from hypothesis import assume, given
from hypothesis import strategies as st

from forms.numbers import BASE32, KINDS, CareToken, FormNumber, NumberUnusable, TableNumber

CHECKED = st.sampled_from([TableNumber, FormNumber])
SEEDS = st.integers(0, 2**32)


def refused(kind: type, text: str) -> bool:
    try:
        kind.parse(text)
    except NumberUnusable:
        return True
    return False


@given(st.sampled_from(KINDS), SEEDS)
def test_every_number_reads_back_as_printed_in_lower_case(kind: type, seed: int) -> None:
    number = kind.new(Random(seed).getrandbits)

    assert kind.parse(str(number).lower()) == number


@given(CHECKED, SEEDS, st.data())
def test_every_wrong_symbol_is_caught(kind: type, seed: int, data: st.DataObject) -> None:
    code = kind.new(Random(seed).getrandbits).code
    index = data.draw(st.integers(0, len(code) - 1))
    symbol = data.draw(st.sampled_from(kind.SYMBOLS))
    assume(symbol != code[index])

    assert refused(kind, code[:index] + symbol + code[index + 1 :])


@given(CHECKED, SEEDS, st.data())
def test_every_swap_of_neighbours_is_caught(kind: type, seed: int, data: st.DataObject) -> None:
    code = kind.new(Random(seed).getrandbits).code
    index = data.draw(st.integers(0, len(code) - 2))
    assume(code[index] != code[index + 1])
    swapped = code[:index] + code[index + 1] + code[index] + code[index + 2 :]

    assert refused(kind, swapped)


@given(st.sampled_from(KINDS), st.sampled_from(KINDS), SEEDS)
def test_no_number_is_taken_for_another_kind(kind: type, other: type, seed: int) -> None:
    assume(kind is not other)

    assert refused(other, str(kind.new(Random(seed).getrandbits)))


@given(st.text(max_size=30))
def test_any_text_is_either_read_or_refused_with_a_message(text: str) -> None:
    for kind in KINDS:
        assert refused(kind, text) or kind.parse(text)


@given(st.text(BASE32, min_size=16, max_size=16))
def test_any_sixteen_symbols_are_a_care_token(text: str) -> None:
    assert CareToken.parse(text).code == text
