"""SVG paths in millimetres: the few commands that forms draw with (M L H V C A Z)."""

import re
from collections.abc import Iterator
from math import acos, ceil, cos, hypot, pi, radians, sin, sqrt, tan
from typing import NamedTuple

from forms.errors import FormsError

_ARGUMENTS = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "A": 7, "Z": 0}
_TOKEN = re.compile(r"([A-Za-z])|([-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)|([\s,]+)|(.)")

Step = tuple[str, tuple[float, ...]]
Point = tuple[float, float]


class PathUnusable(FormsError):
    """A drawing that is not made of the known commands."""

    def __init__(self, path: str, found: str):
        self.path, self.found = path, found
        super().__init__(
            f"The drawing “{path[:60]}” can't be printed: {found}. "
            "Use the commands M L H V C A Z, each with all its numbers."
        )


class Extent(NamedTuple):
    """The rectangle that a path stays in [mm]."""

    left: float
    top: float
    right: float
    bottom: float


def moved_path(path: str, dx: float, dy: float) -> str:
    """Shift a path by dx, dy [mm].

    Raises
    ------
    PathUnusable
        An unknown command or a missing number.
    """
    return "".join(_written(_shifted(step, dx, dy)) for step in steps(path))


def steps(path: str) -> tuple[Step, ...]:
    """Split a path into its commands with their numbers; repeated arguments become commands.

    Raises
    ------
    PathUnusable
        An unknown command or a missing number.
    """
    found: list[Step] = []
    for command, numbers in _commands(path):
        size = _ARGUMENTS[command]
        if size == 0 or not numbers or len(numbers) % size:
            if size or numbers:
                raise PathUnusable(path, f"{command} has {len(numbers)} numbers")
            found.append((command, ()))
            continue
        parts = [tuple(numbers[i : i + size]) for i in range(0, len(numbers), size)]
        found.append((command, parts[0]))
        found.extend(("L" if command == "M" else command, part) for part in parts[1:])
    return tuple(found)


def _commands(path: str) -> Iterator[tuple[str, list[float]]]:
    command, numbers = "", list[float]()
    for letter, number, _, other in _TOKEN.findall(path):
        if other or (letter and letter not in _ARGUMENTS) or (number and not command):
            raise PathUnusable(path, f"“{other or letter or number}” stands in it")
        if letter:
            if command:
                yield command, numbers
            command, numbers = letter, []
        elif number:
            numbers.append(float(number))
    if command:
        yield command, numbers


def _shifted(step: Step, dx: float, dy: float) -> Step:
    command, numbers = step
    if command == "H":
        return command, (numbers[0] + dx,)
    if command == "V":
        return command, (numbers[0] + dy,)
    keep = 5 if command == "A" else 0  # radii, rotation and flags do not move
    shifts = (dx, dy) * 3
    return command, numbers[:keep] + tuple(
        number + shift for number, shift in zip(numbers[keep:], shifts, strict=False)
    )


def _written(step: Step) -> str:
    command, numbers = step
    return command + " ".join(f"{number:.4f}".rstrip("0").rstrip(".") for number in numbers)


def extent(path: str) -> Extent:
    """Rectangle around a path; for a Bézier curve, around its control points [mm].

    Raises
    ------
    PathUnusable
        An unknown command, a missing number, or nothing drawn.
    """
    points = list(_points(path))
    if not points:
        raise PathUnusable(path, "it draws nothing")
    xs, ys = zip(*points, strict=True)
    return Extent(min(xs), min(ys), max(xs), max(ys))


def _points(path: str) -> Iterator[Point]:
    x = y = 0.0
    for command, numbers in steps(path):
        if command == "A":
            yield from _arc_points((x, y), numbers)
        if command == "C":
            yield from (numbers[0:2], numbers[2:4])  # type: ignore[misc]
        if command == "H":
            x = numbers[0]
        elif command == "V":
            y = numbers[0]
        elif command != "Z":
            x, y = numbers[-2:]
        yield x, y


