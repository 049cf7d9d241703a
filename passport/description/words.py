"""A table as it was understood, in words, with what was assumed marked so."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby
from textwrap import fill

from passport.description.months import month_name
from passport.quantity_text import (
    FINE,
    Units,
    decimal_text,
    length_both,
    slope_text,
)
from passport.table import (
    Board,
    Bracket,
    Kit,
    Leg,
    Own,
    Reads,
    RiseBy,
    Role,
    Room,
    Table,
    Target,
    Thread,
    Ways,
)

UNKNOWN = "unknown"
MICRO = Fraction(1, 10**6)


@dataclass(frozen=True)
class Line:
    """One value: its key in the description, what it belongs to, its name, and if assumed."""

    key: str
    part: str
    label: str
    value: str
    assumed: bool


def describe(table: Table) -> str:
    """Describe the table as it was understood, a paragraph for each part, for the screen.

    Every value that common practice filled in is followed by "assumed".
    """
    parts = groupby(description_lines(table), key=lambda line: line.part)
    return "\n".join(_paragraph(part, list(lines)) for part, lines in parts)


def description_lines(table: Table) -> tuple[Line, ...]:
    """Describe the table as it was understood, one line for each value, both systems of units."""
    units, assumed = Units(table.units), frozenset(table.assumed)
    rows = [
        *_head(table),
        *_board(table.board, units),
        *(row for number, leg in enumerate(table.legs, 1) for row in _leg(number, leg, units)),
        *(row for number, b in enumerate(table.brackets, 1) for row in _bracket(number, b, units)),
        *_targets(table, units),
        *_kit(table.kit, units),
        *_room(table.room),
    ]
    return tuple(Line(*row, assumed=_is_assumed(row, assumed)) for row in rows)


Row = tuple[str, str, str, str]  # key, part, label, value


def _is_assumed(row: Row, assumed: frozenset[str]) -> bool:
    """Whether the key was assumed, or all legs or brackets were; what is unknown never is."""
    key, _, _, value = row
    return value != UNKNOWN and (key in assumed or key.partition(".")[0] in assumed)


def _paragraph(part: str, lines: Sequence[Line]) -> str:
    values = [f"{line.label} {line.value}{', assumed' if line.assumed else ''}" for line in lines]
    text = f"{part}: {'; '.join(values)}."
    return fill(text, 100, subsequent_indent="    ", break_on_hyphens=False)


def _head(table: Table) -> Iterator[Row]:
    part = "Table"
    yield "name", part, "name", table.name
    yield "site", part, "site", table.site
    if table.build:
        yield "build", part, "build", table.build
    yield "units", part, "units", table.units
    yield "nuts_by", part, "nuts turned by", table.nuts_by.value
    if table.office_phone:
        yield "office.phone", part, "office telephone", table.office_phone


def _board(board: Board, units: Units) -> Iterator[Row]:
    yield "board.length", "Board", "length", length_both(board.length_mm, units)
    yield "board.width", "Board", "width", length_both(board.width_mm, units)
    yield "board.thickness", "Board", "thickness", length_both(board.thickness_mm, units)
    yield "board.wood", "Board", "wood", board.wood


def _leg(number: int, leg: Leg, units: Units) -> Iterator[Row]:
    key, part = f"legs.{number}", f"Leg {leg.name}"
    yield f"{key}.at", part, "from end A", length_both(leg.x_mm, units)
    yield f"{key}.role", part, "role", leg.role.value
    yield f"{key}.foot_spacing", part, "feet apart", length_both(leg.foot_spacing_mm, units)
    yield f"{key}.foot_type", part, "foot", leg.foot_type.value
    yield from _thread(key, part, leg.thread, units)
    left = leg.thread_left_mm
    shown = UNKNOWN if left is None else length_both(left, units)
    yield f"{key}.thread_left", part, "thread left in the leg", shown


def _bracket(number: int, bracket: Bracket, units: Units) -> Iterator[Row]:
    key, part = f"brackets.{number}", f"Bracket {bracket.name}"
    yield f"{key}.at", part, "from end A", length_both(bracket.x_mm, units)
    yield from _thread(key, part, bracket.thread, units)
    side = bracket.working_side
    yield f"{key}.working_side", part, "working side", side.value if side else UNKNOWN


def _thread(key: str, part: str, thread: Thread | None, units: Units) -> Iterator[Row]:
    if thread is None:
        yield f"{key}.thread", part, "thread", UNKNOWN
        return
    yield f"{key}.thread", part, "thread", thread.designation
    yield f"{key}.thread.pitch", part, "one turn", length_both(thread.pitch_mm, units, FINE)
    yield f"{key}.hand", part, "hand", thread.hand.value


def _targets(table: Table, units: Units) -> Iterator[Row]:
    part, targets = "Targets", table.targets
    yield from _target("hollow", targets.hollow_mm, units)
    cross = targets.cross_mm_per_m
    yield "targets.cross", part, "cross slope", _slope_both(cross.value, units)
    tolerance = _slope_both(cross.tolerance, units)
    yield "targets.cross_tolerance", part, "within ±", tolerance
    if targets.rise_mm is None:
        yield "targets.rise", part, "rise of the ends", f"none, {_no_rise(table)}"
    else:
        yield from _target("rise", targets.rise_mm, units)


def _no_rise(table: Table) -> str:
    """Why the ends of this table aren't raised by feet."""
    if all(leg.role is not Role.CENTRE for leg in table.legs):
        return "for want of a centre leg"
    if any(leg.thread is None for leg in table.legs if leg.role is Role.END):
        return "while the thread of the end legs' feet is unknown"
    return "for a quarter turn would all but float this board off its centre leg"


