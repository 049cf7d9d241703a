"""The layout file."""

import json
from dataclasses import replace
from datetime import date

import pytest

from forms.field import Digits
from forms.layout import LayoutUnreadable, dumps, from_json, loads, to_json
from forms.place import Placed

EMPTY = {"layout": 1, "form": "F", "kind": "k", "table": "t", "pages": []}


def message(data: object) -> str:
    with pytest.raises(LayoutUnreadable) as caught:
        loads(json.dumps(data), "printed.json")
    return str(caught.value)


def test_a_printed_layout_reads_back_whole(sample_placed: Placed) -> None:
    assert loads(dumps(sample_placed.layout)) == sample_placed.layout


def test_the_file_holds_the_contract_s_keys(sample_placed: Placed) -> None:
    page = to_json(sample_placed.layout)["pages"][0]
    kinds = {field["kind"]: sorted(field) for field in page["fields"]}

    assert (sorted(page), kinds) == (
        ["code", "fields", "height_mm", "marks", "page", "width_mm"],
        {
            "scale": ["expect", "id", "kind", "label", "options", "unit"],
            "choice": ["id", "kind", "label", "options"],
            "digits": [
                *("boxes_mm", "decimals", "expect", "high", "id", "kind", "label", "low"),
                *("sign", "unit", "witness"),
            ],
            "tick": ["box_mm", "id", "kind", "label"],
            "note": ["box_mm", "id", "kind", "label"],
        },
    )


def test_an_end_that_means_or_more_is_marked(sample_placed: Placed) -> None:
    options = to_json(sample_placed.layout)["pages"][0]["fields"][0]["options"]

    assert [option.get("bound") for option in options] == [None] * 6 + [True]


def test_unknown_keys_are_ignored() -> None:
    assert from_json(EMPTY | {"colour": "blue"}) == from_json(EMPTY)


def test_a_page_is_found_by_its_number(sample_placed: Placed) -> None:
    layout = sample_placed.layout

    assert (layout.page(2), layout.page(9)) == (layout.pages[1], None)


def test_text_that_is_not_json_is_refused() -> None:
    with pytest.raises(LayoutUnreadable) as caught:
        loads("%PDF-1.7", "form.pdf")

    assert str(caught.value) == (
        "form.pdf is not a layout file that can be used: it is not JSON. "
        "Use the file that was written beside the form when it was printed."
    )


def test_another_version_is_named() -> None:
    assert message(EMPTY | {"layout": 2}) == (
        "printed.json is not a layout file that can be used: its version is 2, not 1. "
        "Use the file that was written beside the form when it was printed."
    )


def test_a_missing_key_is_named() -> None:
    data = {key: value for key, value in EMPTY.items() if key != "form"}

    assert message(data) == (
        "printed.json is not a layout file that can be used: “form” is missing. "
        "Use the file that was written beside the form when it was printed."
    )


def test_a_field_of_unknown_kind_is_named(sample_placed: Placed) -> None:
    data = to_json(sample_placed.layout)
    data["pages"][0]["fields"][0]["kind"] = "slider"

    assert message(data) == (
        "printed.json is not a layout file that can be used: it holds a field of the unknown kind "
        "“slider”. Use the file that was written beside the form when it was printed."
    )


@pytest.mark.parametrize("data", [[], 3, None, EMPTY | {"pages": [3]}, EMPTY | {"pages": None}])
def test_a_value_of_the_wrong_kind_is_said_so(data: object) -> None:
    assert message(data) == (
        "printed.json is not a layout file that can be used: a value in it is not of its kind. "
        "Use the file that was written beside the form when it was printed."
    )


def test_a_box_of_three_numbers_is_refused(sample_placed: Placed) -> None:
    data = to_json(sample_placed.layout)
    data["pages"][0]["code"]["box_mm"] = [1, 2, 3]

    assert "a value in it is not of its kind" in message(data)


def test_layout_says_when_it_was_printed(sample_placed):
    layout = replace(sample_placed.layout, printed_on=date(2026, 3, 2))

    assert loads(dumps(layout)).printed_on == date(2026, 3, 2)


def faulty(placed: Placed, field: str, **changes: object) -> str:
    """Say what is told of a printed layout of which one field is changed."""
    data = to_json(placed.layout)
    for page in data["pages"]:
        for found in page["fields"]:
            found.update(changes if found["id"] == field else {})
    return message(data)


def number_in(placed: Placed) -> str:
    fields = [field for page in placed.layout.pages for field in page.fields]
    return next(field.id for field in fields if isinstance(field, Digits))


USE = "Use the file that was written beside the form when it was printed."


@pytest.mark.parametrize("leans", [{"witness": "x"}, {"sign": "x"}, {"sum_of": ["x"]}])
def test_a_number_that_leans_on_no_field_is_refused(
    sample_placed: Placed, leans: dict[str, object]
) -> None:
    name = number_in(sample_placed)

    assert faulty(sample_placed, name, **leans) == (
        f"printed.json is not a layout file that can be used: its field “{name}” is held against "
        f"“x”, which is none of its fields. {USE}"
    )


def test_bounds_upside_down_are_refused(sample_placed: Placed) -> None:
    name = number_in(sample_placed)

    assert faulty(sample_placed, name, low=9, high=2) == (
        f"printed.json is not a layout file that can be used: its field “{name}” goes from 9 down "
        f"to 2. {USE}"
    )


@pytest.mark.parametrize("box", [[0, 0, 0, 5], [0, 0, 5, -1], [float("nan"), 0, 5, 5]])
def test_a_box_without_a_size_is_refused(sample_placed: Placed, box: list[float]) -> None:
    name = number_in(sample_placed)

    assert faulty(sample_placed, name, boxes_mm=[box]) == (
        f"printed.json is not a layout file that can be used: a box of its field “{name}” has no "
        f"size. {USE}"
    )
