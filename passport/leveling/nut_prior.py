"""What is believed of a bracket's inner nut before it was turned: by its build or practice."""

import math
from dataclasses import dataclass

from passport.table import Table


@dataclass(frozen=True)
class NutPrior:
    """Hollow per quarter turn, log-normal, and lost motion where the direction changes.

    Median [mm] and standard deviation of the logarithm; mean and standard uncertainty of what is
    lost [quarter turns].
    """

    median_mm: float
    log_sigma: float
    lost_quarters: float
    lost_u: float

    @property
    def mean_mm(self) -> float:
        """Mean hollow per quarter turn, in mm."""
        return self.median_mm * math.exp(self.log_sigma**2 / 2)

    @property
    def variance_mm2(self) -> float:
        """Variance of the hollow per quarter turn, in mm²."""
        return self.mean_mm**2 * math.expm1(self.log_sigma**2)


# Median 0.002 in, log-normal with sigma 0.4; lost: nought to an eighth of a turn, rectangular
# (common practice, no source).
NUT_QUARTER_MM = 0.0508
USUAL = NutPrior(NUT_QUARTER_MM, 0.4, 0.25, 0.25 / math.sqrt(3))


def nut_prior(table: Table) -> NutPrior:
    """Give what is believed of a nut of this table that nobody turned yet."""
    said = table.build_nuts
    if said is None:
        return USUAL
    return NutPrior(said.median_mm, said.log_u, said.lost_quarters, said.lost_u)
