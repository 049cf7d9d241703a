"""The map of the board: contours and fall lines, drawn wider than to scale, to be read."""

from dataclasses import dataclass

import numpy as np

from forms.typeface import MM_PER_PT
from passport.documents import wording
from passport.documents.house import Story, picture, svg, svg_text
from passport.leveling.advice import Quantity
from passport.leveling.flatness import Floats
from passport.leveling.relief import Contour, Relief, relief
from passport.leveling.supports import end_legs
from passport.quantity_text import Units, length_text
from passport.table import Table

BOARD_MM = 34.0  # [mm] the board's width on paper, wider than to scale
_SIDE, _TOP, _BOTTOM = 7.6, 4.4, 5.2  # [mm] room for the ends' letters, the stations, the legend
_SIZE = 7.0  # [pt]
_K95 = 1.96
_UNITS = {"imperial": "inches", "metric": "millimetres"}
_LABEL_LEAST = 14.0  # [mm] of a contour on paper that carries its height


@dataclass(frozen=True)
class _Place:
    """Where the board lies on the paper."""

    relief: Relief
    width: float

    @property
    def right(self) -> float:
        return self.width - _SIDE

    def at(self, points: Floats) -> Floats:
        """Place points (P, 2) on the paper; left side up."""
        x, y = self.relief.x, self.relief.y
        along = (points[:, 0] - x[0]) / (x[-1] - x[0])
        across = (y[-1] - points[:, 1]) / (y[-1] - y[0])
        return np.column_stack([_SIDE + along * (self.right - _SIDE), _TOP + across * BOARD_MM])

    def x(self, x_mm: float) -> float:
        return float(self.at(np.array([[x_mm, 0.0]]))[0, 0])


@dataclass(frozen=True)
class SurfaceMap:
    """The map, ready to print, with what stands below it."""

    picture: str
    words: str
    lines: tuple[str, ...]


def surface_map(story: Story, width: float) -> SurfaceMap | None:
    """Draw the surface that the newest visit left over a width; nothing before the first visit."""
    laid = relief(story.table, story.visits)
    if laid is None:
        return None
    lines = relief_words(story.table, laid)
    words = f"Map of the board from above, end A at the left, left side up. {lines[0]}"
    return SurfaceMap(picture(relief_svg(story.table, laid, width)), words, lines)


def relief_svg(table: Table, laid: Relief, width: float) -> str:
    """Draw the map; end A at the left, left side up.

    Parameters
    ----------
    table : Table
        Names its stations, decides the unit.
    laid : Relief
        What to draw.
    width : float
        Of the picture. [mm]

    Returns
    -------
    str
        SVG. Contours are thin lines with their heights, the level of the middle is thick; arrows
        follow the steepest way down.
    """
    place = _Place(laid, width)
    shapes = (
        _falls(place)
        + _contours(table, place)
        + _board(place)
        + _stations(table, place)
        + _ends(place)
    )
    return svg(width, _TOP + BOARD_MM + _BOTTOM, shapes)


def relief_words(table: Table, laid: Relief) -> tuple[str, ...]:
    """Say beside the map what it shows, how sure it is, and how flat the board lies."""
    return (_legend(table, laid), _flatness(table, laid), *_cautions(table, laid))


def _legend(table: Table, laid: Relief) -> str:
    half = _K95 * float(laid.u.max())
    low, high, wide = (
        _figure(table, mm, half) for mm in (laid.heights.min(), laid.heights.max(), half)
    )
    return (
        f"Heights in {_UNITS[table.units]} above the board's middle, a contour every "
        f"{_figure(table, laid.step)}, thick where level with the middle; arrows run down the "
        f"steepest way. From {low} to {high}, each within ± {wide} (95 %). Across, the board is "
        "drawn wider than to scale."
    )


def _flatness(table: Table, laid: Relief) -> str:
    plane = laid.plane
    assert plane.u is not None
    worst = plane.largest
    row, column = divmod(worst, laid.x.size)
    departure, wide = float(plane.departures[worst]), _K95 * float(plane.u[worst])
    return (
        f"Farthest from the best plane (least squares): {_figure(table, abs(departure), wide)} "
        f"{'above' if departure > 0 else 'below'}, ± {_figure(table, wide, wide)} "
        f"(95 %), {_where(table, laid, column, row)}. Two parallel planes that hold the whole "
        f"board are {_figure(table, laid.zone.zone)} apart at least (minimum zone)."
    )


def _cautions(table: Table, laid: Relief) -> list[str]:
    level = ["No feet raise the ends of this table: along the board it is drawn level."]
    unread = f"Not read yet, drawn as common practice expects: {', '.join(laid.unread)}."
    return [
        *(level if end_legs(table) is None else []),
        *([unread] if laid.unread else []),
    ]


def _where(table: Table, laid: Relief, column: int, row: int) -> str:
    beside = laid.y[row]
    side = "on the centre line" if abs(beside) < 1 else "left" if beside > 0 else "right"
    return f"{length_text(float(laid.x[column]), Units(table.units))} from A, {side}"