def _target(key: str, target: Target, units: Units) -> Iterator[Row]:
    label = {"hollow": "hollow", "rise": "rise of the ends"}[key]
    yield f"targets.{key}", "Targets", label, length_both(target.value, units, FINE)
    tolerance = length_both(target.tolerance, units, FINE)
    yield f"targets.{key}_tolerance", "Targets", "within ±", tolerance


def _kit(kit: Kit, units: Units) -> Iterator[Row]:
    yield "kit.name", "Kit", "name", kit.name
    yield "kit.level_length", "Kit", "level", length_both(kit.level_length_mm, units)
    yield "kit.bearing_length", "Kit", "bearing over", length_both(kit.bearing_length_mm, units)
    if kit.sensitivity_mm_per_m is not None:
        tilt = _slope_both(kit.sensitivity_mm_per_m, units)
        yield "kit.sensitivity", "Kit", "one division", tilt
    if kit.display_step_deg is not None:
        step = f"{decimal_text(Fraction(kit.display_step_deg), MICRO)}°"
        yield "kit.display_step", "Kit", "display step", step
    if kit.cross_by is not Reads.CARDS:
        yield "kit.cross_by", "Kit", "cross level read by", kit.cross_by.value
    if kit.cross_read is not Ways.ONE:
        yield "kit.cross_read", "Kit", "cross level read", kit.cross_read.value
    yield "kit.card", "Kit", "card", length_both(kit.card_mm, units, FINE)
    uncertainty = length_both(kit.card_u_mm, units, FINE)
    yield "kit.card_uncertainty", "Kit", "its standard uncertainty", uncertainty
    if kit.feelers_mm:
        each = ", ".join(length_both(mm, units, FINE) for mm in kit.feelers_mm)
        yield "kit.feelers", "Kit", "hollow read by feelers", each
        u = length_both(kit.feeler_u_mm, units, FINE)
        yield "kit.feeler_uncertainty", "Kit", "standard uncertainty of each", u
    yield from _own_numbers(kit, units)
    yield from _rise_by(kit, units)


def _own_numbers(kit: Kit, units: Units) -> Iterator[Row]:
    """Say what the kit's check found, and when."""
    if kit.card_on:
        yield "kit.checked", "Kit", "card measured on", kit.card_on.isoformat()
    if kit.zero:
        yield "kit.level_zero", "Kit", "level's zero", _slope_both(kit.zero.value, units)
        u = _slope_both(kit.zero.u, units)
        yield "kit.level_zero_uncertainty", "Kit", f"its standard uncertainty{_on(kit.zero)}", u
    if kit.bow:
        bow, u = (length_both(mm, units, FINE) for mm in (kit.bow.value, kit.bow.u))
        yield "kit.edge_bow", "Kit", "bow of its edge", bow
        yield "kit.edge_bow_uncertainty", "Kit", f"its standard uncertainty{_on(kit.bow)}", u


def _rise_by(kit: Kit, units: Units) -> Iterator[Row]:
    """Say what the rise of the ends is read by, with each number's standard uncertainty."""
    if kit.rise_by is not RiseBy.LEVEL:
        yield "kit.rise_by", "Kit", "rise of the ends read by", kit.rise_by.value
    if kit.line:
        mass, pull, blocks = kit.line.mass_g_per_m, kit.line.pull_n, kit.line.block_mm
        yield "kit.line_mass", "Kit", "line", f"{mass.value:g} ± {mass.u:g} g/m"
        yield "kit.line_weight", "Kit", "pulled by", f"{pull.value:.4g} ± {pull.u:.2g} N"
        yield "kit.line_blocks", "Kit", "its blocks", length_both(blocks.value, units, FINE)
    if kit.laser:
        slope = kit.laser.slope_mm_per_m
        yield "kit.laser_slope", "Kit", "laser's slope", f"{slope.value:g} ± {slope.u:g} mm/m"
    gauge = kit.line or kit.laser
    if gauge:
        yield "kit.rise_step", "Kit", "read to", length_both(gauge.step_mm, units, FINE)
        u = length_both(gauge.read_u_mm, units, FINE)
        yield "kit.rise_uncertainty", "Kit", "one reading's standard uncertainty", u


def _on(own: Own) -> str:
    return f", checked on {own.on.isoformat()}," if own.on else ""


def _room(room: Room) -> Iterator[Row]:
    if room.heated is not None:
        yield "room.heated", "Room", "heated", "yes" if room.heated else "no"
    if room.dry_months:
        yield "room.dry_months", "Room", "dry months", _months(room.dry_months)
    if room.damp_months:
        yield "room.damp_months", "Room", "damp months", _months(room.damp_months)
    if room.visit_within_weeks is not None:
        weeks = f"{room.visit_within_weeks} weeks"
        yield "room.visit_within_weeks", "Room", "a visit at the latest after", weeks


def _months(numbers: Sequence[int]) -> str:
    return ", ".join(month_name(number) for number in numbers)


def _slope_both(mm_per_m: float, units: Units) -> str:
    return f"{slope_text(mm_per_m, units)} ({slope_text(mm_per_m, units.other)})"
