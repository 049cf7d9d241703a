"""A table's visits as the seasons need them, and the seasons in printed lines."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from passport.climate.air import AirReading
from passport.climate.learning import Sighting
from passport.climate.outlook import OUT_CHANCE, Amount, Outlook, YearEnd, outlook
from passport.climate.seasons import HISTORY_DAYS, Known, Seasons, seasons
from passport.leveling.advice import Quantity
from passport.leveling.lines import COVERAGE_FACTOR, percent_words, value_words
from passport.leveling.readings import corrected, edge_bow, hollow_reading
from passport.leveling.walks import Gap, Moment, count_at, rows
from passport.table import Table
from passport.visit import Visit

SOONEST_DAYS = 14  # wood answers slowly: an earlier visit would see little
FORGET = frozenset({"moved", "climate", "refinished", "part"})  # marks after which it starts anew
_MONTHS = "January February March April May June July August September October November December"


@dataclass(frozen=True)
class Foreseen:
    """The day by which a hollow is out of tolerance with the stated chance, and why."""

    on: date
    why: str


def season_outlook(
    table: Table, visits: Sequence[Visit], today: date, cards: Sequence[AirReading] = ()
) -> Outlook | None:
    """Say what the seasons do to a table, by its visits and the owner's cards.

    Parameters
    ----------
    table : Table
        Board, room, brackets and target.
    visits : sequence of Visit
        Oldest first. After a move, a change of heating, a refinish or a new part it starts anew.
    today : date
        The day from which on it is said.
    cards : sequence of AirReading
        Readings of the room's air between visits.

    Returns
    -------
    Outlook or None
        None where no dated visit saw a hollow between two counts.
    """
    found = season_course(table, visits, today, cards)
    if found is None:
        return None
    return outlook(found.seasons, table.targets.hollow_mm, today, found.reading_u_mm)


@dataclass(frozen=True)
class SeasonCourse:
    """What was learned of a table's seasons, and how surely one hollow is read. [mm]."""

    seasons: Seasons
    reading_u_mm: float


def season_course(
    table: Table, visits: Sequence[Visit], today: date, cards: Sequence[AirReading] = ()
) -> SeasonCourse | None:
    """Learn a table's seasons and carry its hollows a year forward; see ``season_outlook``."""
    kept = _since_changed([visit for visit in visits if visit.date is not None])
    sightings = tuple(one for name in table.brackets for one in _seen(table, kept, name.name))
    if not sightings:
        return None
    air = (*cards, *(one for visit in kept for one in _air(visit)))
    if kept and kept[0].changed & {"climate", "moved"}:
        air = tuple(one for one in air if one.day >= (kept[0].date or today))
    found = seasons(Known(table.board, table.room, sightings, air), today)
    return SeasonCourse(found, sightings[-1].u_mm)


def foreseen(table: Table, last: date, found: Outlook | None) -> Foreseen | None:
    """Say when the seasons make a visit due; None where they don't within the year."""
    if found is None or found.passing is None:
        return None
    passing = found.passing
    swing = value_words(table, Quantity.HOLLOW, found.swing.value, COVERAGE_FACTOR * found.swing.u)
    return Foreseen(
        max(passing.day, last + timedelta(days=SOONEST_DAYS)),
        f"By then {passing.bracket}'s hollow is out of tolerance with a chance of "
        f"{percent_words(OUT_CHANCE)} (seasons: {swing} over the year).",
    )


