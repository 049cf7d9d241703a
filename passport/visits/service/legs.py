"""Legs: cross level found, turns of both feet, cross level after; feet and jam nuts.

Signs: a count is positive when the RIGHT end is low; a turn is positive where the board goes up.
"""

from collections.abc import Mapping
from dataclasses import replace

from forms.form import Block
from passport.leveling.lookup import cross_turns
from passport.leveling.readings import box_deg
from passport.table import Kit, Leg, Reads, Role, Side, Table, Ways
from passport.visit import Count, Doubt, LegPass
from passport.visits.answers import Answers
from passport.visits.grid import (
    LABEL,
    PITCH,
    TURNS_LEFT,
    heads,
    tick,
)
from passport.visits.ink import (
    SMALL,
    WIDTH,
    Ink,
    centred,
    ending,
    label,
    section,
    together,
)
from passport.visits.service import ids
from passport.visits.service.both_ways import half_doubts, last_line, lines, reading_rows
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
    ruled,
    signed_turns,
    small_name,
    station_name,
    untouched_tick,
)
from passport.visits.service.words import cross_words, foot_direction, raisable
from scan.reading import Value

MOST = 5  # the box "more": five or more
SIDES = (Side.LEFT, Side.RIGHT)
HOW = (
    "Level crosswise in line with the leg, marked end LEFT{ways}; {taken}, do what stands under "
    "{under}: L↑2 = LEFT foot up two quarter turns (no number: until level, mark the quarters; *: "
    "4, then again). Never more than ONE quarter turn a foot at a time, alternating. Then mark "
    "“after”. No mark: not turned."
)
WAYS = {  # how often the level is laid down, and what is looked up
    Ways.ONE: ("", "it"),
    Ways.BOTH: (
        ", then TURNED ROUND there",
        "the MIDDLE of both (between two: nearer OK)",
    ),
}
TAKEN = {
    Reads.CARDS: "cards under its LOW end until {level}. Mark the count",
    Reads.DIVISIONS: "no cards: mark the whole divisions the bubble stands off, on its side",
    Reads.DISPLAY: "no cards: mark the box nearest to the degrees shown, on the LOW side",
}
HEADS = {  # over the left half, the middle, the right half of the scale
    Reads.CARDS: ("← LEFT is low", "cards", "RIGHT is low →"),
    Reads.DIVISIONS: ("← bubble at LEFT", "divisions", "bubble at RIGHT →"),
    Reads.DISPLAY: ("← LEFT is low", "degrees", "RIGHT is low →"),
}
UNDER = (
    "Under the table only when it stands on all its legs, frame joined, nobody leaning or "
    "playing: eye protection, light, mind the head. Raise a foot only while both feet of the leg "
    "bear, fingers out of the gap; jack only as its maker says. {thread} Aid or helper missing: "
    "stop."
)
SPENT = "Stop when the thread left in the leg is shorter than the stud is thick."
COUNTED = "Stop at the most quarters named beside “up”."


def counts(table: Table, leg: Leg) -> Counts:
    """Cross-level counts at a leg and what each asks for; nothing at a supporting leg."""
    plain = plain_counts(table.kit)
    if leg.role is Role.SUPPORTING:
        return plain
    asked = (Count(value, value in plain.bounds) for value in plain.values)
    words = tuple(cross_words(cross_turns(table, leg, count), count) for count in asked)
    return replace(plain, lookups=words)


def plain_counts(kit: Kit) -> Counts:
    """Give the boxes of a cross level without look-ups.

    A bubble goes to the HIGH side, so its columns run the other way: its left half means that the
    bubble stands at the left.
    """
    values = tuple(range(-MOST, MOST + 1))
    turned = values[::-1] if kit.cross_by is Reads.DIVISIONS else values
    words = tuple("more" if abs(value) == MOST else _box_words(kit, value) for value in values)
    unit = kit.cross_by.counted.removesuffix("es" if kit.cross_by is Reads.DISPLAY else "s")
    return Counts(unit, turned, words, (-MOST, MOST))


def _box_words(kit: Kit, value: int) -> str:
    if kit.cross_by is not Reads.DISPLAY or value == 0:
        return str(abs(value))
    return f"{abs(value) * box_deg(kit):.3f}".rstrip("0").lstrip("0")


def blocks(table: Table, beside: Mapping[str, str]) -> tuple[Block, ...]:
    """Head, and one block a leg that is turned; ``beside`` says which to look at first, and why."""
    stations = (_station(table, leg, beside.get(leg.name, "")) for leg in table.adjusted_legs())
    return (_head(table), *stations)


