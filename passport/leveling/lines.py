"""Counts and values as they stand in a printed line."""

from passport.leveling.advice import Quantity
from passport.rounding import places_by, set_text
from passport.table import Kit, Reads, RiseBy, Table, Target
from passport.visit import Count

COVERAGE_FACTOR = 2.0  # 95 % of a normal distribution, JCGM 100, 6.3.3
INCH_MM = 25.4  # exactly; international yard and pound agreement, 1959
_UNITS = {  # (slope, metric): unit, its size in mm or mm/m, decimals
    (True, True): ("mm/m", 1.0, 2),
    (True, False): ("in/ft", 1000 / 12, 3),
    (False, True): ("mm", 1.0, 2),
    (False, False): ("in", INCH_MM, 3),
}
_SENSES = {
    Quantity.CROSS: ("left high", "right high"),
    Quantity.HOLLOW: ("hollow", "crown"),
    Quantity.RISE: ("ends high", "ends low"),
}


def count_words(quantity: Quantity, count: Count, by: Reads = Reads.CARDS) -> str:
    """Say a count: "2 cards, right end low", "crown 1", "8 cards or more"."""
    if quantity is Quantity.HOLLOW and count.cards < 0:
        return f"crown {-count.cards}" + (" or more" if count.bound else "")
    cards, named = abs(count.cards), _counted(quantity, by)
    words = f"{cards} {named[0] if cards == 1 else named[1]}" + (" or more" if count.bound else "")
    return words + _side(quantity, count.cards)


def hollow_count_words(table: Table, kit: Kit, count: Count) -> str:
    """Say a count of a hollow: cards, or the feeler: "0.15 mm feeler", "crown, 0.05 mm feeler"."""
    if not kit.feelers_mm:
        return count_words(Quantity.HOLLOW, count)
    if count.cards == 0:
        return "no feeler"
    thickness = kit.feelers_mm[min(abs(count.cards), len(kit.feelers_mm)) - 1]
    crown = "crown, " if count.cards < 0 else ""
    more = " or more" if count.bound else ""
    return f"{crown}{value_words(table, Quantity.HOLLOW, thickness)} feeler{more}"


def hollow_range_words(table: Table, low: int, high: int) -> str:
    """Say a range of counts of a hollow by the table's kit: "0.10 mm feeler to 0.20 mm feeler"."""
    if not table.kit.feelers_mm:
        return range_words(Quantity.HOLLOW, low, high)
    ends = dict.fromkeys(hollow_count_words(table, table.kit, Count(end)) for end in (low, high))
    return " to ".join(ends)


def rise_count_words(table: Table, kit: Kit, count: Count) -> str:
    """Say a count of a rise: cards, cards of all steps, or a length that was read."""
    if kit.rise_by in (RiseBy.LINE, RiseBy.LASER):
        gauge = kit.line or kit.laser
        step = gauge.step_mm if gauge else 0.0
        return value_words(table, Quantity.RISE, count.cards * step)
    words = count_words(Quantity.RISE, count)
    return f"{words}, all steps" if kit.rise_by is RiseBy.STEPS else words


def _counted(quantity: Quantity, by: Reads) -> tuple[str, str]:
    """Name one and several of what a count counts."""
    if quantity is not Quantity.CROSS or by is Reads.CARDS:
        return "card", "cards"
    return ("division", "divisions") if by is Reads.DIVISIONS else ("box", "boxes")


def range_words(quantity: Quantity, low: int, high: int, by: Reads = Reads.CARDS) -> str:
    """Say a range of counts, low to high with their signs: "2 to 3 cards, right end low"."""
    if low == high:
        return count_words(quantity, Count(low), by)
    if quantity is Quantity.HOLLOW:
        return _crown_range(low, high)
    if low * high < 0:
        ends = (count_words(quantity, Count(end), by) for end in (low, high))
        return ", to ".join(ends)
    small, large = sorted((abs(low), abs(high)))
    return f"{small} to {large} {_counted(quantity, by)[1]}{_side(quantity, low or high)}"


def value_words(table: Table, quantity: Quantity, value: float, u: float | None = None) -> str:
    """Say a value in the table's unit, with its 95 % uncertainty where there is one."""
    unit, size, most = _UNITS[quantity is Quantity.CROSS, table.units == "metric"]
    return _around(value / size, None if u is None else u / size, most) + f" {unit}"


def target_words(table: Table, quantity: Quantity, target: Target) -> str:
    """Say a target and its tolerance, rounded by the tolerance: "0.020 ± 0.0075 in"."""
    unit, size, least = _UNITS[quantity is Quantity.CROSS, table.units == "metric"]
    value, tolerance = (
        set_text(mm / size, target.tolerance / size, least)
        for mm in (target.value, target.tolerance)
    )
    return f"{value} ± {tolerance} {unit}".replace("-", "−")


def response_words(table: Table, quantity: Quantity, value: float, u: float) -> str:
    """Say what a quarter turn does, with its 95 % uncertainty and enough places to see it."""
    unit, size, most = _UNITS[quantity is Quantity.CROSS, table.units == "metric"]
    return _around(value / size, COVERAGE_FACTOR * u / size, most + 1) + f" {unit}"


def _around(value: float, u: float | None, most: int) -> str:
    """Print a value rounded by its uncertainty, and that uncertainty where there is one."""
    places = most if u is None else places_by(u, most)
    said = f"{value:z.{places}f}".replace("-", "−")  # z: no minus before nought
    return said if u is None else f"{said} ± {u:.{places}f}"


def sense_words(table: Table, quantity: Quantity, value: float, u: float) -> str:
    """Say a measured value with its direction in words: "0.009 ± 0.002 in/ft left high"."""
    said = value_words(table, quantity, abs(value), u)
    nought = said == value_words(table, quantity, 0.0, u)
    return said if nought else f"{said} {_SENSES[quantity][value < 0]}"


def percent_words(p: float) -> str:
    """Say a probability; nothing is certain."""
    return f"{100 * min(0.99, max(0.01, p)):.0f} %"


def station_words(quantity: Quantity, station: str) -> str:
    """Name a station and what is measured there."""
    return f"{station} {quantity.value}" if quantity is not Quantity.RISE else "rise of the ends"


def _side(quantity: Quantity, cards: int) -> str:
    if cards == 0 or quantity is Quantity.HOLLOW:
        return ""
    if quantity is Quantity.CROSS:
        return ", right end low" if cards > 0 else ", left end low"
    return ", outer end high" if cards > 0 else ", outer end low"


def _crown_range(low: int, high: int) -> str:
    if high < 0:
        return f"crown {-high} to {-low}"
    start = f"crown {-low}" if low < 0 else str(low)
    return f"{start} to {high} card" + ("" if high == 1 else "s")
