"""What a count asks for on this table: the numbers printed under the boxes of a form."""

import math
from dataclasses import dataclass

from passport.leveling.nut_prior import nut_prior
from passport.leveling.readings import (
    ROOT_3,
    Reading,
    bubble_u_mm_per_m,
    corrected,
    edge_bow,
    hollow_reading,
    level_zero,
    planned_reading,
    rise_reading,
)
from passport.leveling.rises import Spans, line_error, line_error_u, looked_up
from passport.leveling.supports import carrying_rise_mm, end_legs, spans_mm
from passport.table import Bracket, Kit, Leg, RiseBy, Role, Table, Target
from passport.visit import Count


@dataclass(frozen=True)
class CrossTurns:
    """Quarter turns of both feet of a leg; positive raises. ``ok``: wholly in tolerance.

    ``until_centred``: the count is a bound, so the foot is turned until the bubble is centred.
    """

    left: int
    right: int
    ok: bool = False
    until_centred: bool = False


@dataclass(frozen=True)
class HollowTurns:
    """Steps of the inner nut, as the table's nuts are turned; positive hollower.

    ``ok``: wholly in tolerance.
    """

    steps: int
    ok: bool = False
    at_least: bool = False  # the count is a bound: turn this, then measure again


@dataclass(frozen=True)
class RiseTurns:
    """Quarter turns of both feet of the end leg; positive raises."""

    quarters: int
    ok: bool = False
    at_least: bool = False


# The trade's most in one go; common practice, no source.
SHARED_ABOVE_QUARTERS = 4  # beyond one turn both feet share the work
MOST_FOOT_QUARTERS = 8  # of an end leg's rise in one pass: two turns
MOST_NUT_STEPS = 8  # at one go: as many as a form has boxes for, then measure again

NEIGHBOUR_SHARE = 0.2  # of a nut's turn that it does at the bracket beside; assumed, no source


def cross_turns(table: Table, leg: Leg, count: Count) -> CrossTurns:
    """Turn a cross-level count at a leg into turns of its feet.

    Lift of the foot per card is card × foot spacing / bearing length, per quarter turn a quarter of
    the pitch. The low side is raised; above four quarters the other foot is lowered by half of
    them. A bound gives the least number for the low foot, an unknown thread only the direction (1).

    Parameters
    ----------
    table : Table
        Target, tolerance and kit.
    leg : Leg
        Foot spacing and thread. A supporting leg is asked for no turns.
    count : Count
        Positive when the right end is low; the middle of both ways where the kit is read so.

    Returns
    -------
    CrossTurns
        Whole quarter turns. ``ok`` when n ± ½ card, widened by one standard uncertainty of cards,
        zero and bubble, lies within tolerance.
    """
    target = table.targets.cross_mm_per_m
    reading = corrected(table.kit, planned_reading(table.kit, count))
    if _within(reading, _slope_errors(table.kit, reading), target):
        return CrossTurns(0, 0, ok=True)
    if leg.role is Role.SUPPORTING:
        return CrossTurns(0, 0)
    quarters = _cross_quarters(table, leg, _nearest(reading) - target.value)
    if count.bound or leg.thread is None:
        return _one_foot(quarters or _direction(count.cards))
    return _both_feet(quarters, leg)


def hollow_turns(table: Table, bracket: Bracket, count: Count) -> HollowTurns:
    """Turn a hollow count at a bracket into turns of its inner nut.

    From the middle of the interval to the target at what a quarter turn comes to in a walk along
    the board (0.0026 in, from a median of 0.002 in), at most eight steps at one go.

    Parameters
    ----------
    table : Table
        Target, tolerance, board width and kit.
    bracket : Bracket
        Which one; all are alike until a table's own response is learned.
    count : Count
        Cards under the middle; negative for a crown.

    Returns
    -------
    HollowTurns
        Whole steps; ``ok`` as for the cross level, with cards and the level's bow.
    """
    target = table.targets.hollow_mm
    reading = corrected(table.kit, hollow_reading(table.kit, table.board.width_mm, count))
    if _within(reading, _hollow_errors(table.kit, reading), target):
        return HollowTurns(0, ok=True)
    step_mm = nut_walk_mm(table, bracket) * table.nuts_by.quarters
    asked = whole_steps((target.value - _nearest(reading)) / step_mm)
    turned = _capped(asked, MOST_NUT_STEPS)
    return HollowTurns(turned, at_least=count.bound or turned != asked)


