"""For which counts at the next visit a planned turn still holds."""

from collections.abc import Callable

from passport.leveling.advice import Quantity
from passport.leveling.lines import hollow_range_words, range_words, value_words
from passport.leveling.readings import Reading, hollow_reading, planned_reading, rise_reading
from passport.leveling.rises import line_rise_mm
from passport.leveling.supports import spans_mm
from passport.leveling.surface import Estimate, Station
from passport.table import Kit, RiseBy, Table, Target, Ways
from passport.visit import Count

FURTHEST = 12  # cards; counts beyond it are bounds on every form


def condition(table: Table, estimate: Estimate, moved: float, end: int = 0) -> str:
    """Say on which count a turn is to be made.

    Parameters
    ----------
    table : Table
        Kit and geometry of the next form.
    estimate : Estimate
        The station as left; its counts.
    moved : float
        What the turn changes. [mm or mm/m]
    end : int
        Which of a rise's two counts is meant: 0 for A, 1 for B.

    Returns
    -------
    str
        "if you find 2 to 3 cards, right end low; otherwise the look-up": the counts about the one
        as left whose whole interval the turn brings into tolerance, those left out that are in
        tolerance without it; or that one alone.
    """
    station = estimate.station
    if station.quantity is Quantity.RISE and not _by_level(table.kit, estimate):
        return _rise_condition(table, station.target, moved)
    last = _last(estimate, end)
    low = high = last
    fits = _fits(table, station, moved)
    while fits(last) and low > -FURTHEST and fits(low - 1):
        low -= 1
    while fits(last) and high < FURTHEST and fits(high + 1):
        high += 1
    said = (
        hollow_range_words(table, low, high)
        if station.quantity is Quantity.HOLLOW
        else range_words(station.quantity, low, high, table.kit.cross_by)
    )
    middle = station.quantity is Quantity.CROSS and table.kit.cross_read is Ways.BOTH
    found = "the middle of both ways is" if middle else "you find"
    return f"if {found} {said}; otherwise the look-up"


def _by_level(kit: Kit, estimate: Estimate) -> bool:
    """Whether a rise was read, and will be, by a level laid over each end leg."""
    read = estimate.kit or kit
    return kit.rise_by is RiseBy.LEVEL and read.rise_by is RiseBy.LEVEL


def _rise_condition(table: Table, target: Target, moved: float) -> str:
    """Say between which mean rises a turn brings the ends into tolerance, in what the kit reads."""
    low, high = target.value - target.tolerance, target.value + target.tolerance
    first, last = low - moved, high - moved
    first, last = (first, min(last, low)) if moved > 0 else (max(first, high), last)
    if first >= last:
        return "if the ends are found as they were left; otherwise the look-up"
    what, off = "mean rise", 0.0
    if table.kit.line is not None:
        what, off = "gap at the middle", -line_rise_mm(table.kit.line, spans_mm(table), 0.0)
    ends = [value_words(table, Quantity.RISE, end + off) for end in (first, last)]
    return f"if you find a {what} of {ends[0]} to {ends[1]}; otherwise the look-up"


def _last(estimate: Estimate, end: int) -> int:
    """Give the count as left: of a rise's ends the one meant, of both ways round the middle."""
    if estimate.station.quantity is Quantity.RISE:
        return estimate.counts[end].cards
    cards = [count.cards for count in estimate.counts]
    return int(sum(cards) / len(cards))


def reading_of(table: Table, station: Station, count: Count) -> Reading:
    """Read a count at a station with the table's own kit."""
    if station.quantity is Quantity.CROSS:
        return planned_reading(table.kit, count)
    if station.quantity is Quantity.HOLLOW:
        return hollow_reading(table.kit, table.board.width_mm, count)
    return rise_reading(table.kit, sum(spans_mm(table)) / 2, count)


def _fits(table: Table, station: Station, moved: float) -> Callable[[int], bool]:
    def fits(cards: int) -> bool:
        reading = reading_of(table, station, Count(cards))
        before = _within(reading, 0.0, station.target)
        return _within(reading, moved, station.target) and not before

    return fits


def _within(reading: Reading, moved: float, target: Target) -> bool:
    if reading.low is None or reading.high is None:
        return False
    low, high = target.value - target.tolerance, target.value + target.tolerance
    return low <= reading.low + moved and reading.high + moved <= high
