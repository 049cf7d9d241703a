"""Brackets: hollow or crown found, turns of the inner nut with direction, after, locked.

Signs: a count is positive for a hollow, -n for "crown n"; a turn is positive where hollower.
"""

from collections.abc import Mapping
from dataclasses import replace

from forms.form import Block, Stroke
from passport.leveling.lookup import hollow_turns
from passport.quantity_text import FINE, Units, length_text
from passport.table import Bracket, Steps, Table
from passport.visit import BracketPass, Count, Doubt
from passport.visits.answers import Answers
from passport.visits.grid import LABEL, PITCH, TURNS_LEFT, choice, heads, tick
from passport.visits.ink import (
    BESIDE,
    SMALL,
    WIDTH,
    Ink,
    centred,
    ending,
    label,
    paragraph,
    section,
)
from passport.visits.service import ids
from passport.visits.service.feelers import FEELERS, feelers_scale, unit_words
from passport.visits.service.rows import Row, row_doubts, settled
from passport.visits.service.station import (
    FOOT_GAP,
    LINE,
    PASS_FOOT,
    WORDS_MM,
    Counts,
    counts_head,
    lookups_head,
    not_measured,
    ordinal,
    reading_row,
    ruled,
    small_name,
    station_name,
    two_way_turns,
    two_way_words,
    untouched_tick,
)
from passport.visits.service.words import hollow_words, nut_direction
from scan.reading import Value

VALUES = tuple(range(-2, 9))
BOUNDS = (-2, 8)
_WORDS = ("2+", "1", "0", "1", "2", "3", "4", "5", "6", "7", "8+")
MINUTES: dict[int | str, str] = {
    5: "under 5 min",
    15: "15 min",
    30: "30 min",
    60: "1 hour",
    240: "4 hours +",
}

HOW = (
    "Over each bracket, from end A to end B; measure right before turning. {measure} "
    "Turns: {steps} of the black inner nut, from where it bears. + HOLLOWER: lock the other "
    "plate’s nuts, free this outer nut, inner nut outward by the count. − FLATTER: inner nut "
    "back by the count, draw the plate in with the outer nut. Too far: back beyond, then "
    "forward. Lock with two spanners, then measure (*: and turn again)."
)
CARDS = (
    "HOLLOW: most cards that pass under the middle; 0 only if the level does not rock. CROWN: it "
    "rocks; equal cards under both ends at the board’s edges until it just stops and touches the "
    "middle."
)
UNDER = (
    "Under the table only when it stands on all its legs, frame joined, nobody leaning or "
    "playing: eye protection, light, mind the head. Nut stiff, rod bent or wood cracking: stop."
)
NARROW = "Level shorter than the board: look-ups allow for what it misses."


def counts(table: Table, bracket: Bracket) -> Counts:
    """Hollow counts at a bracket and what each asks for; of a kit with feelers, a box for each."""
    scale = Counts("card", VALUES, _WORDS, BOUNDS)
    if table.kit.feelers_mm:
        scale = feelers_scale(table)
    asked = (hollow_turns(table, bracket, Count(n, n in scale.bounds)) for n in scale.values)
    return replace(scale, lookups=tuple((hollow_words(one),) for one in asked))


def how(table: Table) -> str:
    """Say how a bracket is measured and turned, by what and in which steps."""
    by, measure = table.nuts_by, FEELERS if table.kit.feelers_mm else CARDS
    return HOW.format(measure=measure, steps="sixths (flats)" if by is Steps.SIXTHS else by.value)


def blocks(table: Table, beside: Mapping[str, str]) -> tuple[Block, ...]:
    """Head and one block a bracket; ``beside`` says which to look at first, and why."""
    stations = (_station(table, one, beside.get(one.name, "bracket")) for one in table.brackets)
    return (_head(table), *stations) if table.brackets else ()


