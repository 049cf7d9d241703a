"""What a count says: an interval in millimetres or mm/m, and which errors it shares.

A count is turned into a number with the kit it was taken with. Three errors are common to all
readings of one kit and visit and are single unknowns, never independent ones: the level's zero,
the thickness of the pack's cards, the bow of the straightedge.

References
----------
JCGM 100:2008 (GUM), 4.3.7: rectangular, u = a / √3; F.2.2.1: a display step d, u = d / (2 √3).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from passport.leveling.feelers import gap_mm
from passport.table import Kit, Own, Reads, Ways
from passport.visit import Count

ROOT_3 = math.sqrt(3.0)

# Not in a kit's description, so assumed; common practice, no source.
LEVEL_ZERO_U_MM_PER_M = 0.1  # of a level that nobody checked both ways round
STRAIGHTEDGE_BOW_U_MM = 0.01  # over the level's own length
BUBBLE_END_U = 0.1  # of a division: where a bubble's end stands, by eye
MOST_BOX_MM_PER_M = 0.35  # of slope that one box of a digital level's scale stands for
BENT_SHARE = 1 / 12  # of the way from a straight V to a bare board that bends


@dataclass(frozen=True)
class Reading:
    """A count as an interval of what it measures, in mm or mm/m.

    Attributes
    ----------
    low, high : float or None
        Ends of the interval with the kit as described; None on the open side of a bound.
    own_u : float
        Standard uncertainty that this reading shares with no other.
    per_card : float
        Change of the value per mm of card thickness. [unit/mm]
    per_zero : float
        Change of the value per mm/m of the level's zero. [unit/(mm/m)]
    per_bow : float
        Change of the value per mm of the straightedge's bow, positive where it makes a board look
        hollow. [unit/mm]
    stretch : float
        How much of the interval grows with the cards' thickness: all or nothing.
    """

    low: float | None
    high: float | None
    own_u: float
    per_card: float = 0.0
    per_zero: float = 0.0
    per_bow: float = 0.0
    stretch: float = 1.0

    @property
    def value(self) -> float | None:
        """Middle of the interval; None for a bound."""
        if self.low is None or self.high is None:
            return None
        return (self.low + self.high) / 2


def bubble_u_mm_per_m(kit: Kit) -> float:
    """Give the standard uncertainty, in mm/m, of what the level shows beside its scale of boxes.

    A centred bubble: half a division either way. A counted one: where its end stands, by eye, for
    whole divisions are the boxes. A display: half a step either way.
    """
    if kit.cross_by is Reads.DIVISIONS:
        return BUBBLE_END_U * (kit.sensitivity_mm_per_m or 0.0)
    return centred_u_mm_per_m(kit)


def centred_u_mm_per_m(kit: Kit) -> float:
    """Give the standard uncertainty, in mm/m, of a centred bubble or a display of nought."""
    if kit.display_step_deg is not None:
        return math.tan(math.radians(kit.display_step_deg)) * 1000 / (2 * ROOT_3)
    return (kit.sensitivity_mm_per_m or 0.0) / (2 * ROOT_3)


def level_zero(kit: Kit) -> Own:
    """Give what is known of a level's zero before the visit. [mm/m].

    What the kit's own check measured. Of a level that nobody checked: 0, half a division or display
    step either way, and 0.1 mm/m (common practice, no source).
    """
    assumed = Own(0.0, math.hypot(LEVEL_ZERO_U_MM_PER_M, centred_u_mm_per_m(kit)))
    return kit.zero or assumed


def edge_bow(kit: Kit) -> Own:
    """Give what is known of the bow of a level's edge; positive: boards look too hollow. [mm]."""
    return kit.bow or Own(0.0, STRAIGHTEDGE_BOW_U_MM)


def corrected(kit: Kit, reading: "Reading") -> "Reading":
    """Take the kit's own zero and bow out of a reading of one way round.

    Parameters
    ----------
    kit : Kit
        As checked; a kit that nobody checked changes nothing.
    reading : Reading
        As it was taken, marked end of the level left or toward end A.

    Returns
    -------
    Reading
        Its interval moved as a whole; what stays unsure of both is not in it.

    References
    ----------
    JCGM 100:2008 (GUM), 3.2.3 and 3.2.4: a known systematic effect is corrected, the uncertainty of
    the correction remains.
    """
    off = reading.per_zero * level_zero(kit).value + reading.per_bow * edge_bow(kit).value
    low, high = (None if end is None else end + off for end in (reading.low, reading.high))
    return replace(reading, low=low, high=high)


