"""The passport: what this table is, how it stands, what was done, how to look after it."""

from collections.abc import Mapping
from datetime import datetime

from forms.paper import Paper
from passport.documents import house, texts, wording
from passport.documents.codes import code_svg
from passport.documents.grid import grids
from passport.documents.log import log
from passport.drawing import draw
from passport.leveling.advice import Quantity
from passport.leveling.lookup import capped_rise
from passport.table import Role, Table, Target

CODE_SIDE_MM = 32.0
_DRAWING_MM = {Paper.A4: (174.0, 40.0), Paper.LETTER: (179.9, 40.0)}
ASSUMED_MARK = "*"
_COUNTS = {1: "one", 2: "two", 3: "three", 4: "four", 5: "five", 6: "six"}


def passport_pdf(story: house.Story, paper: Paper, printed: datetime) -> bytes:
    """Print a table's passport.

    Parameters
    ----------
    story : Story
        Table, visits, advice and the record's head; with ``former``, what changed is marked.
    paper : Paper
        Sheet size.
    printed : datetime
        The clock; the same story and clock give the same bytes.
    """
    return house.pdf(
        "passport.html",
        printed,
        paper=paper,
        title=f"Passport of table {story.table.number}",
        story=story,
        code=house.picture(code_svg(story.code, CODE_SIDE_MM)),
        drawing=house.picture(house.drawing_svg(draw(story.table, *_DRAWING_MM[paper]))),
        drawing_words=_drawing_words(story.table),
        identity=identity(story.table),
        grids=grids(story),
        log=log(story),
        next_changed=_next_changed(story),
        texts=texts,
    )


def identity(table: Table) -> tuple[tuple[str, str], ...]:
    """Say what the table is, as names and values; what was assumed carries a mark."""
    board, kit = table.board, table.kit
    size = " × ".join(
        wording.length(table, mm) for mm in (board.length_mm, board.width_mm, board.thickness_mm)
    )
    return (
        ("Board" + _mark(table, "board"), f"{size}, {board.wood}"),
        ("Legs" + _mark(table, "legs"), _legs(table)),
        ("Feet" + _mark(table, "legs"), _feet(table)),
        ("Brackets" + _mark(table, "brackets"), _brackets(table)),
        ("Hollow" + _mark(table, "targets.hollow"), _target(table, Quantity.HOLLOW)),
        ("Cross level" + _mark(table, "targets.cross"), _target(table, Quantity.CROSS)),
        ("Rise of the ends" + _mark(table, "targets.rise"), _target(table, Quantity.RISE)),
        ("Measured with" + _mark(table, "kit"), f"{kit.name}, cards of {kit.card_mm:.3f} mm"),
    )


def _mark(table: Table, key: str) -> str:
    """Mark what common practice filled in: the key itself, or a part of it."""
    hit = any(name == key or name.startswith(key + ".") for name in table.assumed)
    return f" {ASSUMED_MARK}" if hit else ""


def _legs(table: Table) -> str:
    counts = {role: sum(leg.role is role for leg in table.legs) for role in Role}
    said = tuple(
        f"{_COUNTS.get(count, str(count))} {role.value}" for role, count in counts.items() if count
    )
    return f"{len(table.legs)}: {wording.named(said)}"


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
    said = wording.signed(table, quantity, target.value)
    return f"{said}, ± {wording.number(table, quantity, target.tolerance)}"


def _drawing_words(table: Table) -> str:
    legs = [f"{leg.name} {wording.leg_place(table, leg)}" for leg in table.legs]
    brackets = [f"{b.name} bracket {wording.bracket_place(table, b)}" for b in table.brackets]
    stations = "; ".join(legs + brackets)
    return f"Drawing of the table from above, end A at the left, left side up. {stations}."


def _next_changed(story: house.Story) -> str | None:
    """Say when the next visit was due before, where that differs."""
    former = story.before.next_visit if story.before else None
    now = story.advice.next_visit
    return wording.month(former) if former and now and former != now else None
