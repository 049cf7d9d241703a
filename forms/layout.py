"""Where everything stands on a printed form, and its layout file (JSON)."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from forms.errors import FormsError
from forms.field import Box, Choice, Digits, Expectation, Field, Note, Option, Scale, Tick
from forms.soundness import fault_of

LAYOUT_VERSION = 1
KINDS = frozenset({"tick", "choice", "scale", "digits", "note"})


class LayoutUnreadable(FormsError):
    """A layout file that is not one, or is damaged."""

    def __init__(self, source: str, found: str):
        self.source, self.found = source, found
        super().__init__(
            f"{source} is not a layout file that can be used: {found}. "
            "Use the file that was written beside the form when it was printed."
        )


@dataclass(frozen=True)
class Code:
    """The QR code of a page: its text and where its modules stand, quiet zone excluded [mm]."""

    text: str
    box: Box


@dataclass(frozen=True)
class Mark:
    """One fiducial: dictionary, id, top left corner of its black square and side [mm]."""

    dictionary: str
    id: int
    corner: tuple[float, float]
    size: float


@dataclass(frozen=True)
class Page:
    """One printed page."""

    page: int
    width: float
    height: float
    code: Code
    marks: tuple[Mark, ...]
    fields: tuple[Field, ...]


@dataclass(frozen=True)
class Layout:
    """A printed form: its number, its subject, its pages, and when it was printed if known."""

    form: str
    kind: str
    table: str
    pages: tuple[Page, ...]
    printed_on: date | None = None

    def page(self, number: int) -> Page | None:
        """Find a page by its number."""
        return next((page for page in self.pages if page.page == number), None)


def to_json(layout: Layout) -> dict[str, Any]:
    """Turn a layout into the object of its file."""
    printed = {} if layout.printed_on is None else {"printed_on": layout.printed_on.isoformat()}
    return {
        "layout": LAYOUT_VERSION,
        "form": layout.form,
        "kind": layout.kind,
        "table": layout.table,
        **printed,
        "pages": [_page_json(page) for page in layout.pages],
    }


def from_json(data: Any, source: str = "The layout") -> Layout:
    """Read the object of a layout file; unknown keys are ignored.

    Raises
    ------
    LayoutUnreadable
        A key is missing, a value is not of its kind, or a field leans on none.
    """
    try:
        if data["layout"] != LAYOUT_VERSION:
            raise LayoutUnreadable(source, f"its version is {data['layout']}, not {LAYOUT_VERSION}")
        strange = sorted(_kinds(data) - KINDS)
        if strange:
            raise LayoutUnreadable(source, f"it holds a field of the unknown kind “{strange[0]}”")
        pages = tuple(_page(page) for page in data["pages"])
        fault = fault_of(pages)
        if fault is not None:
            raise LayoutUnreadable(source, fault)
        printed = data.get("printed_on")
        printed_on = None if printed is None else date.fromisoformat(printed)
        return Layout(str(data["form"]), str(data["kind"]), str(data["table"]), pages, printed_on)
    except KeyError as error:
        raise LayoutUnreadable(source, f"“{error.args[0]}” is missing") from error
    except (TypeError, ValueError, IndexError, AttributeError) as error:
        raise LayoutUnreadable(source, "a value in it is not of its kind") from error


def loads(text: str | bytes, source: str = "The layout") -> Layout:
    """Read a layout file's text."""
    try:
        data = json.loads(text)
    except ValueError as error:
        raise LayoutUnreadable(source, "it is not JSON") from error
    return from_json(data, source)


def dumps(layout: Layout) -> str:
    """Write a layout file's text."""
    return json.dumps(to_json(layout), indent=1, ensure_ascii=False) + "\n"


def _kinds(data: Any) -> set[str]:
    return {str(field["kind"]) for page in data["pages"] for field in page["fields"]}


def _box(values: Any) -> Box:
    x, y, width, height = (float(value) for value in values)
    return Box(x, y, width, height)


