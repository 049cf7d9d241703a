"""Cross levels of one leg on paper, read one way or both ways round; and what half a pair means.

Read both ways round a leg has a line more: found, turned round, and beside "after" in the columns
of the turns a short scale for the level turned round.
"""

from collections.abc import Iterable

from passport.table import Kit, Ways
from passport.visit import Doubt
from passport.visits.answers import Answers
from passport.visits.grid import PITCH, TURNS_LEFT, options, scale
from passport.visits.ink import Ink, label
from passport.visits.service import ids
from passport.visits.service.station import Counts, ordinal, reading_row

MOST = 3  # the outer boxes of the short scale: three or more
HALF = "one way round is marked, the other is not"
TURNED = "turned round"


def lines(kit: Kit) -> int:
    """Count the lines of boxes that a leg takes."""
    return 3 if kit.cross_read is Ways.BOTH else 2


def last_line(kit: Kit, row: float) -> float:
    """Top of the line that holds the reading after turning [mm]."""
    return row + (lines(kit) - 1) * PITCH


def reading_rows(kit: Kit, station: str, walk: int, row: float, counts: Counts) -> Ink:
    """Found and after, each as often as the kit's level is laid down."""
    found, after = ids.found(walk, station), ids.after(walk, station)
    second = ordinal(walk)
    both = kit.cross_read is Ways.BOTH
    shown = Counts(counts.unit, counts.values, counts.words, counts.bounds) if both else counts
    last = last_line(kit, row)
    ink = reading_row(found, f"{station} found{second}", row, shown, "found")
    ink += reading_row(after, f"{station} after{second}", last, shown, "after")
    if not both:
        return ink
    again = f"{station} found, {TURNED}{second}"
    ink += reading_row(ids.turned_round(found), again, row + PITCH, shown, TURNED)
    return ink + _short(ids.turned_round(after), f"{station} after, {TURNED}{second}", last, shown)


def _short(field_id: str, name: str, row: float, counts: Counts) -> Ink:
    """Draw the middle of a scale in the columns of the turns, on their numbers."""
    values = [value for value in counts.values if abs(value) <= MOST]
    boxes = options(values, TURNS_LEFT + PITCH, row, (-MOST, MOST))
    right = TURNS_LEFT + 8 * PITCH
    return (
        scale(field_id, name, counts.unit, boxes)
        + label(TURNS_LEFT - 2.4, row + 0.8, "turned")
        + label(TURNS_LEFT - 2.4, row + 3.6, "round")
        + label(right, row + 0.8, "3: or")
        + label(right, row + 3.6, "more")
    )


def half_doubts(answers: Answers, pairs: Iterable[tuple[str, str]]) -> list[Doubt]:
    """List the empty halves of pairs whose other half is marked."""
    return [
        answers.doubt(field, HALF)
        for pair in pairs
        for field, other in (pair, pair[::-1])
        if answers.empty(field) and answers.value(other) is not None
    ]