def _figure(table: Table, mm: float, half: float | None = None) -> str:
    return wording.scale(table, Quantity.HOLLOW, mm, half)


def _board(place: _Place) -> str:
    return (
        f'<path fill="none" stroke="#000" stroke-width="0.35" '
        f'd="M{_SIDE} {_TOP}H{place.right:.2f}V{_TOP + BOARD_MM}H{_SIDE}Z"/>'
    )


def _path(points: Floats) -> str:
    return "M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in points)


def _contours(table: Table, place: _Place) -> str:
    lines = "".join(
        f'<path fill="none" stroke="#000" stroke-width="{0.4 if one.height == 0 else 0.15}" '
        f'd="{_path(place.at(one.points))}"/>'
        for one in place.relief.contours
    )
    return lines + "".join(_labels(table, place))


def _labels(table: Table, place: _Place) -> list[str]:
    """Write heights on the longer contours, each clear of those before."""
    taken: list[tuple[float, float]] = []
    labels = []
    for one in sorted(place.relief.contours, key=lambda line: -_long(place, line)):
        points = place.at(one.points)
        spot = next((p for p in _spots(points) if _clear(place, p, taken)), None)
        if _long(place, one) >= _LABEL_LEAST and spot is not None:
            taken.append(spot)
            labels.append(_label(spot, _figure(table, one.height)))
    return labels


def _long(place: _Place, line: Contour) -> float:
    points = place.at(line.points)
    return float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())


def _spots(points: Floats) -> list[tuple[float, float]]:
    """Give places on a line from its middle outward."""
    count = len(points)
    order = sorted(range(count), key=lambda index: abs(index - count // 2))
    return [(float(points[index, 0]), float(points[index, 1])) for index in order]


def _clear(place: _Place, spot: tuple[float, float], taken: list[tuple[float, float]]) -> bool:
    """Whether a height written there stays on the board and off those before."""
    x, y = spot
    within = _SIDE + 4.0 < x < place.right - 4.0 and 1.6 < y - _TOP < BOARD_MM - 1.6
    return within and all(abs(x - u) > 9.0 or abs(y - v) > 3.0 for u, v in taken)


def _label(spot: tuple[float, float], text: str) -> str:
    x, y = spot
    half, size = 0.6 * len(text) * _SIZE * MM_PER_PT / 2, _SIZE * MM_PER_PT
    ground = (
        f'<rect x="{x - half:.2f}" y="{y - size * 0.55:.2f}" width="{2 * half:.2f}" '
        f'height="{size * 1.1:.2f}" fill="#fff"/>'
    )
    return ground + svg_text(x, y + size * 0.36, _SIZE, text, "middle")


def _falls(place: _Place) -> str:
    ways = [place.at(way) for way in place.relief.fall_lines]
    lines = "".join(_path(way) for way in ways)
    heads = "".join(_head(way) for way in ways)
    return (
        f'<path fill="none" stroke="#888" stroke-width="0.2" d="{lines}"/>'
        f'<path fill="#666" d="{heads}"/>'
        if ways
        else ""
    )


def _head(way: Floats) -> str:
    """Arrow head at a way's end, along its last piece that has a length on paper."""
    end = way[-1]
    back = next((one for one in way[::-1] if np.linalg.norm(end - one) > 0.4), way[0])
    ahead = (end - back) / max(float(np.linalg.norm(end - back)), 1e-9)
    side = np.array([-ahead[1], ahead[0]])
    corners = [end, end - 1.5 * ahead + 0.55 * side, end - 1.5 * ahead - 0.55 * side]
    return _path(np.array(corners)) + "Z"


def _stations(table: Table, place: _Place) -> str:
    """Name brackets above and legs below the board, with a tick at each."""
    above, below = _TOP - 1.0, _TOP + BOARD_MM + 0.8 + _SIZE * MM_PER_PT
    ticks = "".join(f"M{place.x(one.x_mm):.2f} {_TOP}v-0.8" for one in table.brackets)
    ticks += "".join(f"M{place.x(leg.x_mm):.2f} {_TOP + BOARD_MM}v0.8" for leg in table.legs)
    names = [(one.name, one.x_mm, above) for one in table.brackets]
    names += [(leg.name, leg.x_mm, below) for leg in table.legs]
    return f'<path stroke="#000" stroke-width="0.25" d="{ticks}"/>' + "".join(
        svg_text(place.x(x_mm), y, _SIZE, name, "middle") for name, x_mm, y in names
    )


def _ends(place: _Place) -> str:
    y = _TOP + BOARD_MM / 2
    left = svg_text(_SIDE - 1.2, y + 1.4, 10, "A", "end")
    return (
        left
        + svg_text(place.right + 1.2, y + 1.4, 10, "B", "start")
        + svg_text(_SIDE - 1.2, _TOP + 2.4, _SIZE, "left", "end")
        + svg_text(_SIDE - 1.2, _TOP + BOARD_MM - 0.6, _SIZE, "right", "end")
    )
