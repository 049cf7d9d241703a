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
from passport.table import Kit
from passport.visit import Count, Visit

Pair = tuple[Count, Count]
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
    """Take the common errors of a visit from its kit, and its zero from all pairs of counts.

    Turned end for end on one spot, at the level check or at a leg, a level shows slope + zero and
    slope - zero; half the difference is its zero. The mean of all pairs is weighed with what the
    kit's own check found, or with what is known of a level that nobody checked.

    Parameters
    ----------
    visit : Visit
        Kit and pairs, the first count of each with the marked end left.

    Returns
    -------
    CommonErrors
        Zero [mm/m], card thickness and bow [mm].
    """
    kit, known, bow = visit.kit, level_zero(visit.kit), edge_bow(visit.kit)
    plain = CommonErrors(known.value, known.u, kit.card_u_mm, bow.u, bow_mm=bow.value)
    zeros = [_zero(kit, pair) for pair in pairs(visit)]
    if not zeros:
        return plain
    seen = sum(value for value, _ in zeros) / len(zeros)
    seen_u = math.hypot(*(u for _, u in zeros)) / len(zeros)
    weight = known.u**2 / (known.u**2 + seen_u**2)
    return replace(
        plain,
        zero_mm_per_m=known.value + weight * (seen - known.value),
        zero_u=math.sqrt(weight) * seen_u,
        zero_cancels=read_both_ways(visit),
    )


def pairs(visit: Visit) -> list[Pair]:
    """List the pairs of closed counts of one spot, both ways round: level check and legs."""
    rows = [row for walk in visit.passes for row in walk.legs.values()]
    read = [(row.found, row.found_turned) for row in rows]
    read += [(row.after, row.after_turned) for row in rows]
    read += [visit.level_check] if visit.level_check else []
    return [
        (first, turned)
        for first, turned in read
        if first and turned and not first.bound and not turned.bound
    ]


def _zero(kit: Kit, pair: Pair) -> tuple[float, float]:
    """Give a level's zero by a pair, with the standard uncertainty of the two counts. [mm/m]."""
    first, turned = (slope_reading(kit, count) for count in pair)
    seen = ((first.value or 0.0) - (turned.value or 0.0)) / 2
    return seen, math.hypot(first.own_u, turned.own_u) / 2