def _arc_points(start: Point, numbers: tuple[float, ...]) -> Iterator[Point]:
    """Points at least every 5 degrees along an arc."""
    arc = _arc(start, numbers)
    if arc is None:
        return
    count = max(2, ceil(abs(arc.swept) / radians(5)))
    for index in range(count + 1):
        yield arc.at(arc.first + arc.swept * index / count)


def arc_curves(start: Point, numbers: tuple[float, ...]) -> tuple[tuple[float, ...], ...]:
    """Bézier curves along an arc from ``start``, as the numbers of C commands.

    None is longer than a quarter of an ellipse, so they keep within 0.03 % of its radius.
    """
    arc = _arc(start, numbers)
    if arc is None:
        return ((*start, *numbers[-2:], *numbers[-2:]),)
    count = max(1, ceil(abs(arc.swept) / (pi / 2) - 1e-9))
    step = arc.swept / count
    return tuple(arc.curve(arc.first + step * index, step) for index in range(count))


class _Arc(NamedTuple):
    """Part of an ellipse: its middle and radii [mm], how it is turned, from where how far [rad]."""

    middle: Point
    radii: Point
    turn: Point  # cosine and sine
    first: float
    swept: float

    def at(self, angle: float) -> Point:
        x, y = self._turned(cos(angle), sin(angle))
        return x + self.middle[0], y + self.middle[1]

    def curve(self, angle: float, step: float) -> tuple[float, ...]:
        """Bézier curve from an angle on, with the ellipse's directions at both ends."""
        reach = 4 / 3 * tan(step / 4)
        (x, y), (u, v) = self.at(angle), self.at(angle + step)
        dx, dy = self._turned(-sin(angle), cos(angle))
        du, dv = self._turned(-sin(angle + step), cos(angle + step))
        return x + reach * dx, y + reach * dy, u - reach * du, v - reach * dv, u, v

    def _turned(self, x: float, y: float) -> Point:
        (rx, ry), (cosine, sine) = self.radii, self.turn
        return cosine * rx * x - sine * ry * y, sine * rx * x + cosine * ry * y


def _arc(start: Point, numbers: tuple[float, ...]) -> _Arc | None:
    """Find an arc's ellipse (SVG 1.1, F.6.5: endpoints to centre); None for a straight line."""
    rx, ry, turn, large, sweep, x, y = numbers
    cosine, sine = cos(radians(turn)), sin(radians(turn))
    dx, dy = (start[0] - x) / 2, (start[1] - y) / 2
    px, py = cosine * dx + sine * dy, cosine * dy - sine * dx
    if rx == 0 or ry == 0 or (px == 0 and py == 0):
        return None
    grow = max(1.0, hypot(px / rx, py / ry))
    rx, ry = abs(rx) * grow, abs(ry) * grow
    root = sqrt(max(0.0, 1 / ((px / rx) ** 2 + (py / ry) ** 2) - 1))
    root = -root if bool(large) == bool(sweep) else root
    cx, cy = root * rx * py / ry, -root * ry * px / rx
    first, swept = _angles((px - cx) / rx, (py - cy) / ry, (-px - cx) / rx, (-py - cy) / ry)
    if sweep and swept < 0:
        swept += 2 * pi
    elif not sweep and swept > 0:
        swept -= 2 * pi
    middle = (
        cosine * cx - sine * cy + (start[0] + x) / 2,
        sine * cx + cosine * cy + (start[1] + y) / 2,
    )
    return _Arc(middle, (rx, ry), (cosine, sine), first, swept)


def _angles(ux: float, uy: float, vx: float, vy: float) -> tuple[float, float]:
    """Direction of u, and the signed angle from u to v [rad]."""

    def between(ax: float, ay: float, bx: float, by: float) -> float:
        size = hypot(ax, ay) * hypot(bx, by)
        angle = acos(max(-1.0, min(1.0, (ax * bx + ay * by) / size)))
        return angle if ax * by - ay * bx >= 0 else -angle

    return between(1, 0, ux, uy), between(ux, uy, vx, vy)
