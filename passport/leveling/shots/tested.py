"""The test shots of a visit: friction, slope, curve, and whether the levels agree."""

from dataclasses import dataclass

import numpy as np

from passport.leveling.shots.agree import Agreement, Slope, agree, slope_of_levels, slope_of_shots
from passport.leveling.shots.drift import CHANCE, Drift, Ground, Value, drift
from passport.leveling.shots.friction import Friction, friction
from passport.leveling.shots.levels import Level, covariance, cross_levels, hollows
from passport.leveling.surface import lengthwise_tilt
from passport.leveling.walks import Moment
from passport.table import Table
from passport.visit import Shot, Visit

HOLLOW_SHAPE_REL_U = 0.15  # a board's hollow is no exact parabola; common practice, no source

MOST_HOLLOW_MM = 10.0  # no board that weights glide on is as hollow, or as crowned


@dataclass(frozen=True)
class Tested:
    """What the shots of a visit say.

    Attributes
    ----------
    friction : Friction
        Of the day.
    hollow_mm : Value
        Mean over the brackets, used for the paths. [mm]
    hollow_read : bool
        False: the target was taken, with its tolerance.
    drift : Drift or None
        None without one closed mark.
    levels : Slope or None
        Cross slope along the board by the levels, as left.
    both : Agreement or None
        Shots and levels together.
    tilt_mm_per_m : Value or None
        Lengthwise by the level, end B higher positive.
    bounds : tuple of Shot
        Marks in an outermost box.
    """

    friction: Friction
    hollow_mm: Value
    hollow_read: bool
    drift: Drift | None
    levels: Slope | None
    both: Agreement | None
    tilt_mm_per_m: Value | None
    bounds: tuple[Shot, ...]

    @property
    def slope(self) -> Slope | None:
        """Cross slope along the board, by shots and levels, or by shots alone.

        None without shots, and where both differ more than chance makes.
        """
        if self.drift is None:
            return None
        if self.both is None:
            return slope_of_shots(self.drift)
        return self.both.both if self.both.chance >= CHANCE else None


def read_shots(table: Table, visit: Visit) -> Tested | None:
    """Read the test shots of a visit.

    Parameters
    ----------
    table : Table
        Board and targets.
    visit : Visit
        Shots, glides, and the levels as left.

    Returns
    -------
    Tested or None
        None where neither a shot nor a glide was written.
    """
    if not visit.shots and not visit.glides:
        return None
    hollow = _hollow(hollows(table, visit, Moment.LEFT))
    target = table.targets.hollow_mm
    used = hollow or Value(target.value, target.tolerance)
    day = friction(visit.glides, table.board.length_mm / 1000)
    ground = Ground(table.board, day, Value(used.value / 1000, used.u / 1000))
    drifted = drift(ground, visit.shots)
    levels = slope_of_levels(table.board, cross_levels(table, visit, Moment.LEFT))
    tilt = lengthwise_tilt(table, visit, Moment.LEFT)
    return Tested(
        day,
        used,
        hollow is not None,
        drifted,
        levels,
        agree(levels, slope_of_shots(drifted)) if levels and drifted else None,
        Value(tilt.value, tilt.u) if tilt else None,
        tuple(shot for shot in visit.shots if shot.bound),
    )


def _hollow(read: tuple[Level, ...]) -> Value | None:
    """Average the hollows of the brackets; how they differ along the board counts too. [mm]."""
    read = tuple(level for level in read if abs(level.value) < MOST_HOLLOW_MM)
    if not read:
        return None
    values = np.array([level.value for level in read], dtype=np.float64)
    common = float(covariance(read).mean())
    differ = float(values.var(ddof=1)) if len(values) > 1 else 0.0
    shape = (HOLLOW_SHAPE_REL_U * float(values.mean())) ** 2
    return Value(float(values.mean()), float(np.sqrt(common + differ + shape)))
