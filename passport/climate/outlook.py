"""What to expect of a table's hollow over the coming year, what to set, and when to come again."""

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from passport.climate.learning import (
    MONTH_DAYS,
    OWN_SHARE,
    WANDER_BRACKET_MM,
    WANDER_TABLE_MM,
    Ahead,
)
from passport.climate.room import waves
from passport.climate.seasons import Seasons
from passport.table import Target

Floats = NDArray[np.float64]

OUT_CHANCE = 0.3  # a visit is due once a bracket is out of tolerance as likely as this
SETTINGS = 41  # tried over the tolerance


@dataclass(frozen=True)
class Amount:
    """A value and its standard uncertainty."""

    value: float
    u: float


@dataclass(frozen=True)
class YearEnd:
    """An end of the year's movement: when, and the hollow's change from today until then. [mm]."""

    day: date
    change: Amount


@dataclass(frozen=True)
class Setting:
    """The hollow to set today, how long it is likelier in than out by the stated chance. [mm]."""

    hollow_mm: float
    until: date | None  # None: beyond the coming year
    dry: Amount  # hollow at the dry end
    damp: Amount


@dataclass(frozen=True)
class Passing:
    """The first day on which a bracket's chance of being out passes the stated level."""

    day: date
    bracket: str
    chance: float


@dataclass(frozen=True)
class BestMonth:
    """The month (1 to 12) whose visit would narrow the yearly movement most, and to which share."""

    month: int
    share: float


@dataclass(frozen=True)
class Outlook:
    """What the seasons do to a table.

    ``sensitivity`` in mm per % MC between the board's faces; ``swing`` the yearly movement from
    its dry to its damp end in mm.
    """

    sensitivity: Amount
    swing: Amount
    dry: YearEnd
    damp: YearEnd
    setting: Setting
    passing: Passing | None
    best: BestMonth
    stated: str
    readings: int


def outlook(seasons: Seasons, target: Target, today: date, reading_u_mm: float) -> Outlook:
    """Say what to expect over the coming year.

    Parameters
    ----------
    seasons : Seasons
        What was learned.
    target : Target
        Hollow and its tolerance. [mm]
    today : date
        The day from which on it is said.
    reading_u_mm : float
        Standard uncertainty of one hollow as it is read. [mm]

    Returns
    -------
    Outlook
        Each value with its standard uncertainty.
    """
    change = _change_from(seasons, today)
    dry, damp = change.ends()
    after = seasons.learned.after
    return Outlook(
        sensitivity=Amount(float(after.mean[0]), float(np.sqrt(after.cov[0, 0]))),
        swing=yearly_swing(seasons),
        dry=dry,
        damp=damp,
        setting=_setting(change, (dry, damp), target, reading_u_mm),
        passing=_passing(seasons, target),
        best=best_month(seasons, today, reading_u_mm),
        stated=seasons.stated,
        readings=seasons.readings,
    )


def yearly_swing(seasons: Seasons) -> Amount:
    """Movement between the ends of the year, twice its amplitude, to first order. [mm]."""
    after = seasons.learned.after
    pair, cov = after.mean[1:3], after.cov[1:3, 1:3]
    size = float(np.hypot(*pair))
    way = pair / size if size > 0 else np.array([1.0, 0.0])
    return Amount(2 * size, 2 * float(np.sqrt(way @ cov @ way)))


def best_month(seasons: Seasons, today: date, reading_u_mm: float) -> BestMonth:
    """Find the month of the coming year whose visit would settle the yearly movement best.

    One visit reads all brackets once; what it takes off the variance of the yearly cosine and
    sine together counts.
    """
    learned = seasons.learned
    whole = float(np.trace(learned.after.cov[1:3, 1:3]))
    noise = reading_u_mm**2 / len(learned.brackets)
    starts = [_middle_of_month(today, step) for step in range(12)]
    spots = [_nearest(seasons.days, day) for day in starts]
    reach = learned.table.with_movement[1:3, spots]
    taken = (reach**2).sum(axis=0) / (np.diag(learned.table.cov)[spots] + noise)
    best = int(np.argmax(taken))
    share = float(np.sqrt(max(0.0, 1 - taken[best] / whole))) if whole > 0 else 1.0
    return BestMonth(starts[best].month, share)


