"""What a plan aims at: a station's excess, and what turns cost."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

# Standard uncertainties of the guard band; JCGM 106, 8.3, leaves its width to who decides (from
# memory). By simulation more of it brings more tables in, and from here on touches more parts.
GUARD = 2.5
TIE = 1e-9  # of a tolerance
NEVER = 1 << 40  # dearer than any plan
_TOUCH, _STEP = 10_000, 100  # a part touched outweighs all steps, a step all lowering


@dataclass(frozen=True)
class Goal:
    """Where a station should be; mm or mm/m.

    ``settled``: the whole table is known to be in tolerance, so no turn is an excess of nought.
    """

    target: float
    tolerance: float
    settled: bool = False

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
