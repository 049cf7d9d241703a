"""Ink that leaves its box, followed: a mark astray, or the end of another box's mark."""

from collections.abc import Sequence
from dataclasses import replace

from forms.field import Box
from scan.ink import Sight, grown
from scan.marks import BoxInk, Level
from scan.strokes import strokes_at

STROKE = 0.5  # of a mark's darkness: where it is followed out of its box
REACH_MM = 9.0  # of a stroke that leaves its box
AROUND_MM = 3.0  # of a mark that is looked at as a whole
ASTRAY = 0.95  # of a box's half width: how far from its middle a mark's middle may lie


def held_to_its_box(sight: Sight, box: Box, ink: BoxInk) -> BoxInk:
    """Say whether a mark lies astray of its box."""
    away = strokes_at(sight, box, AROUND_MM, STROKE * ink.core).astray()
    return replace(ink, astray=away > ASTRAY)


def without_spill(
    sight: Sight, box: Box, ink: BoxInk, marked: Sequence[Box], darkness: float
) -> BoxInk:
    """Take a box for blank which, or beside which, only another box's mark reaches."""
    near = [other for other in marked if other != box and _is_near(box, other)]
    if near and strokes_at(sight, box, REACH_MM, darkness).reach_into(near):
        return BoxInk(Level.BLANK, ink.core, 0.999, seen=ink.seen)
    return ink


def _is_near(box: Box, other: Box) -> bool:
    """Tell whether the whole of another box is within reach of a stroke."""
    room = grown(box, REACH_MM)
    across = room.x <= other.x and other.x + other.width <= room.x + room.width
    return across and room.y <= other.y and other.y + other.height <= room.y + room.height
