"""What the look-ups say under a box, and which way a foot or nut turns, in few words."""

from passport.leveling.lookup import CrossTurns, HollowTurns, RiseTurns
from passport.table import Bracket, FootType, Hand, Leg, Side
from passport.visit import Count

AGAIN = "*"  # then measure again; alone at a foot: turn the most, then measure again
MOST_FOOT = 4  # [quarter turns] the widest mark of a foot's turn scale


def cross_words(turns: CrossTurns, count: Count) -> tuple[str, ...]:
    """Words under a cross-level box: ``OK``, or which foot goes up or down by how many quarters.

    Without a number the foot is turned until the bubble is centred.
    """
    if turns.ok:
        return ("OK",)
    if turns.until_centred:
        return ("L↑" if count.cards < 0 else "R↑",)
    feet = [_foot("L", turns.left), _foot("R", turns.right)]
    said = sorted((foot for foot in feet if foot), key=lambda foot: "↓" in foot)
    return tuple(said) or ("0",)


def _foot(name: str, quarters: int) -> str:
    if not quarters:
        return ""
    arrow = "↑" if quarters > 0 else "↓"
    return f"{name}{arrow}{abs(quarters) if abs(quarters) <= MOST_FOOT else AGAIN}"


def hollow_words(turns: HollowTurns) -> str:
    """Words under a hollow box: ``OK``, or steps of the nut, + hollower, − flatter."""
    if turns.ok:
        return "OK"
    sign = {1: "+", -1: "−", 0: ""}[_sign(turns.steps)]
    return f"{sign}{abs(turns.steps)}{AGAIN if turns.at_least else ''}"


def rise_words(turns: RiseTurns) -> str:
    """Words under a rise box: ``OK``, or quarters of both feet up or down."""
    if turns.ok:
        return "OK"
    arrow = {1: "↑", -1: "↓", 0: ""}[_sign(turns.quarters)]
    return f"{arrow}{abs(turns.quarters)}{AGAIN if turns.at_least else ''}"


def _sign(value: int) -> int:
    return (value > 0) - (value < 0)


def foot_direction(leg: Leg) -> str | None:
    """Say which way a foot turns to raise the board; None where type or thread is not known.

    A right-hand stud turning in the leg raises clockwise seen from above, a right-hand nut on a
    fixed stud lowers so; a left-hand thread reverses both.
    """
    if leg.foot_type is FootType.UNKNOWN or leg.thread is None:
        return None
    clockwise = (leg.foot_type is FootType.STUD_IN_LEG) == (leg.thread.hand is Hand.RIGHT)
    return "clockwise from above" if clockwise else "anticlockwise from above"


def raisable(leg: Leg) -> int | None:
    """Count the quarter turns up that the described thread leaves; None where it is not known."""
    if leg.thread is None or leg.thread_left_mm is None:
        return None
    return max(0, int(4 * leg.thread_left_mm / leg.thread.pitch_mm))


def nut_direction(bracket: Bracket) -> str:
    """Say which way the inner nut turns to move outward, standing at the working side.

    A right-hand nut runs away from whoever turns it clockwise; so outward, toward the one who
    stands at the working side, is anticlockwise.
    """
    if bracket.thread is None or bracket.working_side is None:
        return "+ = outward"
    clockwise = bracket.thread.hand is Hand.LEFT
    way = "clockwise" if clockwise else "anticlockwise"
    return f"+ = {way} from {bracket.working_side}"


def other(side: Side) -> Side:
    """Name the other side."""
    return Side.RIGHT if side is Side.LEFT else Side.LEFT
