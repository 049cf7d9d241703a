"""Rise of the ends read otherwise than by a level laid at each end: steps, a taut line, a laser.

Each gives readings that are linear in the rise of both ends, and in what all readings of the visit
share: the level's zero, what is not known of a line's sag, the slope of a laser's line.

References
----------
Taut line: a parabola of sag m g L² / (8 T) at its middle; the catenary differs by (m g L / T)² / 48
of it, less than 10⁻⁶ for any line that is taut.
JCGM 100:2008 (GUM), 5.1.6: relative variances of a product add; F.2.2.1: a step d, u = d / (2 √3).
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from passport.leveling.gravity import GRAVITY_M_PER_S2
from passport.leveling.readings import ROOT_3, centred_u_mm_per_m
from passport.table import Kit, LineLaser, RiseBy, TautLine
from passport.visit import Count

MIDDLE = "middle"
BUBBLE_U_MM_PER_M = 0.05  # a bubble centred by eye; common practice, no source
PLACES = {  # what is read of a rise, in the order of the work
    RiseBy.LEVEL: ("A", "B"),
    RiseBy.STEPS: ("A", "B"),
    RiseBy.LINE: (MIDDLE,),
    RiseBy.LASER: ("A", MIDDLE, "B"),
}
Spans = tuple[float, float]  # from end A's and end B's leg to the board's middle [mm]


@dataclass(frozen=True)
class RiseReading:
    """One reading of the ends' rise as an interval of a sum.

    Attributes
    ----------
    shares : tuple of float
        What is read for each mm of rise of end A and of end B. [1]
    low, high : float
        Ends of the interval with the kit as described. [mm]
    noise : float
        Standard uncertainty that it shares with no other reading, beyond the interval. [mm]
    per_zero : float
        What is read for each mm/m of the level's zero. [mm/(mm/m)]
    per_line : float
        What is read for each unit of the line's error: mm of sag, mm/m of a laser's slope.
    stretch : float
        How much of the interval grows with the cards' thickness: all or nothing.
    """

    shares: tuple[float, float]
    low: float
    high: float
    noise: float
    per_zero: float = 0.0
    per_line: float = 0.0
    stretch: float = 0.0

    @property
    def value(self) -> float:
        """Middle of the interval [mm]."""
        return (self.low + self.high) / 2

    @property
    def own_u(self) -> float:
        """Standard uncertainty that no other reading shares [mm]."""
        return math.hypot(self.noise, (self.high - self.low) / 2 / ROOT_3)


def sag_mm(line: TautLine, span_mm: float, share: float = 0.5) -> float:
    """Give how far a taut line hangs below its ends.

    Parameters
    ----------
    line : TautLine
        Mass per length and pull.
    span_mm : float
        Distance of its ends. [mm]
    share : float
        Where along it, 0 to 1.

    Returns
    -------
    float
        4 d s (1 - s) with d = m g L² / (8 T). [mm]
    """
    weight_n_per_m = line.mass_g_per_m.value / 1000 * GRAVITY_M_PER_S2
    middle = weight_n_per_m * (span_mm / 1000) ** 2 / (8 * line.pull_n.value) * 1000
    return 4 * middle * share * (1 - share)


def sag_u_mm(line: TautLine, span_mm: float, share: float = 0.5) -> float:
    """Give the standard uncertainty of a sag, from those of mass per length and pull [mm]."""
    mass, pull = line.mass_g_per_m, line.pull_n
    relative = math.hypot(mass.u / mass.value, pull.u / pull.value)
    return relative * sag_mm(line, span_mm, share)


def line_error_u(kit: Kit, spans: Spans) -> float:
    """Give the standard uncertainty of what all readings by one line share.

    Of a taut line its sag and its blocks, in mm; of a laser its slope, in mm/m; of a kit without a
    line a number that nothing depends on.
    """
    if kit.line is not None:
        return math.hypot(sag_u_mm(kit.line, sum(spans), _share(spans)), kit.line.block_mm.u)
    return kit.laser.slope_mm_per_m.u if kit.laser is not None else 1.0


def line_error(kit: Kit) -> float:
    """Give what is known of that error beforehand: a laser's slope, as its check found it."""
    return kit.laser.slope_mm_per_m.value if kit.laser is not None else 0.0