def _numbers(box: Box) -> list[float]:
    return [round(value, 3) for value in box]


def _page_json(page: Page) -> dict[str, Any]:
    return {
        "page": page.page,
        "width_mm": page.width,
        "height_mm": page.height,
        "code": {"text": page.code.text, "box_mm": _numbers(page.code.box)},
        "marks": [
            {
                "dictionary": mark.dictionary,
                "id": mark.id,
                "corner_mm": [round(value, 3) for value in mark.corner],
                "size_mm": mark.size,
            }
            for mark in page.marks
        ],
        "fields": [_field_json(field) for field in page.fields],
    }


def _page(data: Mapping[str, Any]) -> Page:
    code = Code(str(data["code"]["text"]), _box(data["code"]["box_mm"]))
    marks = tuple(
        Mark(
            str(mark["dictionary"]),
            int(mark["id"]),
            (float(mark["corner_mm"][0]), float(mark["corner_mm"][1])),
            float(mark["size_mm"]),
        )
        for mark in data["marks"]
    )
    fields = tuple(_field(field) for field in data["fields"])
    return Page(
        int(data["page"]), float(data["width_mm"]), float(data["height_mm"]), code, marks, fields
    )


def _option_json(option: Option) -> dict[str, Any]:
    data: dict[str, Any] = {"value": option.value, "box_mm": _numbers(option.box)}
    further = {"bound": option.bound, "asks": option.asks}
    return data | {key: value for key, value in further.items() if value}


def _option(data: Mapping[str, Any]) -> Option:
    bound, asks = bool(data.get("bound", False)), str(data.get("asks", ""))
    return Option(data["value"], _box(data["box_mm"]), bound, asks)


def _expect_json(expect: Expectation | None) -> dict[str, Any]:
    return {} if expect is None else {"expect": {"value": expect.value, "u": expect.u}}


def _expect(data: Mapping[str, Any]) -> Expectation | None:
    found = data.get("expect")
    return None if found is None else Expectation(float(found["value"]), float(found["u"]))


def _field_json(field: Field) -> dict[str, Any]:
    head = {"id": field.id, "kind": type(field).__name__.lower(), "label": field.label}
    match field:
        case Tick() | Note():
            return head | {"box_mm": _numbers(field.box)}
        case Choice():
            return head | {"options": [_option_json(option) for option in field.options]}
        case Scale():
            options = [_option_json(option) for option in field.options]
            return head | {"unit": field.unit, "options": options} | _expect_json(field.expect)
        case Digits():
            return head | _digits_json(field)


def _digits_json(field: Digits) -> dict[str, Any]:
    data: dict[str, Any] = {
        "unit": field.unit,
        "decimals": field.decimals,
        "low": field.low,
        "high": field.high,
        "boxes_mm": [_numbers(box) for box in field.boxes],
    }
    optional = {"sign": field.sign, "witness": field.witness, "sum_of": list(field.sum_of)}
    return (
        data | {key: value for key, value in optional.items() if value} | _expect_json(field.expect)
    )


def _field(data: Mapping[str, Any]) -> Field:
    id_, label = str(data["id"]), str(data["label"])
    match data["kind"]:
        case "tick":
            return Tick(id_, label, _box(data["box_mm"]))
        case "note":
            return Note(id_, label, _box(data["box_mm"]))
        case "choice":
            return Choice(id_, label, tuple(_option(option) for option in data["options"]))
        case "scale":
            options = tuple(_option(option) for option in data["options"])
            return Scale(id_, label, str(data["unit"]), options, _expect(data))
        case _:
            return _digits(id_, label, data)


def _digits(id_: str, label: str, data: Mapping[str, Any]) -> Digits:
    return Digits(
        id_,
        label,
        str(data["unit"]),
        tuple(_box(box) for box in data["boxes_mm"]),
        int(data["decimals"]),
        float(data["low"]),
        float(data["high"]),
        data.get("sign"),
        data.get("witness"),
        tuple(data.get("sum_of", ())),
        _expect(data),
    )
