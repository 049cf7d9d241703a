"""What a count asks for on this table: the numbers printed under the boxes of a form."""

from dataclasses import dataclass

from passport.table import Bracket, Leg, Table
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
    """Quarter turns of the inner nut; positive hollower. ``ok``: wholly in tolerance."""

    quarters: int
    ok: bool = False
    at_least: bool = False  # the count is a bound: turn this, then measure again


@dataclass(frozen=True)
class RiseTurns:
    """Quarter turns of both feet of the end leg; positive raises."""

    quarters: int
    ok: bool = False
    at_least: bool = False


def cross_turns(table: Table, leg: Leg, count: Count) -> CrossTurns:
    """Turns that a cross-level count asks for at a leg."""
    raise NotImplementedError


def hollow_turns(table: Table, bracket: Bracket, count: Count) -> HollowTurns:
    """Turns that a hollow count asks for at a bracket."""
    raise NotImplementedError


def rise_turns(table: Table, leg: Leg, count: Count) -> RiseTurns:
    """Turns of both feet of an end leg that a rise count asks for."""
    raise NotImplementedError
