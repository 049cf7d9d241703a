"""What moved between two visits more than wood and floors do, and counts that can't be.

Each visit is foretold from all visits before it: what was left, less what relaxes, with what may
drift, all brackets together and each on its own. Of what was found, each station is compared with
what the other stations, too, make one expect: a room that dried moves all brackets and none is
named; one bracket that loosened moves alone.

References
----------
JCGM 100:2008 (GUM); innovations of a Kalman filter: J. Durbin and S. J. Koopman, *Time Series
Analysis by State Space Methods* (2012), 4.3 and 7.5 (from memory).
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from passport.leveling.advice import Quantity
from passport.leveling.lines import COVERAGE_FACTOR, sense_words, station_words, value_words
from passport.leveling.posterior.filter import Known
from passport.leveling.posterior.places import Places
from passport.leveling.posterior.sites import Floats
from passport.table import Table

# Standard deviations down and up. A bracket that loosens goes flatter, a wrong row is far off, a
# foot that sank by more than its tolerance is many of them: so one alarm in 50 visits without a
# fault, which is what is allowed, is spent on brackets that go flatter.
LIMITS = {
    Quantity.CROSS: (4.0, 4.0),
    Quantity.HOLLOW: (2.8, 4.0),
    Quantity.RISE: (3.5, 3.5),
}
ZERO_LIMIT = 4.0
LOOK_FOR = {
    Quantity.CROSS: "a foot that sank, a loose jam nut, a level that lost its zero",
    Quantity.HOLLOW: "a loose nut or bracket, a count written in the wrong row",
    Quantity.RISE: "feet that sank, supporting legs that lift the board",
}


def watch(table: Table, known: Known) -> list[str]:
    """Name what stands out at a visit against all visits before it.

    Parameters
    ----------
    table : Table
        For its units.
    known : Known
        What is known within the visit.

    Returns
    -------
    list of str
        One printed line each; a level that lost its zero first, then stations from end A.
    """
    beside = compared(known)
    out = [place for place, off in enumerate(beside.off) if _beyond(known.places, place, off)]
    zero = list(_zero(table, known))
    moved = [place for place in out if not _by_zero(known, zero, place)]
    lines = [_moved_line(table, known, beside, place) for place in moved]
    return [*zero, *lines, *contradictions(known, but=out)]


def contradictions(known: Known, but: Sequence[int] = ()) -> list[str]:
    """Name the stations whose counts and turns of one visit contradict each other.

    Parameters
    ----------
    known : Known
        What is known within the visit.
    but : sequence of int
        Places of the state that are named already.

    Returns
    -------
    list of str
        One printed line each, from end A.
    """
    wrong = sorted(place for place in known.contradicted if place not in but)
    return [_wrong_line(known.places, place) for place in wrong]


@dataclass(frozen=True)
class Compared:
    """What was found beside what was foretold, each station with all others known.

    Attributes
    ----------
    off : ndarray of shape (state,)
        How far from it, in standard deviations; nought where the visit says nothing of a station.
    u : ndarray of shape (state,)
        Standard uncertainty of what was to be expected. [mm, mm/m]
    """

    off: Floats
    u: Floats


def compared(known: Known) -> Compared:
    """Compare what was found with what was foretold, each station beside all others.

    Parameters
    ----------
    known : Known
        What is known within a visit.

    Returns
    -------
    Compared
        By place of the state.
    """
    state = known.places.state
    rows = known.course.found
    change = rows @ (known.whole.mean - known.start.mean)
    gained = rows @ (known.start.covariance - known.whole.covariance) @ rows.T
    gained = _beside_forgotten(known, gained)
    scale = np.sqrt(np.maximum(np.diag(known.start.covariance)[:state], 1e-12))
    share = gained / np.outer(scale, scale)
    seen = np.flatnonzero(np.diag(share) > 0.05)
    off, u = np.zeros(state), scale.copy()
    if len(seen):
        size, ways = np.linalg.eigh(share[np.ix_(seen, seen)])
        inverse = (ways / np.maximum(size, 1e-3)) @ ways.T
        whitened = inverse @ (change / scale)[seen]
        each = np.sqrt(np.diag(inverse))
        off[seen], u[seen] = whitened / each, scale[seen] / each
    return Compared(off, u)


def _beside_forgotten(known: Known, gained: Floats) -> Floats:
    """Where a station was forgotten, what was found says nothing of what was foretold: both vary.

    All others gained what the visit's counts took from their variance.
    """
    rows = known.course.found
    before, after = (rows @ one.covariance @ rows.T for one in (known.start, known.whole))
    forgotten = sorted(known.course.broken)
    gained[forgotten, :] = before[forgotten, :]
    gained[:, forgotten] = before[:, forgotten]
    gained[forgotten, forgotten] += after[forgotten, forgotten]
    return gained


def _beyond(places: Places, place: int, off: float) -> bool:
    """Whether a station is further off than chance makes it."""
    down, up = LIMITS[_station(places, place)[0]]
    return not -down <= off <= up


def _zero(table: Table, known: Known) -> Iterator[str]:
    """Say where the level's zero is far from what such a level has."""
    place = known.places.zero
    value, u = known.whole.mean[place], math.sqrt(known.whole.covariance[place, place])
    gained = known.start.covariance[place, place] - u**2
    moved = value - known.start.mean[place]
    if gained > 0 and abs(moved) > ZERO_LIMIT * math.sqrt(gained):
        said = value_words(table, Quantity.CROSS, float(abs(value)), COVERAGE_FACTOR * u)
        yield (
            f"All cross levels are off alike: the level seems to show {said} on level ground. "
            "Before turning, check it both ways round on one spot."
        )


def _by_zero(known: Known, zero: list[str], place: int) -> bool:
    """Whether a cross level is explained by a level that lost its zero."""
    return bool(zero) and place < len(known.places.legs)


def _station(places: Places, place: int) -> tuple[Quantity, str]:
    if place >= places.hollow(0):
        return Quantity.HOLLOW, places.brackets[place - places.hollow(0)]
    if place >= places.rise(0):
        return Quantity.RISE, places.rises[place - places.rise(0)]
    return Quantity.CROSS, places.legs[place]


def _moved_line(table: Table, known: Known, beside: Compared, place: int) -> str:
    quantity, name = _station(known.places, place)
    row, u = known.course.found[place], float(beside.u[place])
    found = float(row @ known.whole.mean)
    found_u = math.sqrt(float(row @ known.whole.covariance @ row))
    said, expected = (
        sense_words(table, quantity, value, COVERAGE_FACTOR * spread)
        for value, spread in ((found, found_u), (found - float(beside.off[place]) * u, u))
    )
    words = f"rise of end {name}" if quantity is Quantity.RISE else station_words(quantity, name)
    return (
        f"{words}: found {said}; by what was left, and what other stations did since, {expected} "
        f"was to be expected: that is no drift. Before turning, look for {LOOK_FOR[quantity]}."
    )


def _wrong_line(places: Places, place: int) -> str:
    quantity, name = _station(places, place)
    words = f"rise of end {name}" if quantity is Quantity.RISE else station_words(quantity, name)
    return (
        f"{words}: its counts and turns can't all be true. Look at its row on the form; only its "
        "last count is used."
    )