def chance_out(mean: Floats, u: Floats, target: Target) -> Floats:
    """Chance of lying outside a tolerance, for values with normal uncertainty."""
    high = (target.value + target.tolerance - mean) / u
    low = (target.value - target.tolerance - mean) / u
    return np.asarray(1 - (ndtr(high) - ndtr(low)), dtype=np.float64)


@dataclass(frozen=True)
class _Change:
    """Change of a bracket's hollow from today on, whatever its setting. [mm]."""

    days: tuple[date, ...]
    yearly: Floats  # the part that returns
    mean: Floats
    u: Floats

    def ends(self) -> tuple[YearEnd, YearEnd]:
        """Flattest and hollowest day of the coming year by the part that returns."""
        low, high = int(np.argmin(self.yearly)), int(np.argmax(self.yearly))
        return self._end(low), self._end(high)

    def _end(self, spot: int) -> YearEnd:
        return YearEnd(self.days[spot], self.at(self.days[spot]))

    def at(self, day: date) -> Amount:
        """Give the change until one of the days."""
        spot = self.days.index(day)
        return Amount(float(self.mean[spot]), float(self.u[spot]))


def _change_from(seasons: Seasons, today: date) -> _Change:
    first = _nearest(seasons.days, today)
    end = max(today, seasons.days[first]) + timedelta(days=366)
    days = tuple(day for day in seasons.days[first:] if day <= end)
    after = seasons.learned.after
    ordinals = np.array([day.toordinal() for day in days])
    rows = after.rows()[np.searchsorted(after.days, ordinals)]
    rows = rows - rows[0]
    mean = rows @ after.mean
    months = (ordinals - ordinals[0]) / MONTH_DAYS
    wander = months * (WANDER_TABLE_MM**2 + WANDER_BRACKET_MM**2)
    seasonal = np.einsum("ij,jk,ik->i", rows, after.cov, rows)
    u = np.sqrt(np.maximum(0.0, seasonal) + wander + (OWN_SHARE * mean) ** 2)
    return _Change(days, waves(ordinals) @ after.mean[1:3], mean, u)


def _setting(
    change: _Change, ends: tuple[YearEnd, YearEnd], target: Target, reading_u_mm: float
) -> Setting:
    """Choose the setting that stays longest; of several, the one with the least chance of out."""
    tried = target.value + np.linspace(-1, 1, SETTINGS) * target.tolerance
    u = np.hypot(change.u, reading_u_mm)
    chances = np.array([chance_out(one + change.mean, u, target) for one in tried])
    passed = chances > OUT_CHANCE
    spots = np.where(passed.any(axis=1), np.argmax(passed, axis=1), len(change.days))
    order = np.lexsort((np.abs(tried - target.value), chances.mean(axis=1).round(6), -spots))
    best = int(order[0])
    dry, damp = (
        Amount(float(tried[best]) + end.change.value, float(np.hypot(end.change.u, reading_u_mm)))
        for end in ends
    )
    until = change.days[spots[best]] if spots[best] < len(change.days) else None
    return Setting(float(tried[best]), until, dry, damp)


def _passing(seasons: Seasons, target: Target) -> Passing | None:
    """Find the first day on which some bracket passes the stated chance; None within the year."""
    days = np.array([day.toordinal() for day in seasons.days])
    found = (_first_out(one, days, target) for one in seasons.learned.brackets)
    return min((one for one in found if one is not None), key=lambda one: one.day, default=None)


def _first_out(bracket: Ahead, days: NDArray[np.int64], target: Target) -> Passing | None:
    chances = chance_out(bracket.mean, np.sqrt(np.diag(bracket.cov)), target)
    each = np.arange(days[0], days[-1] + 1)
    daily = np.interp(each, days, chances)
    if not (daily > OUT_CHANCE).any():
        return None
    spot = int(np.argmax(daily > OUT_CHANCE))
    return Passing(date.fromordinal(int(each[spot])), bracket.name, float(daily[spot]))


def _middle_of_month(today: date, step: int) -> date:
    """Give the middle of one of the twelve months after today's middle of the month."""
    first = today if today.day <= 15 else today + timedelta(days=20)
    month = first.month - 1 + step
    return date(first.year + month // 12, month % 12 + 1, 15)


def _nearest(days: tuple[date, ...], day: date) -> int:
    return min(range(len(days)), key=lambda spot: abs((days[spot] - day).days))
