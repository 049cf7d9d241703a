"""The stated band of loads holds tables drawn here: any frame, twist and supporting legs."""

import numpy as np
import pytest

from passport.leveling.loads.carried import loads
from passport.leveling.loads.contact import come_to_rest
from passport.leveling.loads.feet import hold_feet
from passport.leveling.loads.frame import STATED_FRAME, bare_bar, framed_bar
from passport.leveling.loads.heights import foot_heights
from passport.leveling.loads.moments import Bar
from passport.table import Board, FootType, Kit, Leg, Role, Table, Target, Targets

BOARD = Board(6600, 500, 76.2, "maple")
KIT = Kit("kit", 500, 500, 0.1, None, 0.2, 0.004)
TARGETS = Targets(Target(0.5, 0.19), Target(0.0, 0.8), Target(3.175, 0.8))
LAYOUTS = {
    2: (Role.END, Role.END),
    3: (Role.END, Role.CENTRE, Role.END),
    5: (Role.END, Role.SUPPORTING, Role.CENTRE, Role.SUPPORTING, Role.END),
}


def table(count):
    places = np.linspace(300, 6300, count)
    legs = tuple(
        Leg(f"L{i}", float(x), role, 500, FootType.UNKNOWN, None)
        for i, (x, role) in enumerate(zip(places, LAYOUTS[count], strict=True))
    )
    return Table("1", "Invented", "Nowhere", BOARD, legs, (), TARGETS, KIT)


def drawn_forces(rng, stand):
    """Draw wood, frame, heights, how far twist has settled and supporting legs were let down."""
    bare, framed = bare_bar(BOARD), framed_bar(BOARD, STATED_FRAME)
    share, heavier, stiffer = rng.uniform(), rng.normal(1, 0.05), rng.normal(1, 0.11)

    def between(name):
        low, high = getattr(bare, name), getattr(framed, name)
        return low + share * (high - low)

    bar = Bar(
        6.6,
        between("weight_n_per_m") * heavier,
        between("bending_n_m2") * stiffer,
        between("torsion_n_m2") * stiffer,
    )
    known = foot_heights(stand, None)
    middle = rng.normal(known.middle_mm, known.middle_u_mm)
    lean = rng.normal(known.lean_mm, known.lean_u_mm) * rng.uniform()
    clear = np.array([leg.role is Role.SUPPORTING for leg in stand.legs])
    middle -= clear * rng.uniform() * 20
    tops = np.concatenate([middle + lean / 2, middle - lean / 2]) / 1000
    x = np.array([leg.x_mm for leg in stand.legs]) / 1000
    forces = come_to_rest(hold_feet(bar, x, np.full(len(x), 0.5)), tops).forces
    return forces[: len(x)] + forces[len(x) :]


@pytest.mark.parametrize("count", LAYOUTS)
def test_band_and_twice_its_uncertainty_hold_19_legs_in_20(count):
    stand, rng = table(count), np.random.default_rng(count)
    bands = [leg.load_n for leg in loads(stand).legs]
    low, high = (np.array([getattr(b, end) for b in bands]) for end in ("low", "high"))
    u = np.array([band.u for band in bands])

    drawn = np.array([drawn_forces(rng, stand) for _ in range(400)])

    inside = (drawn >= low - 2 * u) & (drawn <= high + 2 * u)
    assert inside.mean() >= 0.95