def nut_walk_mm(table: Table, bracket: Bracket) -> float:
    """Give what a quarter turn comes to in a walk along the board, by what the table taught.

    Until something was learned, by its build or common practice.
    """
    return walk_mm(dict(table.learned).get(bracket.name, nut_prior(table).mean_mm))


def walk_mm(mean_mm: float) -> float:
    """Give what a quarter turn comes to when all brackets are turned from one end to the other.

    Each right after it was read: so the mean of its own response and the share of the next
    bracket's turn still to come. With the bare median simulated technicians overshoot.
    """
    return mean_mm * (1 + NEIGHBOUR_SHARE)


def rise_turns(table: Table, leg: Leg, count: Count) -> RiseTurns:
    """Turn a rise count at an end into turns of both feet of its leg.

    The target is capped well before the centre leg goes slack. What counts is the mean of both
    ends: the level's zero cancels in it and half a card shrinks by √2, so ``ok`` allows for that
    and for the cards' thickness. How the board bends between its feet is left to the verdict.

    Parameters
    ----------
    table : Table
        Target, tolerance, legs and kit. Without a rise target no turns are asked for.
    leg : Leg
        The end leg.
    count : Count
        Positive when the outer end is high; by another kit than a level the number that
        ``rises.looked_up`` names.

    Returns
    -------
    RiseTurns
        Whole quarter turns of both feet, at most two turns in one pass. With an unknown thread
        one quarter in the right direction, ``at_least``.
    """
    target = capped_rise(table)
    if target is None:
        return RiseTurns(0)
    value, reach = _planned_rise(table, leg, count)
    if abs(value - target.value) + reach <= target.tolerance:
        return RiseTurns(0, ok=True)
    lift = target.value - value
    if leg.thread is None:
        return RiseTurns(_direction(lift), at_least=True)
    asked = whole_steps(lift / foot_mm(table, leg))
    turned = _capped(asked, _rise_limit(leg, asked))
    return RiseTurns(turned, at_least=count.bound or turned != asked)


def capped_rise(table: Table) -> Target | None:
    """Cap the rise target, in mm, where the centre leg still carries; None without one.

    The tolerance shrinks with it.
    """
    target, limit = table.targets.rise_mm, carrying_rise_mm(table)
    if target is None or limit is None:
        return None
    share = min(1.0, limit / target.value) if target.value > 0 else 1.0
    return Target(target.value * share, target.tolerance * share)


def rise_reach_mm(table: Table) -> float | None:
    """Give how far the mean rise may be from what is read of it near its target; None without one.

    The half width of the look-up's own interval, in mm: as of both ends, with the kit's errors.
    """
    target, ends = capped_rise(table), end_legs(table)
    if target is None or ends is None:
        return None
    zero, one = (_planned_rise(table, ends[0], Count(cards))[0] for cards in (0, 1))
    return _planned_rise(table, ends[0], Count(round((target.value - zero) / (one - zero))))[1]


def whole_steps(steps: float) -> int:
    """Round to whole steps of a turn; halves go to the smaller turn."""
    return int(math.copysign(math.ceil(abs(steps) - 0.5), steps))


def foot_mm(table: Table, leg: Leg) -> float:
    """Give what a quarter turn lifts a foot, by what the table taught, else by its thread."""
    assert leg.thread is not None
    return dict(table.learned).get(leg.name, leg.thread.pitch_mm / 4)


