"""What is believed of a table now, and what turns would make of it."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from passport.leveling.posterior.filter import Known
from passport.leveling.posterior.places import Places

Floats = NDArray[np.float64]
Part = tuple[int, Floats | float]  # place of an unknown, and its factor: numbers or arrays


@dataclass(frozen=True)
class Outlook:
    """State as left and responses: mean (lasting,), covariance, where each nut faces."""

    places: Places
    mean: Floats
    covariance: Floats
    facing: tuple[int, ...]

    def predict(self, parts: Sequence[Part]) -> tuple[Floats, Floats]:
        """Sum unknowns with factors.

        Parameters
        ----------
        parts : sequence of (place, factor)
            Factors are numbers or arrays that broadcast.

        Returns
        -------
        tuple of ndarray
            Mean and standard uncertainty, in the unit of the sum.
        """
        value: Floats | float = 0.0
        variance: Floats | float = 0.0
        for number, (place, factor) in enumerate(parts):
            value = value + self.mean[place] * factor
            variance = variance + self.covariance[place, place] * np.square(factor)
            for other, beside in parts[:number]:
                variance = variance + 2 * self.covariance[place, other] * (factor * beside)
        return np.asarray(value), np.sqrt(np.maximum(variance, 0.0))


def outlook(known: Known) -> Outlook:
    """Look ahead from what is known at the end of a visit."""
    places = known.places
    keep = np.eye(places.size)[: places.lasting]
    keep[: places.state] = known.course.left
    mean, covariance = keep @ known.whole.mean, keep @ known.whole.covariance @ keep.T
    return Outlook(places, mean, covariance, known.course.facing)
