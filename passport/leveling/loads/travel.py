"""How far feet may go before one that carries is slack."""

import numpy as np

from passport.leveling.loads.contact import Rest, come_to_rest
from passport.leveling.loads.moments import Array, Held

FAR_M = 1.0  # a foot this low is out of reach of any board
_TINY = 1e-9  # of the largest rate


def way_down(held: Held, heights_m: Array, foot: int) -> float | None:
    """Find how far one foot may go down before it carries nothing.

    Parameters
    ----------
    held : Held
        The bar as if its N feet could pull.
    heights_m : ndarray of shape (N,)
        Tops of the feet. [m]
    foot : int
        Which one.

    Returns
    -------
    float or None
        From its height to where the bar would hang without it, nought where it is slack already
        [m]; None when the bar tips over without it, so that it always carries.
    """
    low = heights_m.copy()
    low[foot] -= FAR_M
    rest = come_to_rest(held, low)
    if rest is None or rest.bears[foot]:
        return None
    return max(0.0, FAR_M - float(rest.gaps[foot]))


def way_up(held: Held, heights_m: Array, rising: Array) -> float | None:
    """Find how far feet may rise together before another that carries is slack.

    The bar's answer is straight between events: a foot that comes to bear, or one that goes slack.

    Parameters
    ----------
    held : Held
        The bar as if its N feet could pull.
    heights_m : ndarray of shape (N,)
        Tops of the feet. [m]
    rising : ndarray of shape (N,)
        How far each foot goes up per unit of the way.

    Returns
    -------
    float or None
        The way [m]; None when nothing goes slack however far it is, or the bar tips over.
    """
    rest = come_to_rest(held, heights_m)
    if rest is None:
        return None
    watched = rest.bears & (rest.forces > _TINY * held.level.sum()) & (rising <= 0)
    bears, way, heights = rest.bears.copy(), 0.0, heights_m.copy()
    for _ in range(4 * len(heights)):
        step, foot = _next_event(held, heights, rising, bears)
        if foot is None:
            return None
        way, heights = way + step, heights + step * rising
        if bears[foot] and watched[foot]:
            return way
        bears[foot] = not bears[foot]
    return None


def _next_event(
    held: Held, heights: Array, rising: Array, bears: np.typing.NDArray[np.bool_]
) -> tuple[float, int | None]:
    """Find the next foot to touch or to go slack, and how far it is till then."""
    now = _answer(held, held.level + held.stiffness @ heights, bears)
    rate = _answer(held, held.stiffness @ rising, bears)  # forces where it bears, gaps elsewhere
    limit = np.where(bears, _TINY * np.abs(held.stiffness).max(), _TINY)
    falling = np.flatnonzero(rate < -limit * np.abs(rising).max())
    if not len(falling):
        return 0.0, None
    steps = np.maximum(now[falling], 0.0) / -rate[falling]
    first = int(np.argmin(steps))
    return float(steps[first]), int(falling[first])


def _answer(held: Held, offset: Array, bears: np.typing.NDArray[np.bool_]) -> Array:
    """Give forces at feet that bear and gaps at the others."""
    free = ~bears
    gaps = np.zeros(len(offset))
    gaps[free] = np.linalg.solve(held.stiffness[np.ix_(free, free)], -offset[free])
    return np.where(bears, offset + held.stiffness @ gaps, gaps)


def slack(rest: Rest) -> np.typing.NDArray[np.bool_]:
    """Say which feet carry nothing."""
    total: float = float(rest.forces.sum())
    return np.asarray(rest.forces <= _TINY * total, dtype=np.bool_)