def cross_reading(kit: Kit, counts: Sequence[Count]) -> Reading:
    """Turn one count of a cross level, or a pair of both ways round, into a slope.

    Parameters
    ----------
    kit : Kit
        Level and cards.
    counts : sequence of Count
        The first with the marked end left; the second on the same spot, turned round.

    Returns
    -------
    Reading
        In mm/m. Of a pair the middle, free of the level's zero: slope + zero and slope - zero are
        read. A bound on either side leaves its end open.

    References
    ----------
    JCGM 100:2008 (GUM), 5.1.2: u² of a mean of two is a quarter of the sum of both.
    """
    taken = [slope_reading(kit, count) for count in counts]
    if len(taken) == 1:
        return taken[0]
    first, turned = taken
    return replace(
        first,
        low=_middle(first.low, turned.low),
        high=_middle(first.high, turned.high),
        own_u=math.hypot(first.own_u, turned.own_u) / 2,
        per_card=(first.per_card + turned.per_card) / 2,
        per_zero=0.0,
    )


def planned_reading(kit: Kit, count: Count) -> Reading:
    """Turn a count that a form looks up into a slope: of a pair it is the middle of both ways."""
    pair = kit.cross_read is Ways.BOTH
    return cross_reading(kit, (count, count) if pair else (count,))


def _middle(first: float | None, second: float | None) -> float | None:
    return None if first is None or second is None else (first + second) / 2


def apart_by_zero(kit: Kit) -> int:
    """Count by how much a level's two ways round differ on one spot: first less turned round."""
    step = cross_step_mm_per_m(kit)
    return round(2 * level_zero(kit).value / step) if step > 0 else 0


def box_deg(kit: Kit) -> float:
    """Give how many degrees one box of a digital level's scale stands for: whole display steps."""
    step = kit.display_step_deg or 0.0
    slope = 1000 * math.tan(math.radians(step))
    return step * max(1, math.floor(MOST_BOX_MM_PER_M / slope)) if slope > 0 else 0.0


def cross_step_mm_per_m(kit: Kit) -> float:
    """Give the slope that one count of a cross level stands for. [mm/m]."""
    if kit.cross_by is Reads.DIVISIONS:
        return kit.sensitivity_mm_per_m or 0.0
    if kit.cross_by is Reads.DISPLAY:
        return 1000 * math.tan(math.radians(box_deg(kit)))
    return kit.card_mm * 1000 / kit.bearing_length_mm


def slope_reading(kit: Kit, count: Count) -> Reading:
    """Turn a count of a cross level into a slope: n is n ± ½ of what the kit counts.

    Parameters
    ----------
    kit : Kit
        Level and cards; says what is counted: cards under one end, divisions, boxes of degrees.
    count : Count
        A bound is "this many or more".

    Returns
    -------
    Reading
        In mm/m, with the sign of the count.

    Notes
    -----
    A level whose zero is z shows the slope plus z, so the slope falls by z: ``per_zero`` is -1.
    """
    if kit.cross_by is Reads.CARDS:
        return card_slope_reading(kit, count)
    step = cross_step_mm_per_m(kit)
    low, high = _closed(count, (count.cards - 0.5) * step, (count.cards + 0.5) * step)
    own = math.hypot(step / 2 / ROOT_3, bubble_u_mm_per_m(kit))
    return Reading(low, high, own, per_zero=-1.0, stretch=0.0)


def card_slope_reading(kit: Kit, count: Count) -> Reading:
    """Turn cards under one end into a slope: n is n ± ½ card over the bearing length.

    Parameters as of ``slope_reading``; the level is levelled with cards, whatever else it shows.
    """
    per_card = 1000 / kit.bearing_length_mm
    step = kit.card_mm * per_card
    low, high = _closed(count, (count.cards - 0.5) * step, (count.cards + 0.5) * step)
    own = math.hypot(step / 2 / ROOT_3, centred_u_mm_per_m(kit))
    return Reading(low, high, own, count.cards * per_card, -1.0)


