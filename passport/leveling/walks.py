"""What the passes of a visit say of one station: its rows, the first found and the last left."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from passport.leveling.advice import Quantity
from passport.leveling.rises import PLACES
from passport.visit import Count, Doubt, LegPass, Pass, Visit


def in_order(visits: Sequence[Visit]) -> list[Visit]:
    """Put visits in the order of their dates; those without a sure date count as the newest.

    Those of one day stay as they are given: what came in first was made first.
    """
    return sorted(visits, key=lambda visit: visit.date or date.max)


@dataclass(frozen=True)
class Row:
    """One station in one pass: count found, whether anything was turned, count after.

    ``found_round`` and ``after_round`` are the same with the level turned round.
    """

    found: Count | None
    turned: bool
    after: Count | None
    found_round: Count | None = None
    after_round: Count | None = None

    @property
    def blank(self) -> bool:
        """Nothing was written that says anything of the station."""
        return self.found is None and self.after is None and not self.turned


class Moment(StrEnum):
    """When in a visit a station is looked at."""

    FOUND = "as found"
    LEFT = "as left"


class Gap(StrEnum):
    """Why a station has no value as left."""

    NOT_MEASURED = "not measured at the last visit"
    TURNED_UNREAD = "turned, and not measured afterwards"
    IN_DOUBT = "a mark of this station waits for a person"


def row_of(walk: Pass, quantity: Quantity, station: str) -> Row | None:
    """Pick one station's row out of a pass; None when the pass does not name it."""
    if quantity is Quantity.CROSS:
        leg = walk.legs.get(station)
        return _leg_row(leg) if leg else None
    if quantity is Quantity.HOLLOW:
        bracket = walk.brackets.get(station)
        return Row(bracket.found, bool(bracket.turns), bracket.after) if bracket else None
    together = "middle" in {*walk.rise, *walk.rise_after}  # both ends are read in one look
    turned = any(walk.rise_turns.values()) if together else bool(walk.rise_turns.get(station))
    return Row(walk.rise.get(station), turned, walk.rise_after.get(station))


def _leg_row(leg: LegPass) -> Row:
    turned = bool(leg.turns_left or leg.turns_right)
    return Row(leg.found, turned, leg.after, leg.found_turned, leg.after_turned)


def first_leg_row(visit: Visit, leg: str) -> LegPass | None:
    """Pick a leg's first filled row, with its turns."""
    filled = (walk.legs[leg] for walk in visit.passes if leg in walk.legs)
    return next((row for row in filled if not _leg_row(row).blank), None)


def rows(visit: Visit, quantity: Quantity, station: str) -> Iterator[Row]:
    """List one station's rows that are not blank, in the order of the passes."""
    for walk in visit.passes:
        row = row_of(walk, quantity, station)
        if row is not None and not row.blank:
            yield row


def count_at(visit: Visit, quantity: Quantity, station: str, moment: Moment) -> Count | Gap:
    """Give a station's count as found or as left, or why there is none."""
    seen = as_found if moment is Moment.FOUND else as_left
    return seen(visit, quantity, station)


def counts_at(
    visit: Visit, quantity: Quantity, station: str, moment: Moment
) -> tuple[Count, ...] | Gap:
    """Give a station's count, and the one with the level turned round where there is one."""
    count = count_at(visit, quantity, station, moment)
    if isinstance(count, Gap):
        return count
    filled = list(rows(visit, quantity, station))
    first, last = filled[0], filled[-1]
    if moment is Moment.FOUND:
        other = first.found_round
    else:
        other = last.found_round if last.after is None else last.after_round
    return (count,) if other is None else (count, other)


def rise_counts(visit: Visit, moment: Moment) -> dict[str, Count]:
    """Gather the counts of the ends' rise by place, as found or as left; those that there are."""
    places = PLACES[visit.kit.rise_by]
    counts = {name: count_at(visit, Quantity.RISE, name, moment) for name in places}
    return {name: count for name, count in counts.items() if isinstance(count, Count)}


def as_found(visit: Visit, quantity: Quantity, station: str) -> Count | Gap:
    """Give the count of a station's first filled row, before anything was turned there."""
    first = next(rows(visit, quantity, station), None)
    if first is not None and first.found is not None:
        return first.found
    return Gap.IN_DOUBT if doubts_of(visit, quantity, station) else Gap.NOT_MEASURED


def as_left(visit: Visit, quantity: Quantity, station: str) -> Count | Gap:
    """Give the count of a station's last filled row, or why there is none.

    A row with turns and no count after it leaves the station unknown. Where a doubt names the
    station, only the last pass may speak for it, and only by a count taken after.
    """
    doubted = bool(doubts_of(visit, quantity, station))
    filled = list(rows(visit, quantity, station))
    if not filled:
        return Gap.IN_DOUBT if doubted else Gap.NOT_MEASURED
    last = filled[-1]
    if last.after is not None:
        stale = doubted and row_of(visit.passes[-1], quantity, station) != last
        return Gap.IN_DOUBT if stale else last.after
    if doubted:
        return Gap.IN_DOUBT
    return Gap.TURNED_UNREAD if last.turned or last.found is None else last.found


def doubts_of(visit: Visit, quantity: Quantity, station: str) -> tuple[Doubt, ...]:
    """Find the doubts of a visit that name a station in their field or label."""
    word = "rise" if quantity is Quantity.RISE else station
    pattern = re.compile(rf"(?<![A-Za-z0-9]){re.escape(word)}(?![A-Za-z0-9])", re.IGNORECASE)
    return tuple(d for d in visit.doubts if pattern.search(d.field) or pattern.search(d.label))
