"""Feelers of unequal steps: between which two thicknesses a hollow or crown lies.

A count n says that the n-th feeler from the thinnest passes under the middle and the next does not;
-n that it is the thinnest that, under both ends, stops a level that rocks. Beyond the last feeler
an interval is open.
"""

from passport.table import Kit
from passport.visit import Count

Interval = tuple[float | None, float | None]


def gap_mm(kit: Kit, count: Count) -> Interval:
    """Give the ends of a counted gap under the level; positive where hollow. [mm].

    Parameters
    ----------
    kit : Kit
        With feelers.
    count : Count
        Of feelers, from the thinnest; a bound is "this one or more".
    """
    hollow = count.cards >= 0
    inner = count.cards if hollow else -count.cards - 1
    low, high = _thickness(kit, inner), None if count.bound else _thickness(kit, inner + 1)
    if low is None:  # beyond the last feeler
        low, high = kit.feelers_mm[-1], None
    if hollow:
        return low, high
    return None if high is None else -high, -low


def _thickness(kit: Kit, number: int) -> float | None:
    """Give the thickness of a feeler; None beyond the last one."""
    edges = (0.0, *kit.feelers_mm)
    return edges[number] if number < len(edges) else None