def _head(table: Table) -> Block:
    head = section("Brackets", how(table), UNDER)
    y = head.height - 0.6
    ink = head.ink + minutes_row(ids.FIRST, y) + sides_words(y + PITCH, table)
    ink += not_measured(ids.BRACKETS_NOT_MEASURED, "Brackets not measured on this visit")
    if table.kit.level_length_mm < table.board.width_mm:
        ink += paragraph(0, 5.2 + PITCH, BESIDE - 1.5, NARROW).ink
    return ink.block("brackets head", y + PITCH + 3.0, keep_with_next=True)


def minutes_row(walk: int, row: float) -> Ink:
    """How long after turning "after" was taken: wood answers slowly."""
    words = label(0, row + 2.2, "“After” taken how long after turning", SMALL, bold=True)
    name = "“after” taken how long after turning"
    places = [(52.0 + index * 23.0, row) for index in range(len(MINUTES))]
    return words + choice(ids.minutes(walk), name, MINUTES, places)


def sides_words(y: float, table: Table) -> Ink:
    """Say over the columns what the halves of the scale and of the turns mean."""
    counted = unit_words(Units(table.units)) if table.kit.feelers_mm else "cards"
    by = table.nuts_by
    return (
        centred(LABEL + PITCH, y, "← CROWN", SMALL, bold=True)
        + centred(LABEL + 4.5 * PITCH, y, counted, SMALL, bold=True)
        + centred(LABEL + 8 * PITCH, y, "HOLLOW →", SMALL, bold=True)
        + centred(TURNS_LEFT + 5 * PITCH, y, f"{by.many}, inner nut", SMALL, bold=True)
    )


def _station(table: Table, bracket: Bracket, beside: str) -> Block:
    head = counts(table, bracket)
    row, name = head.head_mm, bracket.name
    height = row + 2 * PITCH + FOOT_GAP
    ink = (
        station_name(table, bracket, beside)
        + counts_head(head)
        + _rows(bracket, 1, row, head, table.nuts_by)
        + untouched_tick(ids.untouched(name), name, row)
        + _turns_head(bracket, row)
    )
    return ruled(ink, height).block(f"bracket {name}", height)


def _rows(bracket: Bracket, walk: int, row: float, head: Counts, by: Steps) -> Ink:
    name, second = bracket.name, ordinal(walk)
    return (
        reading_row(ids.found(walk, name), f"{name} found{second}", row, head, "found")
        + reading_row(ids.after(walk, name), f"{name} after{second}", row + PITCH, head, "after")
        + tick(ids.locked(walk, name), f"{name} locked{second}", 0, row + PITCH, "locked")
        + nut_turns(bracket, walk, row, by)
        + two_way_words(row, TURNS_LEFT, ("hollower", "flatter"))
    )


def nut_turns(bracket: Bracket, walk: int, row: float, by: Steps) -> Ink:
    """Draw the scale of the inner nut's turns: eight steps hollower, eight flatter."""
    name = f"{bracket.name} {by.many}{ordinal(walk)}"
    return two_way_turns(ids.turns(walk, bracket.name), name, row, TURNS_LEFT, by)


def _turns_head(bracket: Bracket, row: float) -> Ink:
    """Numbers over the turns, the picture of the working side, which way is outward."""
    y = row - 2 * LINE + 0.5
    return (
        heads([str(n) for n in range(1, 9)], TURNS_LEFT + PITCH, row - LINE - 0.5)
        + picture(bracket).moved(TURNS_LEFT + 1.0, y + 0.2)
        + ending(WIDTH - 1, y, nut_direction(bracket), SMALL)
    )


def picture(bracket: Bracket) -> Ink:
    """Two plates on a rod, four nuts, left plate at the left; the working nut black. 17 × 3 mm."""
    rod = Stroke("M0 1.5H16", 0.25)
    plates = Stroke("M3 0V3M13 0V3", 0.5)
    nuts = {"left": (1.4, 3.4), "right": (13.4, 11.4)}  # outer, inner
    worked = bracket.working_side
    strokes = tuple(
        Stroke(_nut(x), 0.2, fill=0.0 if side == worked and index == 1 else 1.0)
        for side, places in nuts.items()
        for index, x in enumerate(places)
    )
    letters = centred(-1.2, -0.1, "L", SMALL) + centred(17.2, -0.1, "R", SMALL)
    return Ink(strokes=(rod, *strokes, plates)) + letters


