"""A small picture of a value in its tolerance: band, target, value and its 95 % interval."""

from passport.leveling.advice import Quantity, StationState

WIDTH, HEIGHT = 27.0, 4.2  # [mm]
REACH = 2.5  # tolerances shown on either side of the target
_TIP = 1.4  # [mm] length of an arrow's head


def gauge_svg(state: StationState) -> str:
    """Draw a station's gauge; a value beyond its ends becomes an arrow.

    Low values stand at the left; of a cross level, left high stands at the left.
    """
    middle, half = WIDTH / 2, WIDTH / 2 / REACH
    band = (
        f'<path d="M{middle - half:.2f} 0.4H{middle + half:.2f}V{HEIGHT - 0.4:.2f}'
        f'H{middle - half:.2f}Z" fill="#ddd"/>'
    )
    axis = f'<path d="M0 {HEIGHT / 2}H{WIDTH}" stroke="#999" stroke-width="0.12"/>'
    target = f'<path d="M{middle} 0.4V{HEIGHT - 0.4:.2f}" stroke="#000" stroke-width="0.15"/>'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH}mm" height="{HEIGHT}mm" '
        f'viewBox="0 0 {WIDTH} {HEIGHT}">{band}{axis}{target}{_known(state)}</svg>'
    )


def _known(state: StationState) -> str:
    if state.low is None and state.high is None:
        return ""
    ends = sorted((_x(state, state.low, -1), _x(state, state.high, 1)))
    line = f"M{ends[0]:.2f} {HEIGHT / 2}H{ends[1]:.2f}"
    heads = "".join(_head(x) for x in ends if not 0 < x < WIDTH)
    dot = ""
    if state.value is not None and 0 < _x(state, state.value, 0) < WIDTH:
        dot = f'<circle cx="{_x(state, state.value, 0):.2f}" cy="{HEIGHT / 2}" r="0.85"/>'
    return f'<path d="{line}" stroke="#000" stroke-width="0.45"/>{heads}{dot}'


def _x(state: StationState, value: float | None, open_side: int) -> float:
    """Place [mm] of a value, held inside the picture; an open end runs out at its side."""
    sense = -1 if state.quantity is Quantity.CROSS else 1
    if value is None:
        return WIDTH / 2 * (1 + sense * open_side)
    share = sense * (value - state.target) / state.tolerance / REACH
    return WIDTH / 2 * (1 + max(-1.0, min(1.0, share)))


def _head(x: float) -> str:
    """Arrow head at an end of the picture."""
    back = _TIP if x <= 0 else WIDTH - _TIP
    return f'<path d="M{x:.2f} {HEIGHT / 2}L{back} {HEIGHT / 2 - 0.8}V{HEIGHT / 2 + 0.8}Z"/>'
