"""How far feet may go before one that carries is slack."""

import numpy as np
from numpy.typing import NDArray

from passport.leveling.loads.contact import Rest, come_to_rest
from passport.leveling.loads.moments import Array, Held

Mask = NDArray[np.bool_]

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
        Nought where it is slack already [m]; None when it carries however low it is, or the bar
        tips over.
    """
    rest = come_to_rest(held, heights_m)
    if rest is None:
        return None
    lone = np.arange(len(heights_m)) == foot
    if _slack(rest)[foot]:
        return 0.0
    return _walk(held, heights_m, -lone.astype(np.float64), (rest.bears, lone))


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
    watched = ~_slack(rest) & (rising <= 0)
    return _walk(held, heights_m, rising, (rest.bears, watched))


def _walk(held: Held, heights_m: Array, moving: Array, start: tuple[Mask, Mask]) -> float | None:
    """Move feet on, event by event, until a watched one is slack; start: who bears, who counts."""
    bears, watched = start[0].copy(), start[1]
    way, heights = 0.0, heights_m.copy()
    for _ in range(4 * len(heights)):
        step, foot = _next_event(held, heights, moving, (bears, watched))
        if foot is None:
            return None
        way, heights = way + step, heights + step * moving
        if bears[foot] and watched[foot]:
            return way
        bears[foot] = not bears[foot]
    return None


def _next_event(
    held: Held, heights: Array, moving: Array, who: tuple[Mask, Mask]
) -> tuple[float, int | None]:
    """Find the next foot to touch or to go slack, and the way till then; of two, a watched one."""
    bears, watched = who
    now = _answer(held, held.level + held.stiffness @ heights, bears)
    rate = _answer(held, held.stiffness @ moving, bears)  # forces where it bears, gaps elsewhere
    limit = np.where(bears, _TINY * np.abs(held.stiffness).max(), _TINY)
    falling = np.flatnonzero(rate < -limit * np.abs(moving).max())
    if not len(falling):
        return 0.0, None
    steps = np.maximum(now[falling], 0.0) / -rate[falling]
    first = falling[steps <= steps.min() * (1 + 1e-6) + 1e-12]
    ended = first[bears[first] & watched[first]]
    return float(steps.min()), int(ended[0] if len(ended) else first[0])


def _answer(held: Held, offset: Array, bears: Mask) -> Array:
    """Give forces at feet that bear and gaps at the others."""
    free = ~bears
    gaps = np.zeros(len(offset))
    gaps[free] = np.linalg.solve(held.stiffness[np.ix_(free, free)], -offset[free])
    return np.where(bears, offset + held.stiffness @ gaps, gaps)


def _slack(rest: Rest) -> Mask:
    """Say which feet carry nothing."""
    total: float = float(rest.forces.sum())
    return np.asarray(rest.forces <= _TINY * total, dtype=np.bool_)
