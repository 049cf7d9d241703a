"""Rows without marks: which may be blank, which contradict a box that says so."""

from collections.abc import Iterator

from passport.table import Role, Table
from passport.visit import Doubt
from passport.visits.answers import Answers
from passport.visits.service import ids, legs, rise
from passport.visits.service.both_ways import half_doubts

NOT_EXPLAINED = "nothing is marked here, and no box says why"
MEASURED = "marked as not measured, yet readings are marked too"
NOT_TICKED = "boxes of another kit are filled, but “other kit used” is not ticked"
TURNED = "marked as nothing turned, yet turns are marked too"


def blank_doubts(answers: Answers, table: Table) -> list[Doubt]:
    """List blank rows that nothing explains, and explanations that the rows contradict."""
    return [*_opening(answers, table), *_sections(answers, table), *_nothing_turned(answers, table)]


def _opening(answers: Answers, table: Table) -> Iterator[Doubt]:
    """Look for a level check in one way round only, a kit filled in but not ticked."""
    yield from half_doubts(answers, [ids.CHECK])
    boxes = (ids.OTHER_CARD[table.units], ids.OTHER_BEARING[table.units])
    if answers.empty(ids.OTHER_KIT) and any(answers.value(box) is not None for box in boxes):
        yield answers.doubt(ids.OTHER_KIT, NOT_TICKED)


def _sections(answers: Answers, table: Table) -> Iterator[Doubt]:
    turned = [leg.name for leg in table.adjusted_legs()]
    supports = [leg.name for leg in table.legs if leg.role is Role.SUPPORTING]
    ends = [ids.rise(one) for one in rise.stations(table.kit)] if rise.has_rise(table) else []
    yield from _section(answers, ids.LEGS_NOT_MEASURED, [*turned, *ends], supports)
    names = [bracket.name for bracket in table.brackets]
    yield from _section(answers, ids.BRACKETS_NOT_MEASURED, names, [])
    made = [ids.shot(lane, end) for lane in ("left", "middle", "right") for end in ("A", "B")]
    if answers.ticked(ids.SHOTS_NOT_MEASURED) and any(map(answers.value, made)):
        yield answers.doubt(ids.SHOTS_NOT_MEASURED, MEASURED)


def _section(
    answers: Answers, not_measured: str, stations: list[str], optional: list[str]
) -> Iterator[Doubt]:
    marked = [name for name in (*stations, *optional) if _reads(answers, name)]
    if answers.ticked(not_measured):
        if marked:
            yield answers.doubt(not_measured, MEASURED)
        return
    if answers.ticked(ids.NOTHING_TURNED) or answers.unread(not_measured):
        return
    for name in stations:
        field = ids.found(ids.FIRST, name)
        if answers.empty(field) and not answers.ticked(ids.untouched(name)):
            yield answers.doubt(field, NOT_EXPLAINED)


def _reads(answers: Answers, station: str) -> bool:
    read = (ids.found(1, station), ids.after(1, station))
    fields = (*read, *map(ids.turned_round, read), ids.turns(1, station))
    feet = (ids.foot(1, station, side) for side in legs.SIDES)
    return any(answers.value(field) is not None for field in (*fields, *feet))


def _nothing_turned(answers: Answers, table: Table) -> Iterator[Doubt]:
    if answers.ticked(ids.NOTHING_TURNED) and any(_turns(answers, table)):
        yield answers.doubt(ids.NOTHING_TURNED, TURNED)


def _turns(answers: Answers, table: Table) -> Iterator[int | None]:
    for walk in ids.WALKS:
        for leg in table.legs:
            yield from (answers.number(ids.foot(walk, leg.name, side)) for side in legs.SIDES)
        for bracket in table.brackets:
            yield answers.number(ids.turns(walk, bracket.name))
    for end in rise.ENDS:
        yield answers.number(ids.turns(ids.FIRST, ids.rise(end)))
