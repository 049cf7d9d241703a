"""How long a board may be to get in: round a corner, up a landing, into a lift.

A board is a box, carried on edge: its thickness lies across the way, its width upright. Everything
here grows with every measured size, so a tape's error moves the answer between two bounds.

References
----------
Corner: the rectangle's outer side slides along both outer walls, and the inner corner must stay
beyond its inner side. Without width the shortest such side is (a^⅔ + b^⅔)^(3/2).
Box in a box: the extents of a rectangle turned by an angle.
"""

import math
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize_scalar

HANDS_MM = 40.0  # room for hands and padding beside a board that is carried; no source
_TRIED = 2001  # angles looked at before the best one is refined


class Place(StrEnum):
    """Where a board must get through."""

    DOOR = "narrowest door"
    CORNER_1 = "corner 1"
    CORNER_2 = "corner 2"
    CORNER_3 = "corner 3"
    LANDING = "stair landing"
    LIFT = "lift"


CORNERS = (Place.CORNER_1, Place.CORNER_2, Place.CORNER_3)
_CORNER = ("width before", "width after", "ceiling")
SIZES: dict[Place, tuple[str, ...]] = {
    Place.DOOR: ("width", "height"),
    **dict.fromkeys(CORNERS, _CORNER),
    Place.LANDING: ("flight width", "landing depth", "landing length", "headroom"),
    Place.LIFT: ("cabin width", "cabin depth", "cabin height", "door width", "door height"),
}


class Passage(StrEnum):
    """What the tape says of a board and a place."""

    THROUGH = "goes through"
    CLOSE = "too close for the tape: try with a lath of the board’s length"
    STUCK = "does not go through"


@dataclass(frozen=True)
class Load:
    """A box that is carried on edge. [mm]."""

    length_mm: float
    width_mm: float
    thickness_mm: float

    def padded(self) -> "Load":
        """Add room for hands and padding to its thickness and width."""
        return replace(
            self, width_mm=self.width_mm + HANDS_MM, thickness_mm=self.thickness_mm + HANDS_MM
        )


@dataclass(frozen=True)
class Longest:
    """The longest board that gets through a place, with the tape at either end of its error. [mm].

    ``inf`` where any length does.
    """

    place: Place
    low_mm: float
    high_mm: float

    def passage(self, length_mm: float) -> Passage:
        """Say whether a board of this length gets through."""
        if length_mm <= self.low_mm:
            return Passage.THROUGH
        return Passage.STUCK if length_mm > self.high_mm else Passage.CLOSE


def longest_round_corner(before_mm: float, after_mm: float, thickness_mm: float) -> float:
    """Length of the longest rectangle that turns a right-angled corner in plan.

    Parameters
    ----------
    before_mm, after_mm : float
        Clear widths of the two corridors. [mm]
    thickness_mm : float
        Side of the rectangle across the way. [mm]

    Returns
    -------
    float
        min over θ of (a sin θ + b cos θ − t) / (sin θ cos θ); 0 where it is too thick. [mm]
    """
    if thickness_mm >= min(before_mm, after_mm):
        return 0.0

    def length(angle: float) -> float:
        sine, cosine = math.sin(angle), math.cos(angle)
        return (before_mm * sine + after_mm * cosine - thickness_mm) / (sine * cosine)

    found = minimize_scalar(
        length, bounds=(1e-6, math.pi / 2 - 1e-6), method="bounded", options={"xatol": 1e-10}
    )
    return float(found.fun)


def longest_in_rectangle(long_mm: float, high_mm: float, width_mm: float) -> float:
    """Length of the longest rectangle of a given width inside another, at the best tilt.

    Parameters
    ----------
    long_mm, high_mm : float
        Sides of the room it must fit. [mm]
    width_mm : float
        Its own other side. [mm]

    Returns
    -------
    float
        max over φ of min((l − w sin φ) / cos φ, (h − w cos φ) / sin φ); 0 where none fits. [mm]
    """
    if width_mm > min(long_mm, high_mm):
        return 0.0
    angles = np.linspace(0.0, math.pi / 2, _TRIED)
    for _ in range(4):  # each round looks closer around the best angle
        lengths = _fitting(angles, (long_mm, high_mm), width_mm)
        best = int(np.argmax(lengths))
        low, high = angles[max(0, best - 1)], angles[min(best + 1, _TRIED - 1)]
        angles = np.linspace(low, high, _TRIED)
    return max(0.0, float(lengths.max()))


def _fitting(
    angles: NDArray[np.float64], room: tuple[float, float], width_mm: float
) -> NDArray[np.float64]:
    sine, cosine = np.sin(angles), np.cos(angles)
    with np.errstate(divide="ignore"):
        along = (room[0] - width_mm * sine) / np.maximum(cosine, 1e-12)
        upward = (room[1] - width_mm * cosine) / np.maximum(sine, 1e-12)
    return np.asarray(np.minimum(along, upward))


def longest(place: Place, sizes_mm: tuple[float, ...], load: Load) -> float:
    """Length of the longest such load that gets through a place; inf where any does. [mm].

    Parameters
    ----------
    place : Place
        What kind of place it is.
    sizes_mm : tuple of float
        As ``SIZES`` names them. [mm]
    load : Load
        Its width and thickness count; room for hands is already in them.
    """
    match place:
        case Place.DOOR:
            return math.inf if _goes_through(sizes_mm, load) else 0.0
        case Place.LANDING:
            return _up_a_landing(sizes_mm, load)
        case Place.LIFT:
            return _in_a_lift(sizes_mm, load)
        case _:
            before, after, ceiling = sizes_mm
            plan = longest_round_corner(before, after, load.thickness_mm)
            return longest_in_rectangle(plan, ceiling, load.width_mm)


def _goes_through(door_mm: tuple[float, ...], load: Load) -> bool:
    width, height = door_mm
    upright = load.thickness_mm <= width and load.width_mm <= height
    return upright or (load.width_mm <= width and load.thickness_mm <= height)


def _up_a_landing(sizes_mm: tuple[float, ...], load: Load) -> float:
    """Half a turn: on to the landing, along it, off again; the flights are alike."""
    flight, depth, length, headroom = sizes_mm
    plan = min(longest_round_corner(flight, depth, load.thickness_mm), length)
    return longest_in_rectangle(plan, headroom, load.width_mm)


def _in_a_lift(sizes_mm: tuple[float, ...], load: Load) -> float:
    """Lay it across the cabin's floor corner to corner, then tilt it up under the ceiling."""
    width, depth, height, *door = sizes_mm
    if not _goes_through((door[0], door[1]), load):
        return 0.0
    plan = longest_in_rectangle(max(width, depth), min(width, depth), load.thickness_mm)
    return longest_in_rectangle(plan, height, load.width_mm)


def longest_with_tape(
    place: Place, sizes_mm: tuple[float, ...], load: Load, tape_mm: float
) -> Longest:
    """Bound the longest load by a tape's error.

    Parameters
    ----------
    tape_mm : float
        Half-width of what one reading may be off. All at their worst give the bounds. [mm]
    """
    low, high = (
        longest(place, tuple(size + off for size in sizes_mm), load) for off in (-tape_mm, tape_mm)
    )
    return Longest(place, low, high)
