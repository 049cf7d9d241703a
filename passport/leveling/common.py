"""What all readings of one visit share: the zero of its level, its cards, its straightedge."""

import math
from dataclasses import dataclass

from passport.leveling.readings import (
    STRAIGHTEDGE_BOW_U_MM,
    Reading,
    slope_reading,
    zero_u_mm_per_m,
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

    def correct(self, reading: Reading) -> float:
        """Give what is added to a reading for the level's zero, in the reading's unit."""
        return 0.0 if self.zero_cancels else reading.per_zero * self.zero_mm_per_m

    def column(self, reading: Reading) -> tuple[float, float, float]:
        """Give a reading's standard deviation from zero, card and bow, each with its sign."""
        zero = 0.0 if self.zero_cancels else reading.per_zero * self.zero_u
        return zero, reading.per_card * self.card_u_mm, reading.per_bow * self.bow_u_mm


def common_errors(visit: Visit) -> CommonErrors:
    """Take the common errors of a visit from its kit, and its zero from the level check.

    Turned end for end on one spot, a level shows slope + zero and slope - zero; half the
    difference is its zero, weighed with what is known of a level that nobody checked.

    Parameters
    ----------
    visit : Visit
        Kit and level check, the first count the way round that the stations are read.

    Returns
    -------
    CommonErrors
        Zero [mm/m], card thickness and bow [mm].
    """
    kit, prior = visit.kit, zero_u_mm_per_m(visit.kit)
    plain = CommonErrors(0.0, prior, kit.card_u_mm, STRAIGHTEDGE_BOW_U_MM)
    if visit.level_check is None or any(count.bound for count in visit.level_check):
        return plain
    first, second = (slope_reading(kit, count) for count in visit.level_check)
    seen = ((first.value or 0.0) - (second.value or 0.0)) / 2
    seen_u = math.hypot(first.own_u, second.own_u) / 2
    weight = prior**2 / (prior**2 + seen_u**2)
    cards = abs(visit.level_check[0].cards - visit.level_check[1].cards)
    return CommonErrors(
        weight * seen,
        math.sqrt(weight) * seen_u,
        kit.card_u_mm,
        STRAIGHTEDGE_BOW_U_MM,
        zero_cancels=cards > READ_BOTH_WAYS_ABOVE_CARDS,
    )