def _nut(x: float) -> str:
    return f"M{x} 0.6H{x + 1.2}V2.4H{x}Z"


def described(table: Table) -> str:
    """Say which hollow is aimed at, for the form's header."""
    units, target = Units(table.units), table.targets.hollow_mm
    value, part = (length_text(mm, units, FINE) for mm in (target.value, target.tolerance))
    return f"hollow {value} ± {part}"


def pass_blocks(table: Table, walk: int) -> tuple[Block, ...]:
    """Further pass over all brackets, on the head of the first; see ``legs.pass_blocks``."""
    shown, built = None, list[Block]()
    for bracket in table.brackets:
        head = counts(table, bracket)
        built.append(_again(table, bracket, walk, (head, shown)))
        shown = head
    return tuple(built)


def _again(
    table: Table, bracket: Bracket, walk: int, heads_: tuple[Counts, Counts | None]
) -> Block:
    (head, shown), by = heads_, table.nuts_by
    row = head.head_below(shown)
    height = row + 2 * PITCH + PASS_FOOT
    ink = small_name(bracket, row) + _rows(bracket, walk, row, head, by)
    if shown is None:
        words = sides_words(0, table) + counts_head(head).moved(0, WORDS_MM)
        ink += words + _turns_head(bracket, row)
    elif shown != head:
        ink += lookups_head(head)
    return ruled(ink, height).block(f"bracket {bracket.name}, pass {walk}", height)


def read(answers: Answers, table: Table, walk: int) -> tuple[dict[str, BracketPass], list[Doubt]]:
    """Read one pass over the brackets: those with an answer, and what contradicts itself."""
    passes, doubts = {}, []
    for bracket in table.brackets:
        row = _row(bracket.name, walk)
        found = row_doubts(answers, row)
        doubts += found
        made = _bracket_pass(answers, bracket.name, walk, settled(answers, row, found))
        if made != BracketPass():
            passes[bracket.name] = made
    return passes, doubts


def _row(name: str, walk: int) -> Row:
    turns = (ids.turns(walk, name),)
    untouched = ids.untouched(name) if walk == ids.FIRST else None
    return Row(ids.found(walk, name), turns, ids.after(walk, name), untouched)


def _bracket_pass(answers: Answers, name: str, walk: int, kept: Answers) -> BracketPass:
    turns = kept.number(ids.turns(walk, name))
    return BracketPass(
        kept.count(ids.found(walk, name)),
        turns,
        kept.count(ids.after(walk, name)),
        _locked(answers, ids.locked(walk, name), turned=bool(turns)),
        walk == ids.FIRST and kept.ticked(ids.untouched(name)),
    )


def _locked(answers: Answers, field: str, *, turned: bool) -> bool | None:
    if answers.ticked(field):
        return True
    return False if turned and answers.empty(field) else None


def minutes(answers: Answers, walk: int) -> int | None:
    """Read how long after turning "after" was taken [min]."""
    return answers.number(ids.minutes(walk))


def write(passes: Mapping[str, BracketPass], walk: int) -> dict[str, Value]:
    """Give the answers that read as these passes."""
    answers: dict[str, Value] = {}
    for name, one in passes.items():
        answers |= {
            ids.found(walk, name): one.found.cards if one.found else None,
            ids.turns(walk, name): one.turns,
            ids.after(walk, name): one.after.cards if one.after else None,
            ids.locked(walk, name): one.locked or None,
        }
        if walk == ids.FIRST:
            answers[ids.untouched(name)] = one.untouched or None
    return {field: value for field, value in answers.items() if value is not None}