def hollow_reading(kit: Kit, width_mm: float, count: Count) -> Reading:
    """Turn cards under the middle into a hollow: n cards pass and n + 1 do not.

    Crown n (a negative count) lies between n - 1 and n cards; of feelers see ``feelers.py``. A
    level shorter than the board sits in the hollow and shows (length / width)² of it.

    Parameters
    ----------
    kit : Kit
        Level and cards, or feelers.
    width_mm : float
        Width of the board. [mm]
    count : Count
        Cards, or feelers; negative for a crown.

    Returns
    -------
    Reading
        In mm; positive hollow.
    """
    factor, bow = span_factor(kit, width_mm), bow_factor(kit, width_mm)
    if kit.feelers_mm:
        low, high = (None if end is None else end * factor for end in gap_mm(kit, count))
        half = 0.0 if low is None or high is None else (high - low) / 2
        own = math.hypot(half / ROOT_3, kit.feeler_u_mm * factor)
        return Reading(low, high, own, per_bow=-bow, stretch=0.0)
    step = kit.card_mm * factor
    low, high = _closed(count, count.cards * step, (count.cards + 1) * step)
    middle = count.cards + 0.5
    return Reading(low, high, step / 2 / ROOT_3, middle * factor, per_bow=-bow)


def span_factor(kit: Kit, width_mm: float) -> float:
    """Scale what a level shorter than the board shows to its full width: (width / length)²."""
    return max(1.0, width_mm / kit.level_length_mm) ** 2


def bow_factor(kit: Kit, width_mm: float) -> float:
    """Scale a level's bow over its own length to a board's hollow: (width / length)².

    A level shorter than the board is scaled up, its bow with it; one that is longer shows of its
    bow only what lies over the board, for both are taken as parabolas.
    """
    return (width_mm / kit.level_length_mm) ** 2


def rise_reading(kit: Kit, span_mm: float, count: Count) -> Reading:
    """Turn cards under a level laid lengthwise over an end leg into the rise of that end.

    Parameters
    ----------
    kit : Kit
        Level and cards.
    span_mm : float
        Distance from end leg to the board's middle. [mm]
    count : Count
        Cards under the end toward the centre.

    Returns
    -------
    Reading
        In mm. Shape of the board not included: see ``rise_per_slope``.
    """
    slope = card_slope_reading(kit, count)
    factor = rise_per_slope(kit, span_mm)
    return Reading(
        None if slope.low is None else slope.low * factor,
        None if slope.high is None else slope.high * factor,
        slope.own_u * factor,
        slope.per_card * factor,
        slope.per_zero * factor,
    )


def rise_per_slope(kit: Kit, span_mm: float) -> float:
    """Give the rise of an end, in mm, for each mm/m under the level.

    Two shapes bound it: a frame of two stiff halves lies as a straight V, whose slope is rise over
    span; a bare board on three feet bends as (3 s² - s³) / 2 of its rise at the share s of the
    span, and is steeper at its end. A frame is far stiffer than its board, so a slope near the V's
    is used (common practice, no source).
    """
    straight, bent = end_slopes(kit, span_mm)
    return span_mm / 1000 / (straight + BENT_SHARE * (bent - straight))


def rise_shape_u(kit: Kit, span_mm: float) -> float:
    """Give the relative standard uncertainty of ``rise_per_slope``: as far as from it to the V."""
    straight, bent = end_slopes(kit, span_mm)
    part = BENT_SHARE * (bent - straight)
    return part / (straight + part)


def end_slopes(kit: Kit, span_mm: float) -> tuple[float, float]:
    """Give slope times span over rise: straight, and bent (a chord of the curve)."""
    share = min(1.0, kit.bearing_length_mm / span_mm)
    inner = 1 - share
    return 1.0, (1 - (3 * inner**2 - inner**3) / 2) / share


def _closed(count: Count, low: float, high: float) -> tuple[float | None, float | None]:
    """Open an interval on the far side of a bound."""
    if not count.bound:
        return low, high
    return (low, None) if count.cards > 0 else (None, high)
