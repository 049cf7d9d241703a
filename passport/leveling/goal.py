"""What a plan aims at: a station's excess, and what turns cost."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

GUARD = 2.0  # standard uncertainties: a guard band of U with k = 2, JCGM 106, 8.3 (from memory)
TIE = 1e-9  # of a tolerance
NEVER = 1 << 40  # dearer than any plan
_TOUCH, _STEP = 10_000, 100  # a part touched outweighs all steps, a step all lowering


@dataclass(frozen=True)
class Goal:
    """Where a station should be; mm or mm/m.

    ``settled``: known to be in tolerance, so that no turn is an excess of nought.
    """

    target: float
    tolerance: float
    settled: bool = False

    def needed(self, value: float, per_quarter: float) -> tuple[int, int]:
        """Give the range of quarter turns from none to the target, rounded up.

        No foot or nut is turned past its own target to help another station, and none where the
        station is settled: the paper's look-up would undo it.
        """
        if self.settled or per_quarter <= 0.0:
            return 0, 0
        wanted = (self.target - value) / per_quarter
        whole = math.ceil(abs(wanted))
        return (0, whole) if wanted > 0 else (-whole, 0)

    def excess(self, value: Floats, u: Floats, still: Flags) -> Floats:
        """Give the part of a departure beyond tolerance minus guard band, per tolerance.

        Parameters
        ----------
        value, u : ndarray
            Predicted value and its standard uncertainty, the turns' own spread included.
        still : ndarray
            Where nothing is turned that moves the station.
        """
        room = np.maximum(0.0, self.tolerance - GUARD * u)
        beyond = np.maximum(0.0, np.abs(value - self.target) - room) / self.tolerance
        return np.where(np.asarray(self.settled) & still, 0.0, beyond)


def turn_cost(turns: Ints) -> Ints:
    """Weigh parts touched, then steps, then lowering, for turns of shape (N, parts)."""
    touched = (turns != 0).sum(axis=1)
    lowered = np.maximum(0, -turns).sum(axis=1)
    total = touched * _TOUCH + np.abs(turns).sum(axis=1) * _STEP + lowered
    return np.asarray(total, dtype=np.int64)
