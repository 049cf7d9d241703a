"""Everything out again: JSON for programs, CSV for people's spreadsheets.

Care tokens and other private texts are not in the chain, and so in no export of it.
"""

import csv
from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Any, TextIO

from passport.records.canonical import canonical, reading_json
from passport.records.form_state import FormRecord
from passport.records.store import Store
from scan.reading import Reading

EXPORT_VERSION = 1

# What makes a spreadsheet take a text for a formula (OWASP, "CSV Injection").
_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")

READING_COLUMNS = (
    "table", "form", "kind", "printed_on", "state", "field", "status", "value", "confidence", "why"
)  # fmt: skip
EVENT_COLUMNS = ("seq", "at", "kind", "subject", "body", "previous", "hash")

Cell = str | int | Decimal | float | bool | None


def export_json(store: Store, out: TextIO) -> None:
    """Write the chain and the readings of every form, one record a line.

    ``{"export": 1, "events": […], "forms": […]}``; with the events anyone can recompute the chain,
    whose head is the last one's hash.
    """
    out.write(f'{{"export":{EXPORT_VERSION},"events":[')
    _write_lines(out, store.chain())
    out.write('],\n"forms":[')
    _write_lines(out, (_form_json(form) for form in store.each_form()))
    out.write("]}\n")


def export_csv(store: Store, out: TextIO) -> None:
    """Write one line for each reading of each form (RFC 4180)."""
    rows = (row for form in store.each_form() for row in _reading_rows(form))
    _write_csv(out, READING_COLUMNS, rows)


def export_events_csv(store: Store, out: TextIO) -> None:
    """Write one line for each event; its body is JSON in one cell."""
    rows = ([_event_cell(event[name]) for name in EVENT_COLUMNS] for event in store.chain())
    _write_csv(out, EVENT_COLUMNS, rows)


def cell(value: Cell) -> str | int | Decimal | float:
    """Make a cell that a spreadsheet shows as it is: texts never start a formula.

    A number stays a number, negative or not.
    """
    match value:
        case None:
            return ""
        case bool():
            return "true" if value else "false"
        case str() if value.startswith(_FORMULA_STARTS):
            return f"'{value}"
        case _:
            return value


def _write_csv(out: TextIO, columns: Sequence[str], rows: Iterator[list[Cell]]) -> None:
    writer = csv.writer(out)
    writer.writerow(columns)
    writer.writerows([cell(value) for value in row] for row in rows)


def _write_lines(out: TextIO, records: Iterator[Any]) -> None:
    for place, record in enumerate(records):
        out.write(("," if place else "") + "\n" + canonical(record))


def _form_json(form: FormRecord) -> dict[str, Any]:
    return {
        "form": form.number,
        "kind": form.kind,
        "table": form.table,
        "printed_on": _date(form),
        "state": form.state.value,
        "missing": list(form.missing),
        "readings": {name: reading_json(one) for name, one in form.readings.items()},
    }


def _reading_rows(form: FormRecord) -> Iterator[list[Cell]]:
    for name, one in sorted(form.readings.items()):
        head = [form.table, form.number, form.kind, _date(form), form.state.value, name]
        yield [*head, *_reading_cells(one)]


def _reading_cells(one: Reading) -> list[Cell]:
    why = None if one.why is None else one.why.value
    return [one.status.value, one.value, one.confidence, why]


def _event_cell(value: Any) -> Cell:
    return canonical(value) if isinstance(value, dict) else value


def _date(form: FormRecord) -> str | None:
    return None if form.printed_on is None else form.printed_on.isoformat()
