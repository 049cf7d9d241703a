"""What all readings of one visit share: the zero of its level, its cards, its straightedge."""

import math
from dataclasses import dataclass, replace

from passport.leveling.readings import (
    Reading,
    apart_by_zero,
    edge_bow,
    level_zero,
    slope_reading,
)
from passport.visit import Visit

READ_BOTH_WAYS_ABOVE_CARDS = 1  # fieldwork: then each station is read both ways round


@dataclass(frozen=True)
class CommonErrors:
    """One unknown each, with its best value and standard uncertainty.

    ``zero_mm_per_m`` is what the level shows on level ground, seen in the sign of the cross
    level; ``zero_cancels`` when every station was read both ways round.
    """

    zero_mm_per_m: float
    zero_u: float
    card_u_mm: float
    bow_u_mm: float
    zero_cancels: bool = False
    bow_mm: float = 0.0

    def correct(self, reading: Reading) -> float:
        """Give what is added to a reading for the level's zero and bow, in the reading's unit."""
        zero = 0.0 if self.zero_cancels else reading.per_zero * self.zero_mm_per_m
        return zero + reading.per_bow * self.bow_mm

    def column(self, reading: Reading) -> tuple[float, float, float]:
        """Give a reading's standard deviation from zero, card and bow, each with its sign."""
        zero = 0.0 if self.zero_cancels else reading.per_zero * self.zero_u
        return zero, reading.per_card * self.card_u_mm, reading.per_bow * self.bow_u_mm


def read_both_ways(visit: Visit) -> bool:
    """Whether the level check asked for every station to be read both ways round.

    So it does where the two ways differ by more than one count from what the level's known zero
    makes of them.
    """
    if visit.level_check is None:
        return False
    first, turned = visit.level_check
    odd = first.cards - turned.cards - apart_by_zero(visit.kit)
    return abs(odd) > READ_BOTH_WAYS_ABOVE_CARDS


def common_errors(visit: Visit) -> CommonErrors:
    """Take the common errors of a visit from its kit, and its zero from the level check.

    Turned end for end on one spot, a level shows slope + zero and slope - zero; half the
    difference is its zero, weighed with what the kit's own check found, or with what is known of
    a level that nobody checked.

    Parameters
    ----------
    visit : Visit
        Kit and level check, the first count the way round that the stations are read.

    Returns
    -------
    CommonErrors
        Zero [mm/m], card thickness and bow [mm].
    """
    kit, known, bow = visit.kit, level_zero(visit.kit), edge_bow(visit.kit)
    plain = CommonErrors(known.value, known.u, kit.card_u_mm, bow.u, bow_mm=bow.value)
    if visit.level_check is None or any(count.bound for count in visit.level_check):
        return plain
    first, second = (slope_reading(kit, count) for count in visit.level_check)
    seen = ((first.value or 0.0) - (second.value or 0.0)) / 2
    seen_u = math.hypot(first.own_u, second.own_u) / 2
    weight = known.u**2 / (known.u**2 + seen_u**2)
    return replace(
        plain,
        zero_mm_per_m=known.value + weight * (seen - known.value),
        zero_u=math.sqrt(weight) * seen_u,
        zero_cancels=read_both_ways(visit),
    )
