"""Counts and values as they stand in a printed line."""

from passport.leveling.advice import Quantity
from passport.table import Table
from passport.visit import Count

INCH_MM = 25.4  # exactly; international yard and pound agreement, 1959
_UNITS = {  # (slope, metric): unit, its size in mm or mm/m, decimals
    (True, True): ("mm/m", 1.0, ".2f"),
    (True, False): ("in/ft", 1000 / 12, ".3f"),
    (False, True): ("mm", 1.0, ".2f"),
    (False, False): ("in", INCH_MM, ".3f"),
}
_SENSES = {
    Quantity.CROSS: ("left high", "right high"),
    Quantity.HOLLOW: ("hollow", "crown"),
    Quantity.RISE: ("ends high", "ends low"),
}


def count_words(quantity: Quantity, count: Count) -> str:
    """Say a count: "2 cards, right end low", "crown 1", "8 cards or more"."""
    if quantity is Quantity.HOLLOW and count.cards < 0:
        return f"crown {-count.cards}" + (" or more" if count.bound else "")
    cards = abs(count.cards)
    words = f"{cards} card" + ("" if cards == 1 else "s") + (" or more" if count.bound else "")
    return words + _side(quantity, count.cards)


def range_words(quantity: Quantity, low: int, high: int) -> str:
    """Say a range of counts, low to high with their signs: "2 to 3 cards, right end low"."""
    if low == high:
        return count_words(quantity, Count(low))
    if quantity is Quantity.HOLLOW:
        return _crown_range(low, high)
    if low * high < 0:
        return f"{count_words(quantity, Count(low))}, to {count_words(quantity, Count(high))}"
    small, large = sorted((abs(low), abs(high)))
    return f"{small} to {large} cards{_side(quantity, low or high)}"


def value_words(table: Table, quantity: Quantity, value: float, u: float | None = None) -> str:
    """Say a value in the table's unit, with its standard uncertainty where there is one."""
    unit, size, form = _UNITS[quantity is Quantity.CROSS, table.units == "metric"]
    said = f"{value / size:{form}}".replace("-", "−")
    return f"{said} {unit}" if u is None else f"{said} ± {u / size:{form}} {unit}"


def sense_words(table: Table, quantity: Quantity, value: float, u: float) -> str:
    """Say a measured value with its direction in words: "0.009 ± 0.002 in/ft left high"."""
    said = value_words(table, quantity, abs(value), u)
    nought = value_words(table, quantity, abs(value)) == value_words(table, quantity, 0.0)
    return said if nought else f"{said} {_SENSES[quantity][value < 0]}"


def percent_words(p: float) -> str:
    """Say a probability; nothing is certain."""
    return f"{min(0.99, max(0.01, p)):.0%}"


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
