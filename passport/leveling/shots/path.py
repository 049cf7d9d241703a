"""What makes a weight drift: the path to rest over cross slope, hollow and an aim that is off.

Friction opposes the whole velocity, so it also brakes the drift: the naive ½ a t² is twice too
big. With the forward speed V = v₀ τ at the share τ of the time still to go, and X the distance to
rest, a small direction p = dy/dx and the offset y follow

    dp/dτ = (s + κ y) / (µ τ)        dy/dτ = −2 X τ p

where s is the cross slope, κ the change of slope per offset that a hollow makes. In ln τ it is
smooth, and it is linear in aim, start, slope and twist, so one solution serves all shots.

References
----------
Coulomb friction on a tilted plane has closed forms: at rest T = v₀ / (f (1 − k²)),
X = 2 v₀² / (f (4 − k²)), Y = k v₀² / (4 f (1 − k²)), k = tan θ / µ, f = µ g cos θ (derived for
this project; the same forms in Eur. J. Phys. 28, 2007, "Particle sliding on a rough incline", by
its abstract). For small k: Y = k X / 2; of a slope that varies along the way, its plain mean.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from passport.leveling.gravity import GRAVITY_M_PER_S2

_LAST = -10.0  # ln τ at the end: what is left of the way is X τ² = 2e-9 X
_TOLERANCE = 1e-6  # of offsets per metre: a thousandth of a box


@dataclass(frozen=True)
class Run:
    """What a path depends on besides what it is linear in.

    Attributes
    ----------
    friction : float
        µ.
    reach_m : float
        Distance to rest, X. [m]
    curl_per_m : float
        Cross slope that the hollow makes per offset, κ = 8 h / w². [1/m]
    board_m : float
        Length of the board. [m]
    """

    friction: float
    reach_m: float
    curl_per_m: float
    board_m: float


@dataclass(frozen=True)
class Effects:
    """Where a weight rests, by cause; a shot from end A, offsets positive to the left. [m].

    Attributes
    ----------
    aim : float
        Per radian of aim to the left.
    start : float
        Per metre that it starts to the left.
    slope : float
        Per unit of cross slope (left high).
    twist : float
        Per unit that the slope grows from the board's middle to end B.
    """

    aim: float
    start: float
    slope: float
    twist: float


def effects(run: Run) -> Effects:
    """Solve the path to rest numerically.

    Parameters
    ----------
    run : Run
        Friction, reach, hollow, board.

    Returns
    -------
    Effects
        For slopes small beside the friction; the relative error is ¾ (slope / friction)².
    """
    start = np.array([0.0, 1.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0])  # offsets, then directions
    found = solve_ivp(
        _rates,
        (0.0, _LAST),
        start,
        args=(run,),
        method="DOP853",
        rtol=_TOLERANCE,
        atol=_TOLERANCE,
    )
    return Effects(*(float(offset) for offset in found.y[:4, -1]))


def _rates(log_left: float, state: NDArray[np.float64], run: Run) -> NDArray[np.float64]:
    """Give d/d(ln τ) of four offsets and four directions: aim, start, slope, twist."""
    left = math.exp(2 * log_left)  # τ²: the share of the way still to go
    along = 2 * run.reach_m * (1 - left) / run.board_m - 1  # −1 at end A, 1 at end B
    rates = np.empty(8)
    rates[:4] = state[4:] * (-2 * run.reach_m * left)
    rates[4:] = state[:4] * (run.curl_per_m / run.friction)
    rates[6] += 1 / run.friction
    rates[7] += along / run.friction
    return rates


@dataclass(frozen=True)
class Stop:
    """Where and when a weight comes to rest: seconds, metres ahead, metres downhill."""

    seconds: float
    ahead_m: float
    aside_m: float


def stop_on_slope(speed: float, friction: float, tilt_rad: float, aim_rad: float = 0.0) -> Stop:
    """Give the closed form on a plane tilted sideways.

    Parameters
    ----------
    speed : float
        At the start. [m/s]
    friction : float
        µ, above tan(tilt).
    tilt_rad : float
        Sideways tilt. [rad]
    aim_rad : float
        Angle of the start from straight ahead, positive downhill. [rad]

    Returns
    -------
    Stop
        Never at rest where friction does not hold: infinities.
    """
    f = friction * GRAVITY_M_PER_S2 * math.cos(tilt_rad)
    a = GRAVITY_M_PER_S2 * math.sin(tilt_rad)
    if abs(a) >= f:
        return Stop(math.inf, math.inf, math.copysign(math.inf, a))
    ahead, aside = speed * math.cos(aim_rad), speed * math.sin(aim_rad)
    return Stop(
        (f * speed + a * aside) / (f**2 - a**2),
        ahead * (2 * f * speed + a * aside) / (4 * f**2 - a**2),
        (a * speed**2 + 2 * f * speed * aside + a * aside**2) / (4 * (f**2 - a**2)),
    )
