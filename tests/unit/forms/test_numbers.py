"""The three kinds of number."""

from random import Random

import pytest

from forms.numbers import (
    KINDS,
    CareToken,
    CheckFails,
    FormNumber,
    OtherKind,
    TableNumber,
    WrongLength,
    WrongSymbol,
)

TABLE = TableNumber("401273481")
FORM = FormNumber("16JD000000M")
CARE = CareToken("7ZK2M04QX9RJ1B5T")


def test_a_table_number_is_printed_in_groups() -> None:
    assert str(TABLE) == "401 2734 81"


def test_a_form_number_is_printed_in_groups() -> None:
    assert str(FORM) == "16JD-0000-00M"


def test_a_care_token_is_printed_in_groups() -> None:
    assert str(CARE) == "7ZK2-M04Q-X9RJ-1B5T"


@pytest.mark.parametrize("typed", ["401273481", "401-2734-81", " 40 12 73 48 1 "])
def test_a_table_number_is_read_with_any_separators(typed: str) -> None:
    assert TableNumber.parse(typed) == TABLE


@pytest.mark.parametrize("typed", ["16jd000000m", "l6JD-OOOO-OOm", "I6JDooooOom"])
def test_a_form_number_is_read_with_look_alikes(typed: str) -> None:
    assert FormNumber.parse(typed) == FORM


def test_a_care_token_is_read_in_lower_case() -> None:
    assert CareToken.parse("7zk2 m04q x9rj ib5t") == CARE


@pytest.mark.parametrize("kind", KINDS)
def test_a_drawn_number_reads_back(kind: type) -> None:
    number = kind.new()

    assert kind.parse(str(number)) == number


@pytest.mark.parametrize("kind", KINDS)
def test_the_same_bits_draw_the_same_number(kind: type) -> None:
    first, second = (kind.new(Random(7).getrandbits) for _ in range(2))

    assert first == second


def test_a_table_number_never_starts_with_a_zero() -> None:
    bits = Random(3).getrandbits

    assert all(TableNumber.new(bits).code[0] != "0" for _ in range(500))


def test_a_draw_whose_check_has_no_data_symbol_is_not_issued() -> None:
    drawn = iter([36, 35, 32, 31])

    assert FormNumber.new(lambda _: next(drawn)).code == "000000000ZZ"


def test_a_care_token_holds_all_eighty_bits() -> None:
    asked: list[int] = []

    CareToken.new(lambda count: asked.append(count) or 2**80 - 1)

    assert asked == [80]


def test_numbers_of_two_kinds_are_never_equal() -> None:
    kinds = {type(number) for number in (TABLE, FORM, CARE)}

    assert len(kinds) == len({TABLE, FORM, CARE}) == 3


def test_a_care_token_does_not_show_itself_in_logs() -> None:
    assert repr(CARE) == "CareToken(7ZK2…)"


def test_a_short_number_says_how_many_symbols_are_missing() -> None:
    with pytest.raises(WrongLength) as caught:
        TableNumber.parse("401 2734")

    assert str(caught.value) == (
        "“401 2734” has 7 symbols; a table number has 9. Compare it with the paper and type all 9."
    )


def test_a_wrong_symbol_is_named() -> None:
    with pytest.raises(WrongSymbol) as caught:
        FormNumber.parse("16JD-0000-00U")

    assert str(caught.value) == (
        "“16JD-0000-00U” holds “U”, which no form number has: only digits and the letters A to Z "
        "without I, L, O, U. Compare that symbol with the paper and type it again."
    )


def test_a_failing_check_says_what_to_compare() -> None:
    with pytest.raises(CheckFails) as caught:
        TableNumber.parse("401 2743 81")

    assert str(caught.value) == (
        "“401 2743 81” can't be a table number: its check does not fit, so a symbol is wrong or "
        "two are swapped. Compare it with the paper, symbol by symbol."
    )


def test_a_number_of_another_kind_is_called_by_its_kind() -> None:
    with pytest.raises(OtherKind) as caught:
        TableNumber.parse("16jd-0000-00m")

    assert str(caught.value) == (
        "“16jd-0000-00m” is a form number; a table number is asked for. "
        "Type the table number from the paper."
    )


def test_a_care_token_typed_elsewhere_is_not_repeated() -> None:
    with pytest.raises(OtherKind) as caught:
        FormNumber.parse(str(CARE))

    assert str(caught.value) == (
        "“7ZK2…” is a care token; a form number is asked for. Type the form number from the paper."
    )


def test_a_number_can_not_be_made_of_anything_but_its_symbols() -> None:
    with pytest.raises(CheckFails):
        FormNumber("16JD0000004")
