"""The ids of the kit form's fields; those of its closing are the service form's."""

from passport.visits.kit.record import Pair

PLACES = (1, 2, 3)
PAIRS = (1, 2, 3)
STEP = "stack.step"
ZERO = "stack.zero"
GAP = {Pair.TWIN: "edge.twin", Pair.THIRD: "edge.third", Pair.OTHERS: "edge.twin_on_third"}


def stack(place: int, units: str) -> str:
    """Name the reading over ten cards at one place of the stack, in the table's unit."""
    return f"stack.{place}.{units}"


def reversal(pair: int) -> tuple[str, str]:
    """Name the counts of one pair: first and turned round."""
    return f"reversal.{pair}.first", f"reversal.{pair}.turned_round"


def side(pair: Pair) -> str:
    """Where the gap is: in the middle or at the ends."""
    return f"{GAP[pair]}.side"


def passes(pair: Pair, units: str) -> str:
    """Thickest feeler that passes."""
    return f"{GAP[pair]}.passes.{units}"


def stops(pair: Pair, units: str) -> str:
    """Thinnest feeler that does not pass."""
    return f"{GAP[pair]}.stops.{units}"
