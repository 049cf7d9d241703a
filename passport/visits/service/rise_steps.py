"""Rise by a level stepped along the board: sums of cards, turns of both feet, sums after.

From the board's middle to each end leg the level is laid in equal steps. Cards under its end toward
the middle and cards under its outer end are added up apart, so that no number has a sign; their
difference is looked up, and is the count. A sum that is nought is written as 0.
"""

from collections.abc import Iterator, Mapping

from forms.field import Digits
from forms.form import Block
from passport.leveling.rises import steps_of
from passport.leveling.supports import spans_mm
from passport.quantity_text import Units, length_text
from passport.table import Table
from passport.visit import Count, Doubt
from passport.visits.answers import Answers
from passport.visits.grid import LABEL, PITCH, TURNS_LEFT, digit_boxes, heads, row_name
from passport.visits.ink import SMALL, Ink, centred, label, section
from passport.visits.service import ids
from passport.visits.service.both_ways import half_doubts
from passport.visits.service.rise_ladder import ENDS, end_turns, ladder, ladder_ink
from passport.visits.service.rows import Row, row_doubts, settled
from passport.visits.service.station import LINE, untouched_tick
from scan.reading import Value

HOW = (
    "Legs level first. Level LENGTHWISE, marked end toward A, from the board’s middle to each end "
    "leg in {steps}. Each step: cards under the low end. Add up apart those under ends toward the "
    "MIDDLE and under OUTER ends; write 0 for none. Look up middle less outer. BOTH feet alike, "
    "one quarter each, alternating (*: then again)."
)
MOST = 99
_LOOKS = {ids.found: ("found", LABEL + 1.4), ids.after: ("after", 62.0)}  # [mm] where boxes begin
_OUTER = 17.2  # [mm] from the first box of a sum to that of the other
_LINE = 3.6  # [mm] a line of the look-up's two


def block(table: Table) -> Block:
    """Draw the look-up, the sums of each end in its line, and the turns of both ends."""
    head = section("Rise of ends", HOW.format(steps=_steps(table)))
    both = ladder(table, 0) != ladder(table, 1)
    top = head.height + (14.4 if both else 7.2) + _LINE
    ink = head.ink + ladder_ink(table, 0, "A: " if both else "").moved(0, head.height)
    if both:
        ink += ladder_ink(table, 1, "B: ").moved(0, head.height + 7.2)
    for said, left in _LOOKS.values():
        ink += label(left, top - _LINE + 0.4, f"{said}, cards under ends", SMALL, bold=True)
        ink += label(left, top + 0.4, "to middle", SMALL) + label(left + _OUTER, top + 0.4, "outer")
    turned = TURNS_LEFT + 5 * PITCH
    ink += centred(turned, top - _LINE + 0.4, "quarter turns of BOTH feet", bold=True)
    ink += heads([str(n) for n in range(1, 9)], TURNS_LEFT + PITCH, top)
    rows = top + LINE
    for index, end in enumerate(ENDS):
        ink += _sums(end).moved(0, rows + index * 2 * PITCH)
        ink += end_turns(end, rows + index * 2 * PITCH)
    return ink.block("rise", rows + 4 * PITCH + 0.2)


def _steps(table: Table) -> str:
    """Say in how many steps, and how long one is, for both ends where they differ."""
    units, said = Units(table.units), dict[str, None]()
    for span in spans_mm(table):
        count = steps_of(table.kit, span)
        said[f"{count} equal steps of {length_text(span / count, units)}"] = None
    words = list(said)
    return words[0] if len(words) == 1 else f"{words[0]} (A), {words[1]} (B)"


def _sums(end: str) -> Ink:
    name, said = ids.rise(end), f"end {end}"
    ink = row_name(0.8, said) + untouched_tick(ids.untouched(name), f"Rise of {said}", 0.8)
    for look, (when, left) in _LOOKS.items():
        field_id = look(1, name)
        ink += _number(field_id, f"Rise of {said} {when}, cards toward the middle", left)
        ink += _number(ids.outer(field_id), f"Rise of {said} {when}, outer cards", left + _OUTER)
    return ink


def _number(field_id: str, name: str, left: float) -> Ink:
    return Ink(fields=(Digits(field_id, name, "card", digit_boxes(left, 0.4, 2), 0, 0, MOST),))


Rise = tuple[dict[str, Count], dict[str, int], dict[str, Count]]


def read(answers: Answers) -> tuple[Rise, list[Doubt]]:
    """Read found, turns and after of both ends, and what contradicts itself."""
    found: dict[str, Count] = {}
    turns: dict[str, int] = {}
    after: dict[str, Count] = {}
    doubts: list[Doubt] = []
    for end in ENDS:
        row = _row(end)
        wrong = row_doubts(answers, row)
        doubts += wrong
        kept = settled(answers, row, wrong)
        doubts += half_doubts(answers, [(one, ids.outer(one)) for one in (row.found, row.after)])
        found |= dict(_count(kept, row.found, end))
        after |= dict(_count(kept, row.after, end))
        turned = kept.number(row.turns[0])
        turns |= {} if turned is None else {end: turned}
    return (found, turns, after), doubts


def _row(end: str) -> Row:
    name = ids.rise(end)
    return Row(ids.found(1, name), (ids.turns(1, name),), ids.after(1, name), ids.untouched(name))


def _count(answers: Answers, field_id: str, end: str) -> Iterator[tuple[str, Count]]:
    inner, outer = answers.number(field_id), answers.number(ids.outer(field_id))
    if inner is not None and outer is not None:
        yield end, Count(inner - outer)


def write(found: Mapping[str, Count], after: Mapping[str, Count]) -> dict[str, Value]:
    """Give the sums that read as these counts."""
    return {
        field_id: max(0, cards)
        for look, counts in ((ids.found, found), (ids.after, after))
        for end, count in counts.items()
        for field_id, cards in (
            (look(1, ids.rise(end)), count.cards),
            (ids.outer(look(1, ids.rise(end))), -count.cards),
        )
    }