def _head(table: Table) -> Block:
    level = "it shows level" if table.kit.display_step_deg else "the bubble is centred"
    known = all(raisable(leg) is not None for leg in table.adjusted_legs())
    care = UNDER.format(thread=COUNTED if known else SPENT)
    taken = TAKEN[table.kit.cross_by].format(level=level)
    ways, under = WAYS[table.kit.cross_read]
    head = section("Legs", HOW.format(ways=ways, taken=taken, under=under), care)
    ink = head.ink + sides_words(table.kit.cross_by, head.height - 0.2)
    ink += not_measured(ids.LEGS_NOT_MEASURED, "Legs and rise not measured on this visit")
    return ink.block("legs head", head.height + 2.8, keep_with_next=True)


def sides_words(by: Reads, y: float) -> Ink:
    """Which half of the scale means which side, over the columns."""
    left, right = LABEL + 2.5 * PITCH, LABEL + 8.5 * PITCH
    turns = TURNS_LEFT + 4.5 * PITCH
    words = HEADS[by]
    return (
        centred(left, y, words[0], SMALL, bold=True)
        + centred(LABEL + 5.5 * PITCH, y, words[1], SMALL, bold=True)
        + centred(right, y, words[2], SMALL, bold=True)
        + centred(turns, y, "quarter turns of each foot", SMALL, bold=True)
    )


def _station(table: Table, leg: Leg, beside: str) -> Block:
    head = counts(table, leg)
    row, name = head.head_mm, leg.name
    height = row + lines(table.kit) * PITCH + FOOT_GAP
    role = "end leg" if leg.role is Role.END else "centre leg"
    ink = (
        station_name(table, leg, beside or role)
        + counts_head(head)
        + reading_rows(table.kit, name, ids.FIRST, row, head)
        + untouched_tick(ids.untouched(name), name, row)
        + _turns(leg, 1, row)
        + turns_head(row, _up(leg))
    )
    return ruled(ink, height).block(f"leg {name}", height)


def turns_head(row: float, up: str) -> Ink:
    """Numbers over the turn columns, what down and up mean over these."""
    numbers = heads([str(abs(n)) for n in range(-4, 5)], TURNS_LEFT, row - LINE - 0.5)
    y = row - 2 * LINE + 0.5
    return numbers + label(TURNS_LEFT + 1.2, y, "↓ down", SMALL) + ending(WIDTH - 1, y, up, SMALL)


def _up(leg: Leg) -> str:
    way, most = foot_direction(leg), raisable(leg)
    parts = ["↑ up", *([f"= {way}"] if way else []), *([f"· max {most}"] if most else [])]
    return " ".join(parts)


def _turns(leg: Leg, walk: int, row: float) -> Ink:
    feet = zip(SIDES, (row, row + PITCH), strict=True)
    return together(*(_foot_turns(leg, walk, side, y) for side, y in feet))


def _foot_turns(leg: Leg, walk: int, side: Side, row: float) -> Ink:
    name = f"{leg.name} {side} foot, quarter turns"
    letter = centred(TURNS_LEFT - 1.4, row + 1.5, side[0].upper(), 10, bold=True)
    return letter + signed_turns(ids.foot(walk, leg.name, side), name, row, TURNS_LEFT)


def pass_blocks(table: Table, walk: int) -> tuple[Block, ...]:
    """Further pass over the legs that are turned, on the head of the first of them.

    Where a look-up differs from the one above, it is printed again.
    """
    shown, built = None, list[Block]()
    for leg in table.adjusted_legs():
        head = counts(table, leg)
        built.append(_again(table.kit, leg, walk, (head, shown)))
        shown = head
    return tuple(built)


def _again(kit: Kit, leg: Leg, walk: int, heads_: tuple[Counts, Counts | None]) -> Block:
    """One leg of a pass sheet, and of its head what differs from the one above."""
    (head, shown), name = heads_, leg.name
    row = head.head_below(shown)
    height = row + lines(kit) * PITCH + PASS_FOOT
    tight = tick(ids.locked(walk, name), f"{name} jam nuts tight", 0, last_line(kit, row),
                 "nuts\ntight")  # fmt: skip
    ink = (
        small_name(leg, row)
        + reading_rows(kit, name, walk, row, head)
        + tight
        + _turns(leg, walk, row)
    )
    if shown is None:
        words = sides_words(kit.cross_by, 0) + counts_head(head).moved(0, WORDS_MM)
        ink += words + turns_head(row, _up(leg))
    elif shown != head:
        ink += lookups_head(head)
    return ruled(ink, height).block(f"leg {name}, pass {walk}", height)