def _cross_quarters(table: Table, leg: Leg, slope_mm_per_m: float) -> int:
    """Count the quarters of the right foot up, or of the left foot down, that end a slope."""
    if leg.thread is None:
        return _direction(slope_mm_per_m)
    lift = slope_mm_per_m * leg.foot_spacing_mm / 1000
    return whole_steps(lift / foot_mm(table, leg))


def _one_foot(quarters: int) -> CrossTurns:
    return CrossTurns(max(0, -quarters), max(0, quarters), until_centred=True)


def _both_feet(quarters: int, leg: Leg) -> CrossTurns:
    """Raise the low foot; lower the other beyond four quarters, or where the thread ends."""
    total = abs(quarters)
    raised = total if total <= SHARED_ABOVE_QUARTERS else (total + 1) // 2
    raised = min(raised, raisable_quarters(leg, raised))
    lowered = raised - total
    return CrossTurns(lowered, raised) if quarters > 0 else CrossTurns(raised, lowered)


def raisable_quarters(leg: Leg, wanted: int) -> int:
    """Limit quarter turns up to what the described thread engagement allows."""
    if leg.thread is None or leg.thread_left_mm is None:
        return wanted
    return min(wanted, max(0, int(4 * leg.thread_left_mm / leg.thread.pitch_mm)))


def _rise_limit(leg: Leg, asked: int) -> int:
    return MOST_FOOT_QUARTERS if asked < 0 else raisable_quarters(leg, MOST_FOOT_QUARTERS)


def _within(reading: Reading, error: float, target: Target) -> bool:
    """Whether the whole interval, widened by the shared errors, lies in tolerance."""
    if reading.low is None or reading.high is None:
        return False
    low, high = target.value - target.tolerance, target.value + target.tolerance
    return low <= reading.low - error and reading.high + error <= high


def _nearest(reading: Reading) -> float:
    """Middle of an interval, or the end that a bound has."""
    known = [end for end in (reading.low, reading.high) if end is not None]
    return sum(known) / len(known)


def _slope_errors(kit: Kit, reading: Reading) -> float:
    card = reading.per_card * kit.card_u_mm
    return math.hypot(card, reading.per_zero * level_zero(kit).u, bubble_u_mm_per_m(kit))


def _hollow_errors(kit: Kit, reading: Reading) -> float:
    bow = reading.per_bow * edge_bow(kit).u
    return math.hypot(reading.per_card * kit.card_u_mm, bow, kit.feeler_u_mm)


def _planned_rise(table: Table, leg: Leg, count: Count) -> tuple[float, float]:
    """Give an end's rise by the number that is looked up, and how far the mean may be from it.

    A level's count is of one end: the mean of both, if both had this count, is surer by √2.
    """
    kit, end = table.kit, 0 if leg.x_mm < table.board.length_mm / 2 else 1
    if kit.rise_by is not RiseBy.LEVEL:
        return _rise_otherwise(kit, spans_mm(table), end, count)
    reading = rise_reading(kit, abs(table.board.length_mm / 2 - leg.x_mm), count)
    if reading.low is None or reading.high is None:
        return _nearest(reading), math.inf
    half = (reading.high - reading.low) / 2 / math.sqrt(2)
    return _nearest(reading), half + abs(reading.per_card) * kit.card_u_mm


def _rise_otherwise(kit: Kit, spans: Spans, end: int, count: Count) -> tuple[float, float]:
    """Give the same by steps, a line or a laser.

    Half the width is √3 u of its own, and u of what is shared; the zero of a level that is stepped
    cancels in the mean of both ends.
    """
    read = looked_up(kit, spans, end, count)
    ends = 2 if kit.rise_by is RiseBy.STEPS else 1
    card = read.stretch * abs(read.value) * kit.card_u_mm / kit.card_mm
    shared = math.hypot(card, read.per_line * line_error_u(kit, spans))
    value = read.value - read.per_line * line_error(kit)
    return value, ROOT_3 * read.own_u / math.sqrt(ends) + shared


def _direction(value: float) -> int:
    return (value > 0) - (value < 0)


def _capped(quarters: int, most: int) -> int:
    return max(-most, min(most, quarters))
