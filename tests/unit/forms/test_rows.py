"""Texts of a row as one run."""

import pytest

from forms.form import Text
from forms.rows import rows, spaces
from forms.typeface import EM_UNITS, MEASURED_SPACES, MM_PER_PT, width_mm


def words(text: str) -> list[str]:
    return "".join(" " if letter in MEASURED_SPACES else letter for letter in text).split()


def space_units(text: str) -> int:
    return sum(MEASURED_SPACES.get(letter, 0) for letter in text)


def test_texts_of_a_row_become_one_run_from_left_to_right() -> None:
    joined = rows([Text(20, 3, "two"), Text(5, 3, "one"), Text(60, 3, "three", align="right")])

    assert [(text.x, text.y, words(text.text)) for text in joined] == [
        (5, 3, ["one", "two", "three"])
    ]


def test_the_spaces_are_as_wide_as_the_gap() -> None:
    (run,) = rows([Text(5, 3, "one"), Text(20, 3, "two")])
    gap_mm = space_units(run.text) * 8 * MM_PER_PT / EM_UNITS

    assert gap_mm == pytest.approx(15 - width_mm("one", 8), abs=0.002)


def test_rounding_does_not_add_up_along_a_row() -> None:
    texts = [Text(7.2111 * index, 0, "1") for index in range(20)]
    (run,) = rows(texts)
    reached = space_units(run.text) * 8 * MM_PER_PT / EM_UNITS + 19 * width_mm("1", 8)

    assert reached == pytest.approx(19 * 7.2111, abs=0.002)


@pytest.mark.parametrize(
    "other",
    [
        Text(20, 3.1, "two"),
        Text(20, 3, "two", 9),
        Text(20, 3, "two", bold=True),
        Text(20, 3, "two", grey=0.5),
        Text(5.5, 3, "two"),
        Text(20, 3, "two\nlines"),
    ],
    ids=["height", "size", "weight", "grey", "overlap", "lines"],
)
def test_what_does_not_belong_to_the_row_stays_apart(other: Text) -> None:
    assert rows([Text(5, 3, "one"), other]) == (Text(5, 3, "one"), other)


def test_a_row_is_read_where_its_first_text_stands() -> None:
    texts = [Text(5, 3, "a"), Text(5, 9, "b"), Text(50, 3, "c"), Text(5, 5, "d\ne")]

    assert [words(text.text) for text in rows(texts)] == [["a", "c"], ["b"], ["d", "e"]]


@pytest.mark.parametrize("units", [0, 2, 2046, 5000])
def test_spaces_add_up_to_what_was_asked_for(units: int) -> None:
    assert space_units(spaces(units)) == units
