"""When to come again: common practice, no source, until a table's own history says more."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from passport.climate.air import AirReading
from passport.leveling.advice import Verdict
from passport.leveling.seasons import Foreseen, foreseen, season_outlook
from passport.table import Table
from passport.visit import Visit

AFTER_INSTALLATION_DAYS = 21  # within weeks, whatever else
OUT_DAYS = 14
UNDECIDED_DAYS = 42
AVERAGE_USE_DAYS = 75  # two to three months of average use
HEAVY_USE_DAYS = 45
HEAVY_USE = "heavy"  # in the marks of what changed


@dataclass(frozen=True)
class Due:
    """Date of the next visit and why, in one printed line."""

    on: date
    why: str


@dataclass(frozen=True)
class Terms:
    """What one table adds: the day its seasons make a visit due, and the owner's longest wait."""

    foreseen: Foreseen | None = None
    longest_days: int | None = None  # None: as long as average use allows


def terms_of(
    table: Table, visits: Sequence[Visit], today: date, air: Sequence[AirReading] = ()
) -> Terms:
    """Work out what a table's seasons and its owner add.

    Parameters
    ----------
    table : Table
        With its room.
    visits : sequence of Visit
        Oldest first.
    today : date
        The day from which on it is said.
    air : sequence of AirReading
        Air of the room besides that of the visits.
    """
    weeks = table.room.visit_within_weeks
    longest = None if weeks is None else weeks * 7
    dated = [visit.date for visit in visits if visit.date is not None]
    if not dated:
        return Terms(None, longest)
    found = season_outlook(table, visits, today, air)
    return Terms(foreseen(table, max(dated), found), longest)


def next_visit(
    last: Visit | None, count: int, verdict: Verdict, today: date, terms: Terms | None = None
) -> Due:
    """Choose the earliest of all reasons to come again.

    Parameters
    ----------
    last : Visit or None
        The newest visit.
    count : int
        Visits recorded; the first one follows an installation.
    verdict : Verdict
        Of the whole table.
    today : date
        Counts where there is no visit, or none with a date.
    terms : Terms or None
        What the table's seasons and its owner add.

    Returns
    -------
    Due
        Date and reason.
    """
    if last is None:
        return Due(today, "Nothing was measured yet: the first leveling is due.")
    start = last.date or today
    added = _added(terms or Terms(), start)
    days, why = min([*_reasons(last, count, verdict), *added])
    on = start + timedelta(days=days)
    return Due(on, why + (" Overdue." if on < today else ""))


def _reasons(last: Visit, count: int, verdict: Verdict) -> list[tuple[int, str]]:
    reasons: list[tuple[int, str]] = []
    if any(HEAVY_USE in mark for mark in last.changed):
        reasons.append((HEAVY_USE_DAYS, "Played heavily: earlier than two months."))
    if verdict is Verdict.OUT:
        reasons.append((OUT_DAYS, "A station is out of tolerance: within two weeks."))
    if verdict in {Verdict.UNDECIDED, Verdict.UNKNOWN}:
        reasons.append((UNDECIDED_DAYS, "A station is undecided or not measured: within weeks."))
    if count == 1:
        reasons.append(
            (AFTER_INSTALLATION_DAYS, "New here, and wood answers slowly: within weeks.")
        )
    return reasons


def _added(terms: Terms, start: date) -> list[tuple[int, str]]:
    """List the seasons' reason, and the longest wait: the owner's, else that of average use."""
    longest = (AVERAGE_USE_DAYS, "Two to three months of average use (common practice).")
    if terms.longest_days is not None:
        weeks = terms.longest_days // 7
        longest = (terms.longest_days, f"The owner has set a visit every {weeks} weeks.")
    if terms.foreseen is None:
        return [longest]
    return [longest, ((terms.foreseen.on - start).days, terms.foreseen.why)]
