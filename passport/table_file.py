"""A table's description in TOML becomes a table, or a list of all that is wrong with it.

Three keys can't be assumed: ``name``, ``site``, ``board.length``, and with them ``kit.card``,
which is measured. All else is filled in by common practice and listed in ``Table.assumed``.
"""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from passport.description.errors import (
    DescriptionUnusable,
    NotToml,
    RiseFloatsBoard,
    RiseWithoutCentre,
)
from passport.description.findings import Findings, in_mm
from passport.description.kit import Aims, read_aims, read_kit, read_room
from passport.description.parts import Plank, read_brackets, read_legs, read_plank
from passport.description.reach import reach_problems
from passport.description.section import Section
from passport.description.words import Line, describe, description_lines
from passport.leveling.supports import TRADE_RISE_MARGIN, carrying_rise_mm, trade_rise_mm
from passport.quantity import INCH_MM
from passport.quantity_text import FINE, Units, length_text
from passport.table import Role, Steps, Table, Target, Targets

__all__ = ["Line", "describe", "description_lines", "read_table", "table_number"]

TABLE_KEYS = (
    "number", "name", "site", "units", "board", "legs", "brackets", "nuts_by", "targets", "kit",
    "office", "room", "build",
)  # fmt: skip


def read_table(text: str, source: str, number: str) -> Table:
    """Read a description and fill in what it leaves out.

    Legs that are left out: five from 18 ft, three from 12 ft, two below; end legs a twelfth of
    the board's length from its ends, the others evenly between. Brackets: one for each 2 3/4 ft,
    three at least and eight at most, each in the middle of its share of the board. Both on whole
    inches, or centimetres. Threads are never assumed, but the coarse pitch of a named size and
    the right hand are.

    Parameters
    ----------
    text : str
        The file, TOML.
    source : str
        What messages call it: its name.
    number : str
        The table's number.

    Returns
    -------
    Table
        With ``assumed`` and ``written`` by the description's keys; legs and brackets from end A.

    Raises
    ------
    NotToml
        The file as a whole can't be read.
    DescriptionUnusable
        Any number of problems, each with key, value and cure.
    """
    document = _document(text, source)
    findings = Findings()
    table = _table(document, number, findings)
    if table is None or findings.problems:
        raise DescriptionUnusable(source, findings.problems)
    return table


def table_number(text: str, source: str) -> str | None:
    """Read the number that says which table a description updates; None if it has none.

    Raises
    ------
    NotToml
        The file as a whole can't be read.
    """
    number = _document(text, source).get("number")
    return number if isinstance(number, str) else None


@dataclass(frozen=True)
class _Texts:
    """What the head of a description says in plain words."""

    name: str | None
    site: str | None
    units: Units
    phone: str | None
    nuts_by: Steps
    build: str | None


def _document(text: str, source: str) -> Mapping[str, object]:
    """Read the file's values; numbers as decimals, never floats."""
    try:
        return tomllib.loads(text.removeprefix("\ufeff"), parse_float=Decimal)
    except tomllib.TOMLDecodeError as error:
        place = re.search(r"\((at [^()]*)\)$", str(error))
        raise NotToml(source, place[1] if place else "as a description") from error


def _table(document: Mapping[str, object], number: str, findings: Findings) -> Table | None:
    """Make the table, if nothing is wrong; problems, assumed and written go to the findings."""
    plank = read_plank(document, findings.problems)
    texts = _texts(document, plank, findings)
    legs = read_legs(document, plank, texts.units, findings)
    brackets = read_brackets(document, plank, texts.units, findings)
    aims = read_aims(document, findings.problems)
    kit_section, kit = read_kit(document, plank, findings.problems)
    room, board = read_room(document, findings.problems), plank.board()
    for section in (plank.section, aims.section, kit_section):
        findings.take(section, section.name)
    if findings.problems or not (texts.name and texts.site and board and kit):
        return None
    if aims.hollow is None or aims.cross is None:
        return None
    targets = Targets(aims.hollow, aims.cross, None)
    table = Table(number, texts.name, texts.site, board, legs, brackets, targets, kit)
    table = replace(
        table,
        units=texts.units.value,
        office_phone=texts.phone,
        room=room,
        nuts_by=texts.nuts_by,
        build=texts.build,
    )
    table = _with_rise(table, aims, findings)
    findings.problems += reach_problems(table, aims)
    return replace(table, assumed=tuple(findings.assumed), written=tuple(findings.written))