def rise_readings(kit: Kit, spans: Spans, counts: Mapping[str, Count]) -> tuple[RiseReading, ...]:
    """Turn the counts of one look at both ends into readings of their rise.

    Parameters
    ----------
    kit : Kit
        Says how the rise is read, and with what.
    spans : tuple of float
        From end A's and end B's leg to the board's middle. [mm]
    counts : mapping of str to Count
        By place: cards summed over the steps of an end, or steps of the scale that a gap or a
        height above the board is read on.

    Returns
    -------
    tuple of RiseReading
        None while a place is missing. By a line one, of the mean; by a laser two that share no
        error of reading, the mean and A less B; by steps one an end.
    """
    if any(name not in counts for name in PLACES[kit.rise_by]):
        return ()
    if kit.rise_by is RiseBy.STEPS:
        return tuple(
            step_reading(kit, spans[end], end, counts[name]) for end, name in enumerate(("A", "B"))
        )
    if kit.line is not None:
        return (_line_reading(kit.line, spans, counts[MIDDLE]),)
    return _laser_readings(kit.laser, spans, counts) if kit.laser is not None else ()


def steps_of(kit: Kit, span_mm: float) -> int:
    """Count the steps, evenly spaced, that a level takes from the middle to an end leg."""
    return max(1, math.ceil(span_mm / kit.bearing_length_mm))


def step_reading(kit: Kit, span_mm: float, end: int, count: Count) -> RiseReading:
    """Turn the cards summed over all steps to one end into its rise.

    Parameters
    ----------
    kit : Kit
        Level and cards.
    span_mm : float
        From the end's leg to the board's middle. [mm]
    end : int
        0 for A, 1 for B; the level keeps its marked end toward A.
    count : Count
        Sum of the cards, those under the end toward the middle positive.

    Returns
    -------
    RiseReading
        Each step's ± ½ card is its own: one is the interval, the others are in ``noise``, for a
        sum of many is close to normal. The zero of the level adds up over the span.
    """
    steps = steps_of(kit, span_mm)
    card = kit.card_mm * span_mm / (steps * kit.bearing_length_mm)
    bubble = max(BUBBLE_U_MM_PER_M, centred_u_mm_per_m(kit)) * span_mm / 1000 / math.sqrt(steps)
    rounding = card * math.sqrt((steps - 1) / 12)
    shares = (1.0, 0.0) if end == 0 else (0.0, 1.0)
    way = 1.0 if end == 0 else -1.0
    low, high = ((count.cards + off) * card for off in (-0.5, 0.5))
    noise = math.hypot(bubble, rounding)
    return RiseReading(shares, low, high, noise, way * span_mm / 1000, stretch=1.0)


def looked_up(kit: Kit, spans: Spans, end: int, count: Count) -> RiseReading:
    """Turn the one number that a form looks up into a reading of the rise.

    Parameters
    ----------
    kit, spans
        As of ``rise_readings``.
    end : int
        By steps the number is of this end, 0 for A and 1 for B.
    count : Count
        By steps the sum of the cards, by a line the gap, by a laser the middle's height less the
        mean of both ends'.
    """
    if kit.rise_by is RiseBy.STEPS:
        return step_reading(kit, spans[end], end, count)
    if kit.rise_by is RiseBy.LINE:
        return rise_readings(kit, spans, {MIDDLE: count})[0]
    level = Count(0)
    return rise_readings(kit, spans, {"A": level, MIDDLE: count, "B": level})[0]


