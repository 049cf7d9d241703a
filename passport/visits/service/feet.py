"""Feet: supporting legs clear first and touching last, jam nuts, what each foot carries."""

from forms.field import Choice, Option
from forms.form import Block
from passport.table import Leg, Role, Side, Table
from passport.visits.grid import PITCH, TURNS_LEFT, above, headed_tick, square
from passport.visits.ink import SMALL, WIDTH, Ink, label, paragraph, together
from passport.visits.service import ids
from passport.visits.service.legs import SIDES, counts
from passport.visits.service.station import place, reading_row, ruled, small_name

_ABREAST = 3  # legs side by side
_CELL = WIDTH / _ABREAST
_STEP = 8.6  # [mm] between the ticks of a leg's feet

FEET = (
    "Jam nuts loose first, tight last. BEARS: a strip of card under the foot pinches. SLACK: it "
    "pulls out, or the foot turns by hand."
)
SUPPORTS = (
    "Supporting legs only carry: raise clear of the floor before any turn, lower to touch when all "
    "is level; then read their neighbours once more."
)


def blocks(table: Table) -> tuple[Block, ...]:
    """Supporting legs, and the feet of all others."""
    supports = [leg for leg in table.legs if leg.role is Role.SUPPORTING]
    ticks = (_support(table, leg, headed=leg is supports[0]) for leg in supports)
    return (*ticks, _feet(table))


def _support(table: Table, leg: Leg, *, headed: bool) -> Block:
    """Cross level for information; raised clear first, down to touch last, bears or slack.

    Its columns are those of the legs above, so their counts are not printed again.
    """
    head, name = counts(table, leg), leg.name
    top = 6.1 if headed else 0.4
    ink = small_name(leg, top - 1.6) + label(0, top + 4.2, place(table, leg), SMALL)
    ink += reading_row(ids.found(1, name), f"{name} found", top, head, "")
    ink += _feet_boxes(_support_ticks(name), name, TURNS_LEFT + 3.0, headed=headed).moved(0, top)
    if headed:
        ink += paragraph(0, 0.2, 104.0, SUPPORTS).ink
    height = top + PITCH + 0.3
    return ruled(ink, height).block(f"supporting leg {name}", height)


Ticks = tuple[tuple[str, str, str], ...]  # field id, label, words over the box


def _support_ticks(name: str) -> Ticks:
    return (
        (ids.clear(1, name), f"{name} raised clear of the floor first", "FIRST\nclear"),
        (ids.touch(1, name), f"{name} down to touch last", "LAST\ntouch"),
    )


def _jam_nuts(name: str) -> Ticks:
    return (
        (ids.loosened(name), f"{name} jam nuts loosened", "nuts\nloose"),
        (ids.locked(1, name), f"{name} jam nuts tight", "nuts\ntight"),
    )


def _feet(table: Table) -> Block:
    """Jam nuts and what each foot carries, three legs a line."""
    legs = table.adjusted_legs()
    beside = len(legs) < _ABREAST  # the words take the free place of a line, if there is one
    top = 6.4 if beside else 8.0
    words = (2 * _CELL + 3.0, 0.6, _CELL - 4.0) if beside else (0.0, 0.0, WIDTH)
    ink = paragraph(*words, FEET).ink
    for index, leg in enumerate(legs):
        boxes = _feet_boxes(_jam_nuts(leg.name), leg.name, 9.6, headed=index < _ABREAST)
        line = small_name(leg, 0) + boxes
        ink += line.moved(index % _ABREAST * _CELL, top + index // _ABREAST * PITCH)
    height = top + -(-len(legs) // _ABREAST) * PITCH + 0.2
    return ink.block("feet", height)


def _feet_boxes(ticks: Ticks, leg: str, x: float, *, headed: bool) -> Ink:
    """Two ticks, then bears or slack of either foot."""
    ink = together(
        *(
            headed_tick(field_id, name, x + index * _STEP, 0, words if headed else "")
            for index, (field_id, name, words) in enumerate(ticks)
        )
    )
    for index, side in enumerate(SIDES):
        ink += _bears(leg, side, x + (2 + 2 * index) * _STEP, headed=headed)
    return ink


def _bears(leg: str, side: Side, x: float, *, headed: bool) -> Ink:
    places = {"bears": x, "slack": x + _STEP}
    boxes = tuple(Option(word, square(at, 0)) for word, at in places.items())
    words = (above(at, 0, f"{side}\n{word}") for word, at in places.items() if headed)
    return Ink(fields=(Choice(ids.bears(leg, side), f"{leg} {side} foot", boxes),)) + together(
        *words
    )
