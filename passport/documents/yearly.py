"""The year to come: where the seasons take the hollow, its dry and damp ends, the next visit."""

from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from forms.typeface import MM_PER_PT, width_mm
from passport.climate.outlook import Outlook, outlook
from passport.documents import wording
from passport.documents.house import Story, picture, svg, svg_text
from passport.leveling.advice import Quantity
from passport.leveling.seasons import SeasonCourse, season_lines
from passport.table import Table, Target

Floats = NDArray[np.float64]

HEIGHT = 54.0  # [mm]
NORMAL_95 = 1.96  # standard uncertainties to either side of a 95 % interval
_LEFT, _RIGHT_MARGIN, _TOP, _BOTTOM = 11.5, 1.0, 6.0, 43.0  # [mm] of the plot
_REACH = 2.2  # tolerances shown at least on either side of the target
_SIZE = 7.0  # [pt]
_DAYS = 366


@dataclass(frozen=True)
class Yearly:
    """The coming year, ready to print."""

    unit: str
    picture: str
    words: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class _Year:
    """Mean hollow of all brackets on some days, with its 95 % interval. [mm]."""

    days: tuple[date, ...]
    mean: Floats
    half: Floats
    target: Target

    @property
    def reach(self) -> float:
        """How far from the target the plot reaches, so that all of it is shown. [mm]."""
        most = float(np.max(np.abs(self.mean - self.target.value) + self.half))
        return max(_REACH * self.target.tolerance, 1.05 * most)


def yearly(story: Story, width: float) -> Yearly | None:
    """Chart the coming year on ``width`` [mm]; None as long as no visit tells of the seasons."""
    if story.season is None or story.today is None:
        return None
    table, season = story.table, story.season
    seen = outlook(season.seasons, table.targets.hollow_mm, story.today, season.reading_u_mm)
    year = _year(season, table.targets.hollow_mm, story.today)
    return Yearly(
        wording.unit(table, Quantity.HOLLOW),
        picture(_Chart(table, year, width).draw(seen, story.advice.next_visit)),
        _words(table, year, seen),
        season_lines(table, seen),
    )


def _year(season: SeasonCourse, target: Target, today: date) -> _Year:
    ahead, days = season.seasons.learned.table, season.seasons.days
    kept = [n for n, day in enumerate(days) if 0 <= (day - today).days <= _DAYS]
    half = NORMAL_95 * np.sqrt(np.maximum(0.0, np.diag(ahead.cov)[kept]))
    return _Year(tuple(days[n] for n in kept), ahead.mean[kept], half, target)