def _texts(document: Mapping[str, object], plank: Plank, findings: Findings) -> _Texts:
    """Name, site, units, telephone, steps of nuts; units as the board's length is, if not said."""
    top = Section("", document, TABLE_KEYS, findings.problems)
    top.needed("name", 'what the office calls the table, like "Hall table 1"')
    top.needed("site", 'where the table stands, like "Club house, ground floor"')
    top.text("number")
    office = Section("office", document.get("office", {}), ("phone",), findings.problems)
    units = top.choice("units", Units)
    if "units" not in document:
        top.assumed.append("units")
        metric = "m" in plank.section.found("length").lower()
        units = Units.METRIC if metric else Units.IMPERIAL
    nuts_by = top.choice("nuts_by", Steps) or Steps.QUARTERS
    if "nuts_by" not in document:
        top.assumed.append("nuts_by")
    findings.take(top, "")
    name, site, build = (top.text(key) for key in ("name", "site", "build"))
    phone = office.text("phone")
    return _Texts(name, site, units or Units.IMPERIAL, phone, nuts_by, build)


def _with_rise(table: Table, aims: Aims, findings: Findings) -> Table:
    """Give the table its rise target: as written and possible, else the trade's, else none."""
    centre = any(leg.role is Role.CENTRE for leg in table.legs)
    if not centre:
        _refuse_rise(aims)
        return table
    rise = _written_rise(table, aims) if aims.rise is not None else _usual_rise(table)
    if rise is None:
        return table
    _note_assumed(aims, findings)
    tolerance = rise.tolerance if aims.rise_tolerance is None else in_mm(aims.rise_tolerance)
    target = Target(rise.value, tolerance)
    return replace(table, targets=replace(table.targets, rise_mm=target))


def _refuse_rise(aims: Aims) -> None:
    for key in ("rise", "rise_tolerance"):
        if key in aims.section.written:
            path, found = aims.section.path(key), aims.section.found(key)
            aims.section.wrong(RiseWithoutCentre(path, found))


def _written_rise(table: Table, aims: Aims) -> Target:
    """As written, with the trade's tolerance; noted as a problem if the centre leg is to float."""
    value, most = in_mm(aims.rise or Fraction(0)), carrying_rise_mm(table)
    if most is not None and value > most:
        section, limit = aims.section, _rounded_down(most, Units(table.units))
        section.wrong(RiseFloatsBoard(section.path("rise"), section.found("rise"), limit))
    return Target(value, value * TRADE_RISE_MARGIN)


def _rounded_down(mm: float, units: Units) -> str:
    """Print a limit so that what is printed stays below it."""
    step = FINE.metric if units is Units.METRIC else FINE.imperial * INCH_MM
    return length_text(Fraction(mm) // step * step, units, FINE)


def _usual_rise(table: Table) -> Target | None:
    """Two turns a foot where the centre leg still carries; none where a quarter turn is more."""
    usual = trade_rise_mm(table)
    if usual is None or usual[0] < _quarter_turn_mm(table):
        return None
    return Target(*usual)


def _quarter_turn_mm(table: Table) -> float:
    """Lift of a quarter turn at the coarser of the end legs; 0 if their threads are unknown."""
    ends = [leg.thread for leg in table.legs if leg.role is Role.END and leg.thread]
    return max((thread.pitch_mm for thread in ends), default=0.0) / 4


def _note_assumed(aims: Aims, findings: Findings) -> None:
    for key in ("rise", "rise_tolerance"):
        if key not in aims.section.values:
            findings.assumed.append(f"targets.{key}")
