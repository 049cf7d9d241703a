"""A table's seasons, from its description, its visits and the readings of its room's air."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache

import numpy as np

from passport.climate.air import AirReading, wetting
from passport.climate.learning import Learned, Sighting, learn, learn_movement
from passport.climate.movement import Movement, expected_sensitivity, movement, slabs
from passport.climate.room import expected_course
from passport.table import Board, Room

HISTORY_DAYS = 5 * 366  # older visits say little of a table's seasons, and cost the most
AHEAD_DAYS = 378  # a year and two weeks
FINE_DAYS = 91  # every week so far, then every second
WEEK = 7


@dataclass(frozen=True)
class Known:
    """What is known of a table: its board and room, hollows seen, air read."""

    board: Board
    room: Room
    sightings: tuple[Sighting, ...]
    air: tuple[AirReading, ...] = ()


@dataclass(frozen=True)
class Seasons:
    """What was learned, and the days that it is carried forward to."""

    learned: Learned
    days: tuple[date, ...]
    stated: str  # what the room's course rests on
    readings: int


@lru_cache(maxsize=8)  # one table's page asks several times
def seasons(known: Known, today: date) -> Seasons:
    """Learn a table's seasons and carry its hollows a year forward.

    Parameters
    ----------
    known : Known
        With at least one sighting.
    today : date
        The days ahead start on the last visit's day, or today if that is longer ago than a year.

    Returns
    -------
    Seasons
        The movement before and after the visits, and each bracket's course ahead.
    """
    recent = _recent(known.sightings)
    days = _ahead(max(one.day for one in recent), today)
    since = recent[0].day - timedelta(days=366)
    air = [one for one in known.air if one.usable and one.day >= since]
    course = expected_course(known.room)
    at = np.unique([day.toordinal() for day in (*days, *(one.day for one in recent))])
    faces = {slab: wetting(course, air, slab, at) for slab, _ in slabs(known.board)}
    sensitivity = expected_sensitivity(known.board)

    def before(weather_square: float | None) -> Movement:
        return movement(known.board, faces, at, sensitivity, weather_square)

    first = learn_movement(before(None), recent)
    square = float(first.mean[0] ** 2 + first.cov[0, 0])
    return Seasons(learn(before(square), recent, days), days, course.stated, len(air))


def _recent(sightings: Sequence[Sighting]) -> list[Sighting]:
    """Sightings of the last years, in the order of time."""
    ordered = sorted(sightings, key=lambda one: (one.day, one.setting))
    start = ordered[-1].day - timedelta(days=HISTORY_DAYS)
    return [one for one in ordered if one.day >= start]


def _ahead(last: date, today: date) -> tuple[date, ...]:
    """Every week, later every second, from the last visit to a year after today."""
    first = max(last, today - timedelta(days=366))
    whole = (max(today, first) - first).days + AHEAD_DAYS
    steps = (*range(0, FINE_DAYS, WEEK), *range(FINE_DAYS, whole, 2 * WEEK))
    return tuple(first + timedelta(days=step) for step in steps)