def _words(table: Table, year: _Year, seen: Outlook) -> str:
    spots = range(0, len(year.days), max(1, len(year.days) // 6))
    said = "; ".join(
        f"{wording.short_month(year.days[n])} "
        f"{wording.cell(table, Quantity.HOLLOW, float(year.mean[n]), float(year.half[n]))}"
        for n in spots
    )
    unit = wording.unit(table, Quantity.HOLLOW)
    return (
        f"Mean hollow of all brackets over the coming year, {unit}: "
        f"{said}. Dry end {wording.month(seen.dry.day)}, damp end {wording.month(seen.damp.day)}."
    )


@dataclass(frozen=True)
class _Chart:
    """Where days and hollows lie on the chart of a year."""

    table: Table
    year: _Year
    width: float

    @property
    def right(self) -> float:
        return self.width - _RIGHT_MARGIN

    def x(self, day: date) -> float:
        first, last = self.year.days[0], self.year.days[-1]
        share = (day - first).days / max(1, (last - first).days)
        return _LEFT + share * (self.right - _LEFT)

    def y(self, value: float) -> float:
        middle = (_TOP + _BOTTOM) / 2
        return middle - (value - self.year.target.value) / self.year.reach * (_BOTTOM - _TOP) / 2

    def draw(self, seen: Outlook, visit: date | None) -> str:
        """Draw band, course, ends of the year and the next visit."""
        shapes = self._band() + self._months() + self._course()
        shapes += self._end(seen.dry.day, "dry end") + self._end(seen.damp.day, "damp end")
        return svg(self.width, HEIGHT, shapes + self._visit(visit))

    def _band(self) -> str:
        target = self.year.target
        high, low = target.value + target.tolerance, target.value - target.tolerance
        drop = _SIZE * MM_PER_PT * 0.36
        apart = self.y(low) - self.y(high) > 1.2 * _SIZE * MM_PER_PT
        labels = "".join(
            svg_text(
                _LEFT - 1,
                self.y(end) + drop,
                _SIZE,
                wording.scale(self.table, Quantity.HOLLOW, end),
                "end",
            )
            for end in ((high, low) if apart else (target.value,))
        )
        return (
            f'<path fill="#ddd" d="M{_LEFT} {self.y(high):.2f}H{self.right}V{self.y(low):.2f}'
            f'H{_LEFT}Z"/><path stroke="#777" stroke-width="0.12" d="M{_LEFT} '
            f'{self.y(target.value):.2f}H{self.right}"/>{labels}'
        )

    def _course(self) -> str:
        """Draw the expected course, and a bar of its 95 % interval about every month."""
        year = self.year
        spots = [
            f"{self.x(day):.2f} {self.y(float(mean)):.2f}"
            for day, mean in zip(year.days, year.mean, strict=True)
        ]
        bars = "".join(
            f"M{self.x(year.days[n]):.2f} {self.y(float(year.mean[n] + year.half[n])):.2f}"
            f"V{self.y(float(year.mean[n] - year.half[n])):.2f}"
            for n in self._monthly()
        )
        return (
            f'<path stroke="#000" stroke-width="0.2" d="{bars}"/>'
            f'<path fill="none" stroke="#000" stroke-width="0.5" d="M{"L".join(spots)}"/>'
        )

    def _monthly(self) -> list[int]:
        """Pick a day of each month."""
        seen: dict[tuple[int, int], int] = {}
        for number, day in enumerate(self.year.days):
            seen.setdefault((day.year, day.month), number)
        return list(seen.values())

    def _months(self) -> str:
        """Rule the axis at the first of each month and name the month."""
        first, last = self.year.days[0], self.year.days[-1]
        starts = [
            date(first.year + (first.month + step) // 12, (first.month + step) % 12 + 1, 1)
            for step in range(12)
        ]
        starts = [day for day in starts if day <= last]
        ticks = "".join(f"M{self.x(day):.2f} {_BOTTOM}v1" for day in starts)
        y = _BOTTOM + 1.2 + _SIZE * MM_PER_PT
        names = "".join(
            svg_text(self.x(day) + 0.6, y, _SIZE, wording.short_month(day)[:3], "start")
            for day in starts
            if self.x(day) + 6 < self.right
        )
        axis = f"M{_LEFT} {_BOTTOM}H{self.right}"
        return f'<path stroke="#000" stroke-width="0.2" d="{axis}{ticks}"/>{names}'

    def _end(self, day: date, name: str) -> str:
        """Rule an end of the year and name it above the plot."""
        x = self.x(min(max(day, self.year.days[0]), self.year.days[-1]))
        half = width_mm(name, _SIZE) / 2
        middle = min(max(x, _LEFT + half), self.right - half)
        return (
            f'<path stroke="#555" stroke-width="0.15" stroke-dasharray="0.8 0.8" '
            f'd="M{x:.2f} {_TOP}V{_BOTTOM}"/>' + svg_text(middle, _TOP - 1.2, _SIZE, name, "middle")
        )

    def _visit(self, day: date | None) -> str:
        """Point at the next visit from below the axis."""
        first, last = self.year.days[0], self.year.days[-1]
        if day is None or day > last:
            return ""
        x = self.x(max(day, first))
        name = "next visit"
        y = _BOTTOM + 1.8 + 2 * 1.25 * _SIZE * MM_PER_PT
        half = width_mm(name, _SIZE) / 2 + 1.6
        middle = min(max(x, _LEFT + half), self.right - half)
        arrow = f"M{x:.2f} {_BOTTOM + 4.6}l-0.9 1.5h1.8Z"
        return f'<path d="{arrow}"/>' + svg_text(middle, y + 1.2, _SIZE, name, "middle")
