"""Pressure under each foot, beside what was entered for the floor. A qualified person decides."""

import math
from dataclasses import dataclass

from passport.leveling.loads.answers import Band, FootLoad, Loads
from passport.table import Side

CAUTION = (
    "Board and frame only: people leaning, play and moving come on top. This compares two figures "
    "and approves nothing: a qualified person decides whether the floor carries the table, before "
    "delivery and by the local code."
)


@dataclass(frozen=True)
class Floor:
    """What the user entered for the floor.

    Attributes
    ----------
    foot_diameter_mm : float or None
        Of the face that touches the floor, or of the plate under it. [mm]
    allowed_kpa : float or None
        What the floor is said to bear. [kPa]
    """

    foot_diameter_mm: float | None = None
    allowed_kpa: float | None = None


@dataclass(frozen=True)
class Pressure:
    """Pressure under one foot.

    Attributes
    ----------
    leg, side : str, Side
        Which foot.
    kpa : Band
        Over all cases, with its standard uncertainty. [kPa]
    share : float or None
        Upper end plus twice its uncertainty over what was entered; None: nothing was.
    """

    leg: str
    side: Side
    kpa: Band
    share: float | None


def pressures(found: Loads, floor: Floor) -> tuple[Pressure, ...]:
    """Give the pressure under each foot.

    Parameters
    ----------
    found : Loads
        What the feet carry.
    floor : Floor
        What was entered.

    Returns
    -------
    tuple of Pressure
        From end A, left before right; empty without a foot's diameter.
    """
    diameter = floor.foot_diameter_mm
    if diameter is None or not math.isfinite(diameter) or diameter <= 0:
        return ()
    area_mm2 = math.pi * diameter**2 / 4
    return tuple(_pressure(foot, area_mm2, floor) for leg in found.legs for foot in leg.feet)


def _pressure(foot: FootLoad, area_mm2: float, floor: Floor) -> Pressure:
    load, per = foot.load_n, 1000 / area_mm2  # N/mm² to kPa
    kpa = Band(load.low * per, load.high * per, load.u * per)
    allowed = floor.allowed_kpa
    entered = allowed is not None and math.isfinite(allowed) and allowed > 0
    share = (kpa.high + 2 * kpa.u) / allowed if entered and allowed else None
    return Pressure(foot.leg, foot.side, kpa, share)