def season_lines(table: Table, found: Outlook) -> tuple[str, ...]:
    """Say the seasons in printed lines, each value with its 95 % uncertainty."""
    return (
        f"Seasons rest on {found.stated}, and {found.readings} reading"
        f"{'' if found.readings == 1 else 's'} of the air; "
        "the board is taken as a slab open below.",
        f"Yearly movement of the hollow: {_said(table, found.swing)} from dry to damp end.",
        f"Dry end {_when(found, found.dry)}: {_change(table, found.dry)}; damp end "
        f"{_when(found, found.damp)}: {_change(table, found.damp)}, against today.",
        f"A hollow set to {value_words(table, Quantity.HOLLOW, found.setting.hollow_mm)} today "
        f"stays in tolerance longest: {_until(found)}; then {_said(table, found.setting.dry)} at "
        f"the dry end, {_said(table, found.setting.damp)} at the damp end.",
        f"A visit in {_name(found.best.month)} would settle the yearly movement best: it leaves "
        f"{100 * found.best.share:.0f} % of what is uncertain.",
    )


def _when(found: Outlook, end: YearEnd) -> str:
    """Name the month of an end, and doubt it while the movement may as well be none."""
    perhaps = "perhaps " if found.swing.value < found.swing.u else ""
    return f"{perhaps}in {_month(end.day)}"


def _until(found: Outlook) -> str:
    chance = percent_words(OUT_CHANCE)
    if found.setting.until is None:
        return f"the chance of being out stays below {chance} for a year"
    day = found.setting.until
    return f"the chance of being out passes {chance} by {day.day} {_month(day)} {day.year}"


def _said(table: Table, amount: Amount) -> str:
    return value_words(table, Quantity.HOLLOW, amount.value, COVERAGE_FACTOR * amount.u)


def _change(table: Table, end: YearEnd) -> str:
    said = value_words(
        table, Quantity.HOLLOW, abs(end.change.value), COVERAGE_FACTOR * end.change.u
    )
    return f"{said} {'hollower' if end.change.value > 0 else 'flatter'}"


def _month(day: date) -> str:
    return _name(day.month)


def _name(month: int) -> str:
    return _MONTHS.split()[month - 1]


def _since_changed(visits: Sequence[Visit]) -> Sequence[Visit]:
    """Keep what follows the last change that makes a table another one, that visit included.

    Visits too old to count are left out as well.
    """
    starts = [spot for spot, visit in enumerate(visits) if visit.changed & FORGET]
    kept = visits[starts[-1] :] if starts else visits
    newest = max((visit.date for visit in kept if visit.date), default=date.min)
    return [v for v in kept if v.date and (newest - v.date).days <= HISTORY_DAYS]


def _air(visit: Visit) -> Iterator[AirReading]:
    """Read the air of a visit where it was taken."""
    if visit.date is not None and visit.air_humidity_pct is not None:
        yield AirReading(visit.date, visit.air_humidity_pct, visit.air_temperature_c)


def _seen(table: Table, visits: Sequence[Visit], bracket: str) -> Iterator[Sighting]:
    """List what was found and left at one bracket; a turn starts a new setting."""
    setting, turned = 0, 0.0
    for visit in visits:
        found = _sighting(table, visit, bracket, Moment.FOUND, (setting, turned))
        if found is not None:
            yield found
        if not any(row.turned for row in rows(visit, Quantity.HOLLOW, bracket)):
            continue
        setting, turned = setting + 1, 0.0
        left = _sighting(table, visit, bracket, Moment.LEFT, (setting, 0.0))
        if left is not None:
            yield left
        if left is not None and found is not None:
            turned = left.hollow_mm - found.hollow_mm


def _sighting(
    table: Table, visit: Visit, bracket: str, moment: Moment, setting: tuple[int, float]
) -> Sighting | None:
    """Turn a count into a hollow; None for a gap or an open end, which tell of no movement."""
    count = count_at(visit, Quantity.HOLLOW, bracket, moment)
    if isinstance(count, Gap) or count.bound or visit.date is None:
        return None
    reading = corrected(visit.kit, hollow_reading(visit.kit, table.board.width_mm, count))
    card = reading.per_card * visit.kit.card_u_mm
    shared = math.hypot(card, reading.per_bow * edge_bow(visit.kit).u)
    return Sighting(bracket, visit.date, reading.value or 0.0, reading.own_u, shared, *setting)