def line_rise_mm(line: TautLine, spans: Spans, gap_mm: float) -> float:
    """Turn the gap at the board's middle into the rise of the ends where the line crosses it."""
    return gap_mm - line.block_mm.value + sag_mm(line, sum(spans), _share(spans))


def _line_reading(line: TautLine, spans: Spans, count: Count) -> RiseReading:
    """Read the gap: blocks + rise of the line's ends - sag. The sag's error counts backward."""
    low, high = (
        line_rise_mm(line, spans, (count.cards + off) * line.step_mm) for off in (-0.5, 0.5)
    )
    share = _share(spans)
    return RiseReading((1 - share, share), low, high, line.read_u_mm, per_line=-1.0)


def _laser_readings(
    laser: LineLaser, spans: Spans, counts: Mapping[str, Count]
) -> tuple[RiseReading, RiseReading]:
    """Take three heights of the line as differences: middle less mean of both, and B less A."""
    a, middle, b = (counts[name].cards * laser.step_mm for name in ("A", MIDDLE, "B"))
    half, other = laser.step_mm / 2, laser.step_mm / (2 * ROOT_3)
    mean, apart = middle - (a + b) / 2, b - a
    mean_noise = math.hypot(laser.read_u_mm * math.sqrt(1.5), other * math.sqrt(0.5))
    apart_noise = math.hypot(laser.read_u_mm * math.sqrt(2), other)
    return (
        RiseReading(
            (0.5, 0.5), mean - half, mean + half, mean_noise,
            per_line=(spans[0] - spans[1]) / 2000,
        ),
        RiseReading(
            (1.0, -1.0), apart - half, apart + half, apart_noise, per_line=sum(spans) / 1000,
        ),
    )  # fmt: skip


@dataclass(frozen=True)
class RisesRead:
    """What one look at both ends says: their mean, A less B, each with its standard uncertainty.

    ``apart`` is None where nothing of it was read. [mm].
    """

    mean: tuple[float, float]
    apart: tuple[float, float] | None


def rises_read(
    kit: Kit, spans: Spans, counts: Mapping[str, Count], zero: tuple[float, float]
) -> RisesRead | None:
    """Say what a look at both ends gives by itself.

    Parameters
    ----------
    kit, spans, counts
        As of ``rise_readings``.
    zero : tuple of float
        The level's zero and its standard uncertainty. [mm/m]

    Returns
    -------
    RisesRead or None
        None without a reading.
    """
    read = rise_readings(kit, spans, counts)
    if not read:
        return None
    if kit.rise_by is RiseBy.STEPS:
        mean, apart = ((0.5, 0.5), (1.0, -1.0))
        return RisesRead(_sum(kit, spans, read, mean, zero), _sum(kit, spans, read, apart, zero))
    found = [_sum(kit, spans, (one,), (1.0,), zero) for one in read]
    return RisesRead(found[0], found[1] if len(found) > 1 else None)


def _sum(
    kit: Kit,
    spans: Spans,
    read: tuple[RiseReading, ...],
    shares: tuple[float, ...],
    zero: tuple[float, float],
) -> tuple[float, float]:
    """Add readings up, errors that they share once."""
    pairs = list(zip(read, shares, strict=True))
    per_zero = sum(share * one.per_zero for one, share in pairs)
    per_line = sum(share * one.per_line for one, share in pairs)
    value = sum(share * one.value for one, share in pairs)
    card = sum(share * one.value * one.stretch for one, share in pairs)
    u = math.hypot(
        *(share * one.own_u for one, share in pairs),
        card * kit.card_u_mm / kit.card_mm,
        per_zero * zero[1],
        per_line * line_error_u(kit, spans),
    )
    return value - per_zero * zero[0] - per_line * line_error(kit), u


def _share(spans: Spans) -> float:
    """Where along a line from leg A to leg B the board's middle is."""
    return spans[0] / sum(spans)
