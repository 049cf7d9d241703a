"""Friction of the day from a timed glide to rest, and the lengthwise slope from both directions.

References
----------
A body that slows evenly from v to rest in time t covers d = v t / 2, so its deceleration is
2 d / t² and the friction µ = 2 d / (g t²).
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from passport.leveling.gravity import GRAVITY_M_PER_S2
from passport.visit import Glide

ENDS = ("A", "B")
DISTANCE_STEP_M = 0.1  # the form's boxes; feet are finer
TIME_STEP_S = 0.1
HAND_U_S = 0.15  # of starting and stopping a watch by hand; common practice, no source
SHAPE_U = 0.0005  # raised ends: the path's own mean slope, alike both ways (3 mm over 6 m)
ONE_WAY_SLOPE_U = 0.001  # an unknown lengthwise tilt, where only one direction was timed

# No published value for beads on finished wood was found, so a glide must be timed. Without one
# nearly any playable board lies in here; common practice, no source.
UNTIMED, UNTIMED_REL_U = 0.04, 0.4
PLAUSIBLE = (0.004, 0.4)
LEAST, MOST = 0.01, 1000.0  # metres, or seconds, of anything that was glided
MOST_REL_U = 0.4  # a glide worse than none is not used


@dataclass(frozen=True)
class Run:
    """One timed glide: friction and lengthwise slope together, (dimensionless, its u)."""

    from_end: str
    distance_m: float
    seconds: float
    drag: float
    u: float


@dataclass(frozen=True)
class Friction:
    """The day's friction.

    Attributes
    ----------
    value, u : float
        µ and its standard uncertainty.
    runs : tuple of Run
        What it rests on; empty: nothing usable was timed and the value is assumed.
    slope_mm_per_m, slope_u : float or None
        Lengthwise, positive where end B is higher; None without both directions.
    refused : tuple of str
        Glides that can't be, each with its reason.
    """

    value: float
    u: float
    runs: tuple[Run, ...] = ()
    slope_mm_per_m: float | None = None
    slope_u: float | None = None
    refused: tuple[str, ...] = ()

    @property
    def rel_u(self) -> float:
        """Relative standard uncertainty."""
        return self.u / self.value


def friction(glides: Sequence[Glide], longest_m: float = MOST) -> Friction:
    """Find the day's friction from glides.

    Uphill a weight stops sooner: a run's drag is µ plus the slope that it climbs. Half the sum of
    both directions is µ, half their difference the slope.

    Parameters
    ----------
    glides : sequence of Glide
        Distances [m] and times [s] to rest; any may be missing.
    longest_m : float
        The board's length: a glide to rest is no longer. [m]

    Returns
    -------
    Friction
        Assumed and wide where nothing usable was timed.
    """
    refused = tuple(_refusals(glides, longest_m))
    named = [glide for glide in glides if glide.from_end in ENDS]
    runs = tuple(run for glide in named if (run := _run(glide, longest_m)) is not None)
    drags = {end: _mean([run for run in runs if run.from_end == end]) for end in ENDS}
    known = [drag for drag in drags.values() if drag is not None]
    if not known:
        return Friction(UNTIMED, UNTIMED * UNTIMED_REL_U, refused=refused)
    first, second = drags["A"], drags["B"]
    if first is None or second is None:
        value, u = known[0]
        return Friction(value, math.hypot(u, SHAPE_U, ONE_WAY_SLOPE_U), runs, refused=refused)
    half_u = math.hypot(first[1], second[1]) / 2
    return Friction(
        (first[0] + second[0]) / 2,
        math.hypot(half_u, SHAPE_U),
        runs,
        (first[0] - second[0]) / 2 * 1000,
        half_u * 1000,
        refused,
    )


def drag_of(distance_m: float, seconds: float) -> float:
    """Give 2 d / (g t²): friction on level ground."""
    return 2 * distance_m / (GRAVITY_M_PER_S2 * seconds**2)


def _run(glide: Glide, longest_m: float) -> Run | None:
    """Read one glide with its uncertainty; None where something is missing or can't be."""
    distance, seconds = glide.distance_m, glide.seconds
    if distance is None or seconds is None or _wrong(distance, seconds, longest_m):
        return None
    drag = drag_of(distance, seconds)
    return Run(glide.from_end, distance, seconds, drag, drag * _rel_u(distance, seconds))


def _rel_u(distance: float, seconds: float) -> float:
    distance_u = DISTANCE_STEP_M / math.sqrt(12)
    time_u = math.hypot(TIME_STEP_S / math.sqrt(12), HAND_U_S)
    return math.hypot(distance_u / distance, 2 * time_u / seconds)


def _wrong(distance: float, seconds: float, longest_m: float) -> str:
    """Say why a glide is none: no numbers, too long, too short, no friction; else nothing."""
    if not all(LEAST < number < MOST for number in (distance, seconds)):
        return "can't be"
    if distance > longest_m + DISTANCE_STEP_M:
        return "is longer than the board"
    if not PLAUSIBLE[0] <= drag_of(distance, seconds) <= PLAUSIBLE[1]:
        return "can't be"
    return "is too short to tell" if _rel_u(distance, seconds) > MOST_REL_U else ""


def _refusals(glides: Sequence[Glide], longest_m: float) -> Iterator[str]:
    for glide in glides:
        distance, seconds = glide.distance_m, glide.seconds
        if distance is None or seconds is None:
            missing = "distance" if distance is None else "time"
            yield f"glide from {glide.from_end} without its {missing}"
        elif wrong := _wrong(distance, seconds, longest_m):
            yield f"glide from {glide.from_end}, {distance:g} m in {seconds:g} s, {wrong}"


def _mean(runs: list[Run]) -> tuple[float, float] | None:
    """Average the runs of one direction; their scatter counts where it is the larger."""
    if not runs:
        return None
    count, drags = len(runs), [run.drag for run in runs]
    mean = sum(drags) / count
    own = math.sqrt(sum(run.u**2 for run in runs)) / count
    scatter = math.sqrt(sum((drag - mean) ** 2 for drag in drags) / max(1, count - 1) / count)
    return mean, max(own, scatter)