def read(answers: Answers, table: Table, walk: int) -> tuple[dict[str, LegPass], list[Doubt]]:
    """Read one pass over the legs: those with an answer, and what contradicts itself."""
    passes, doubts = {}, []
    for leg in table.legs:
        row = _row(leg, walk)
        found = row_doubts(answers, row)
        doubts += [*found, *half_doubts(answers, _pairs(leg, walk))]
        made = _leg_pass(answers, leg, walk, settled(answers, row, found))
        if made != LegPass():
            passes[leg.name] = made
    return passes, doubts


def _row(leg: Leg, walk: int) -> Row:
    name = leg.name
    turned = () if leg.role is Role.SUPPORTING else tuple(ids.foot(walk, name, s) for s in SIDES)
    untouched = ids.untouched(name) if walk == ids.FIRST else None
    after = ids.after(walk, name)
    return Row(ids.found(walk, name), turned, after, untouched, ids.turned_round(after))


def _pairs(leg: Leg, walk: int) -> list[tuple[str, str]]:
    fields = (ids.found(walk, leg.name), ids.after(walk, leg.name))
    return [(field, ids.turned_round(field)) for field in fields]


def _leg_pass(answers: Answers, leg: Leg, walk: int, kept: Answers) -> LegPass:
    left, right = (kept.number(ids.foot(walk, leg.name, side)) for side in SIDES)
    if (left is None) != (right is None):  # the form says: a foot without a mark was not turned
        left, right = _zero_if_empty(kept, leg, walk, (left, right))
    bears = [_bearing(answers, leg.name, side) if walk == ids.FIRST else None for side in SIDES]
    return LegPass(
        kept.count(ids.found(walk, leg.name)),
        left,
        right,
        kept.count(ids.after(walk, leg.name)),
        bears[0],
        bears[1],
        _locked(answers, leg, walk, bool(left or right)),
        walk == ids.FIRST and kept.ticked(ids.untouched(leg.name)),
        *(kept.count(turned) for _, turned in _pairs(leg, walk)),
    )


def _zero_if_empty(
    kept: Answers, leg: Leg, walk: int, turned: tuple[int | None, int | None]
) -> tuple[int | None, ...]:
    fields = (ids.foot(walk, leg.name, side) for side in SIDES)
    pairs = zip(turned, fields, strict=True)
    return tuple(0 if value is None and kept.empty(field) else value for value, field in pairs)


def _bearing(answers: Answers, leg: str, side: Side) -> bool | None:
    word = answers.word(ids.bears(leg, side))
    return None if word is None else word == "bears"


def _locked(answers: Answers, leg: Leg, walk: int, turned: bool) -> bool | None:
    field = ids.locked(walk, leg.name)
    if not answers.has(field) or answers.unread(field):
        return None
    if answers.ticked(field):
        return True
    return False if turned or (answers.ticked(ids.loosened(leg.name)) and walk == 1) else None


def write(passes: Mapping[str, LegPass], walk: int) -> dict[str, Value]:
    """Give the answers that read as these passes."""
    answers: dict[str, Value] = {}
    for name, leg in passes.items():
        answers |= _written(name, leg, walk)
    return {field: value for field, value in answers.items() if value is not None}


def _written(name: str, leg: LegPass, walk: int) -> dict[str, Value]:
    found, after = ids.found(walk, name), ids.after(walk, name)
    counted = {
        found: leg.found,
        after: leg.after,
        ids.turned_round(found): leg.found_turned,
        ids.turned_round(after): leg.after_turned,
    }
    answers: dict[str, Value] = {
        **{field: count.cards for field, count in counted.items() if count},
        ids.foot(walk, name, Side.LEFT): leg.turns_left,
        ids.foot(walk, name, Side.RIGHT): leg.turns_right,
        ids.locked(walk, name): leg.jam_nut_locked or None,
    }
    return answers | (_written_first(name, leg) if walk == ids.FIRST else {})


def _written_first(name: str, leg: LegPass) -> dict[str, Value]:
    bears = {Side.LEFT: leg.bears_left, Side.RIGHT: leg.bears_right}
    words = {None: None, True: "bears", False: "slack"}
    return {
        ids.untouched(name): leg.untouched or None,
        ids.loosened(name): True if leg.jam_nut_locked is not None else None,
        **{ids.bears(name, side): words[value] for side, value in bears.items()},
    }
