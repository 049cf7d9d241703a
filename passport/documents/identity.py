"""What the table is, in a few lines, with what common practice filled in marked and named."""

import re
from collections.abc import Mapping
from itertools import groupby

from passport.description.words import Line, description_lines
from passport.documents import wording
from passport.leveling.advice import Quantity
from passport.leveling.lookup import capped_rise
from passport.quantity_text import FINE, Units, length_text
from passport.table import Board, Role, Table, Target

MARK = "*"
_COUNTS = {1: "one", 2: "two", 3: "three", 4: "four", 5: "five", 6: "six"}


def identity(table: Table) -> tuple[tuple[str, str], ...]:
    """Say what the table is, as names and values; what was assumed carries a mark."""
    kit = table.kit
    kit_words = f"{kit.name} (card {length_text(kit.card_mm, Units(table.units), FINE)})"
    rows = (
        ("Board", r"board\.", _board(table.board, Units(table.units))),
        ("Legs", r"legs\.\d+\.(at|role)", _legs(table)),
        ("Feet", r"legs\.\d+\.(foot|thread|hand)", _feet(table)),
        ("Brackets", r"brackets\.", _brackets(table)),
        ("Target hollow", r"targets\.hollow", _target(table, Quantity.HOLLOW)),
        ("Target cross level", r"targets\.cross", _target(table, Quantity.CROSS)),
        ("Target rise of ends", r"targets\.rise", _target(table, Quantity.RISE)),
        ("Measured with", r"kit\.", kit_words),
    )
    keys = [line.key for line in _assumed(table)]
    return tuple(
        (
            f"{name} {MARK}" if any(re.match(mark, key) for key in keys) else name,
            value,
        )
        for name, mark, value in rows
    )


def assumed_words(table: Table) -> str:
    """Name all that the table's description left out; nothing if it left out nothing."""
    wholes = [f"all {part}" for part in ("legs", "brackets") if part in table.assumed]
    lines = [line for line in _assumed(table) if line.key.partition(".")[0] not in table.assumed]
    by_label = groupby(sorted(lines, key=_label), key=_label)
    return ", ".join(wholes + [_of(label, list(same)) for label, same in by_label])


def _assumed(table: Table) -> list[Line]:
    return [line for line in description_lines(table) if line.assumed]


def _label(line: Line) -> str:
    """Name a value; a tolerance after what it is the tolerance of."""
    if line.key.endswith("_tolerance"):
        return line.key.removeprefix("targets.").removesuffix("_tolerance") + " tolerance"
    return line.label


def _of(label: str, lines: list[Line]) -> str:
    """Name a value and the legs or brackets that it is of."""
    stations = [line.part.split()[-1] for line in lines if line.key[:4] in ("legs", "brac")]
    return f"{label} of {wording.named(tuple(stations))}" if stations else label


def _board(board: Board, units: Units) -> str:
    sides = (board.length_mm, board.width_mm, board.thickness_mm)
    first, second = (
        " × ".join(length_text(side, system) for side in sides) for system in (units, units.other)
    )
    return f"{first} ({second}), {board.wood}"


def _legs(table: Table) -> str:
    counts = {role: sum(leg.role is role for leg in table.legs) for role in Role}
    said = tuple(
        f"{_COUNTS.get(count, str(count))} {role.value}" for role, count in counts.items() if count
    )
    return f"{wording.named(said)}, {len(table.legs)} in all"


def _feet(table: Table) -> str:
    kinds = dict.fromkeys(
        f"{wording.FEET[leg.foot_type]}, "
        f"{leg.thread.designation if leg.thread else 'thread not known'}, "
        f"{wording.length(table, leg.foot_spacing_mm)} apart"
        for leg in table.legs
    )
    return "; ".join(kinds)


def _brackets(table: Table) -> str:
    if not table.brackets:
        return "none"
    threads = dict.fromkeys(b.thread.designation for b in table.brackets if b.thread)
    return f"{len(table.brackets)}, {', '.join(threads) or 'thread not known'}"


def _target(table: Table, quantity: Quantity) -> str:
    targets: Mapping[Quantity, Target | None] = {
        Quantity.HOLLOW: table.targets.hollow_mm,
        Quantity.CROSS: table.targets.cross_mm_per_m,
        Quantity.RISE: capped_rise(table),
    }
    target = targets[quantity]
    if target is None:
        return "none: two legs have no rise by feet"
    sense = wording.signed(table, quantity, target.value).partition(" ")[2]
    value, around = (
        wording.asked(table, quantity, v, target.tolerance)
        for v in (target.value, target.tolerance)
    )
    return f"{value} ± {around} {sense}"
