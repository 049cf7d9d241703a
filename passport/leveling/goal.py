"""What a plan aims at: a station's excess, and what turns cost."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

GUARD = 1.645  # standard uncertainties: P = 0.95 on the near side, JCGM 106
TIE = 1e-9  # of a tolerance
NEVER = 1 << 40  # dearer than any plan
_TOUCH, _STEP = 10_000, 100  # a part touched outweighs all steps, a step all lowering


@dataclass(frozen=True)
class Goal:
    """Where a station stands and where it should be; mm or mm/m.

    ``settled``: known to be in tolerance, so that no turn is an excess of nought.
    """

    value: float
    u: float
    target: float
    tolerance: float
    settled: bool = False

    def excess(self, moved: Floats, moved_u: Floats) -> Floats:
        """Give the excess after a movement of uncertain size; arrays of one shape."""
        room = np.maximum(0.0, self.tolerance - GUARD * np.hypot(self.u, moved_u))
        beyond = np.maximum(0.0, np.abs(self.value + moved - self.target) - room)
        rest = np.where(np.asarray(self.settled) & (moved_u == 0.0), 0.0, beyond)
        return np.asarray(rest / self.tolerance, dtype=np.float64)

    def needed(self, per_quarter: float) -> tuple[int, int]:
        """Give the range of quarter turns from none to the target, rounded up.

        No foot or nut is turned past its own target to help another station, and none where the
        station is settled: the paper's look-up would undo it.
        """
        if self.settled or per_quarter == 0.0:
            return 0, 0
        wanted = (self.target - self.value) / per_quarter
        whole = math.ceil(abs(wanted))
        return (0, whole) if wanted > 0 else (-whole, 0)


def turn_cost(turns: Ints) -> Ints:
    """Weigh parts touched, then steps, then lowering, for turns of shape (N, parts)."""
    touched = (turns != 0).sum(axis=1)
    lowered = np.maximum(0, -turns).sum(axis=1)
    total = touched * _TOUCH + np.abs(turns).sum(axis=1) * _STEP + lowered
    return np.asarray(total, dtype=np.int64)
