"""All that a table's visits come to, whatever the day: worth keeping, for it takes a while."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from passport.leveling.advice import Advice, StationState
from passport.leveling.advise import state_at, undated
from passport.leveling.judge import judge
from passport.leveling.posterior.filter import Belief, known_at, start_from
from passport.leveling.surface import estimates_of
from passport.leveling.walks import Moment
from passport.table import Table
from passport.visit import Visit

MOST_VISITS = 10  # the newest; older ones stand in the log


@dataclass(frozen=True)
class Passed:
    """What one visit found and left, by all that was known at its end; without the reasons."""

    on: date | None
    found: tuple[StationState, ...]
    left: tuple[StationState, ...]


@dataclass(frozen=True)
class Standing:
    """How a table stands.

    Attributes
    ----------
    advice : Advice
        After the newest visit, without a day for the next one.
    former : Advice or None
        After the visit before; None where there is none.
    found : tuple of StationState
        What the newest visit found, by its own counts.
    passed : tuple of Passed
        The newest visits, oldest first.
    """

    advice: Advice
    former: Advice | None = None
    found: tuple[StationState, ...] = ()
    passed: tuple[Passed, ...] = ()


@dataclass(frozen=True)
class Start:
    """What earlier visits came to: those that follow are worked out from there, to the same end.

    Attributes
    ----------
    believed : int
        After how many of the visits ``belief`` is what the next one starts from.
    count : int
        After how many of them ``advice`` is said and ``passed`` ends; no fewer.
    """

    believed: int
    belief: Belief
    count: int
    advice: Advice
    passed: tuple[Passed, ...]


def standing(table: Table, visits: Sequence[Visit], start: Start | None = None) -> Standing:
    """Work out how a table stands.

    Parameters
    ----------
    table : Table
        Geometry, targets and kit.
    visits : sequence of Visit
        Oldest first; may be empty.
    start : Start, optional
        What the first of these very visits came to; only time depends on it.
    """
    if start is not None:
        start_from(table, visits[: start.believed], start.belief)
    advice = undated(table, visits)
    if not visits:
        return Standing(advice)
    found = state_at(table, visits[-1], Moment.FOUND)
    return Standing(advice, _former(table, visits, start), found, passed(table, visits, start))


def _former(table: Table, visits: Sequence[Visit], start: Start | None) -> Advice | None:
    if start is not None and start.count == len(visits) - 1:
        return start.advice
    return undated(table, visits[:-1]) if len(visits) > 1 else None


def passed(table: Table, visits: Sequence[Visit], start: Start | None = None) -> tuple[Passed, ...]:
    """Say what each of the newest visits found and left."""
    known = () if start is None else start.passed
    first = 0 if start is None else start.count
    oldest = max(first, len(visits) - MOST_VISITS)
    new = (_passed(table, visits[: number + 1]) for number in range(oldest, len(visits)))
    return (*known, *new)[-MOST_VISITS:]


def _passed(table: Table, visits: Sequence[Visit]) -> Passed:
    known = known_at(table, visits)
    found, left = (
        tuple(
            replace(judge(table, one), why="")
            for one in estimates_of(table, visits[-1], known, moment)
        )
        for moment in (Moment.FOUND, Moment.LEFT)
    )
    return Passed(visits[-1].date, found, left)
