"""What each leg and foot of a table carries: a band over what is not known of its frame."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from passport.leveling.loads.answers import (
    Band,
    Bearing,
    Follow,
    FootLoad,
    LegLoad,
    Loads,
    NoLoads,
)
from passport.leveling.loads.contact import come_to_rest
from passport.leveling.loads.feet import hold_feet
from passport.leveling.loads.frame import STATED_FRAME, Frame, bare_bar, framed_bar
from passport.leveling.loads.heights import FootHeights, foot_heights, legs_from_a
from passport.leveling.loads.moments import Array, Bar, Held, hold
from passport.leveling.loads.travel import FAR_M, way_down, way_up
from passport.leveling.loads.wood import board_mass
from passport.leveling.supports import end_legs
from passport.leveling.unusable import why_unusable
from passport.table import Role, Side, Table
from passport.visit import Visit

TIPS = (
    "The board's weight lies outside the feet that carry it: it would tip over. Check the places "
    "of the legs in the description, and which feet bear."
)
_NOTHING = 1e-6  # of the whole weight
FLAT, SETTLED = 1.0, 0.0  # share of the feet's lean that twists the bar


def loads(table: Table, visit: Visit | None = None, frame: Frame = STATED_FRAME) -> Loads | NoLoads:
    """Find what each leg and foot carries.

    The cases: the bare board, and board with the stated frame as one stiff bar; flat as it was
    made, and settled into the twist of its feet (wood creeps); supporting legs that only touch,
    and that share as the others do.

    Parameters
    ----------
    table : Table
        Board, legs, targets.
    visit : Visit or None
        Heights as left; without one the targets are taken.
    frame : Frame
        What the board may lie in.

    Returns
    -------
    Loads or NoLoads
        Bands with uncertainties, or why there are none.
    """
    why = why_unusable(table, () if visit is None else (visit,))
    if why:
        return NoLoads(why)
    stand = _Stand(table, foot_heights(table, visit), bare_bar(table.board))
    stiff = framed_bar(table.board, frame)
    cases = list(_cases(stand, stiff))
    forces = [_forces(stand, case) for case in cases]
    known = np.array([each for each in forces if each is not None])  # (cases, 2 N)
    if len(known) < len(cases) or _stands_on_slack(stand, known):
        return NoLoads(TIPS)
    return Loads(
        board_mass(table.board),
        frame,
        _legs(stand, known, _spread(stand, cases), stiff),
        _follow(table, (stand.bare, stiff)),
        stand.supporting,
        stand.heights.assumed,
    )


@dataclass(frozen=True)
class _Stand:
    """A table on its feet."""

    table: Table
    heights: FootHeights
    bare: Bar

    @property
    def supporting(self) -> bool:
        return any(leg.role is Role.SUPPORTING for leg in self.table.legs)

    @property
    def x_m(self) -> Array:
        return np.array([leg.x_mm for leg in legs_from_a(self.table)]) / 1000

    @property
    def spacing_m(self) -> Array:
        return np.array([leg.foot_spacing_mm for leg in legs_from_a(self.table)]) / 1000

    def feet(self, bar: Bar) -> Held:
        return hold_feet(bar, self.x_m, self.spacing_m)

    def tops_m(self, twist: float) -> Array:
        """Heights of all left feet, then all right ones, as the bar meets them.

        Of the feet's lean it meets the share ``twist``; slack feet are out of reach.
        """
        middle, lean = self.heights.middle_mm, self.heights.lean_mm * twist
        tops: Array = np.concatenate([middle + lean / 2, middle - lean / 2]) / 1000
        lowered: Array = tops - FAR_M * self.heights.slack.ravel()
        return lowered


@dataclass(frozen=True)
class _Case:
    """A bar, the share of the feet's lean that it meets, and how low supporting legs are. [m]."""

    bar: Bar
    twist: float
    lowered: float


def _cases(stand: _Stand, stiff: Bar) -> Iterator[_Case]:
    for bar in (stand.bare, stiff):
        for twist in (FLAT, SETTLED):
            yield _Case(bar, twist, 0.0)
            if stand.supporting:
                yield _Case(bar, twist, FAR_M)


def _forces(stand: _Stand, case: _Case) -> Array | None:
    """Give the force on every foot in one case; None when the bar tips over. [N]."""
    legs = legs_from_a(stand.table)
    clear = np.array([leg.role is Role.SUPPORTING for leg in legs] * 2)
    rest = come_to_rest(stand.feet(case.bar), stand.tops_m(case.twist) - case.lowered * clear)
    return None if rest is None else rest.forces


def _stands_on_slack(stand: _Stand, forces: Array) -> bool:
    """Say whether the board can't stand without the feet that are marked as slack."""
    on_slack = forces[:, stand.heights.slack.ravel()]
    return bool(np.any(on_slack > _NOTHING * forces[0].sum()))


def _spread(stand: _Stand, cases: list[_Case]) -> Array:
    """Give the standard uncertainty of each foot's and each leg's force, (3 N,). [N].

    The larger of the first and the last case, which lie farthest apart. Each input goes up and
    down by its standard uncertainty; half the difference of the answers is its share (JCGM 100,
    5.1.3 note 2).
    """
    ends = (cases[0], cases[-1])
    each = np.array([np.sqrt(sum(_shares(stand, case))) for case in ends])
    largest: Array = each.max(axis=0)
    return largest


def _shares(stand: _Stand, case: _Case) -> Iterator[Array]:
    wood = board_mass(stand.table.board).wood
    heights = stand.heights
    bar = case.bar
    for name, rel_u in (
        ("weight_n_per_m", wood.gravity_rel_u),
        ("bending_n_m2", wood.modulus_rel_u),
    ):
        value = getattr(bar, name)
        pair = [replace(case, bar=replace(bar, **{name: value * (1 + s)})) for s in (rel_u, -rel_u)]
        yield _half(*(_forces(stand, each) for each in pair))
    for i in range(len(heights.middle_mm)):
        for name, u in (("middle_mm", heights.middle_u_mm), ("lean_mm", heights.lean_u_mm)):
            step = np.zeros(len(u))
            step[i] = u[i]
            moved = [
                replace(stand, heights=replace(heights, **{name: getattr(heights, name) + s}))
                for s in (step, -step)
            ]
            yield _half(*(_forces(each, case) for each in moved))


def _half(up: Array | None, down: Array | None) -> Array:
    """Give the square of half a difference; a bar that tips over has none."""
    if up is None or down is None:
        return np.zeros(1)
    return (_with_legs(up - down) / 2) ** 2


def _with_legs(forces: Array) -> Array:
    """Add each leg's sum to the forces of its feet: left, right, both."""
    left, right = np.split(forces, 2, axis=-1)
    return np.concatenate([forces, left + right], axis=-1)


def _legs(stand: _Stand, forces: Array, u: Array, stiff: Bar) -> tuple[LegLoad, ...]:
    """Put together what is known of each leg; ``forces`` (cases, 2 N), ``u`` (3 N,)."""
    legs = legs_from_a(stand.table)
    count = len(legs)
    feet = _feet(stand, forces, u, stiff)
    both, both_u = _with_legs(forces)[:, 2 * count :], u[2 * count :]
    return tuple(
        LegLoad(leg.name, leg.x_mm, _band(both[:, i], both_u[i]), feet[i], feet[i + count])
        for i, leg in enumerate(legs)
    )


def _feet(stand: _Stand, forces: Array, u: Array, stiff: Bar) -> list[FootLoad]:
    """Put together what is known of each foot, all left ones first."""
    legs = legs_from_a(stand.table)
    count, slack = len(legs), stand.heights.slack.ravel()
    carries = forces > _NOTHING * forces[0].sum()
    stands = [
        (stand.feet(bar), stand.tops_m(twist))
        for bar in (stand.bare, stiff)
        for twist in (FLAT, SETTLED)
    ]
    return [
        FootLoad(
            legs[i % count].name,
            (Side.LEFT, Side.RIGHT)[i // count],
            _band(forces[:, i], u[i]),
            _bearing(carries[:, i]),
            bool(slack[i]),
            *((None, None) if slack[i] else _reach(stand, stands, i)),
        )
        for i in range(2 * count)
    ]


def _reach(
    stand: _Stand, stands: list[tuple[Held, Array]], foot: int
) -> tuple[Band | None, Band | None]:
    """Give how far a foot may go down, and up, all legs down."""
    rising = np.eye(len(stands[0][1]))[foot]
    down = [way_down(held, tops, foot) for held, tops in stands]
    up = [way_up(held, tops, rising) for held, tops in stands]
    return _band_mm(stand, foot, down), _band_mm(stand, foot, up)


def _band(forces: Array, u: np.float64) -> Band:
    return Band(float(forces.min()), float(forces.max()), float(u))


def _bearing(carries: np.typing.NDArray[np.bool_]) -> Bearing:
    if carries.all():
        return Bearing.CARRIES
    return Bearing.PERHAPS if carries.any() else Bearing.NOTHING


def _band_mm(stand: _Stand, foot: int, ways: list[float | None]) -> Band | None:
    """Band of ways in mm; None when a foot never gets there in any case.

    A way goes with weight over stiffness, and starts at a height that is known only so well.
    """
    known = [way * 1000 for way in ways if way is not None]
    if not known:
        return None
    leg = foot % len(stand.heights.middle_mm)
    start_u = np.hypot(stand.heights.middle_u_mm[leg], stand.heights.lean_u_mm[leg] / 2)
    return Band(min(known), max(known), float(np.hypot(start_u, max(known) * _rel_u(stand.table))))


def _rel_u(table: Table) -> float:
    """Give the relative standard uncertainty of weight over stiffness."""
    wood = board_mass(table.board).wood
    return float(np.hypot(wood.gravity_rel_u, wood.modulus_rel_u))


def _follow(table: Table, bars: tuple[Bar, Bar]) -> Follow | None:
    """Raise both ends together, supporting legs clear, until the centre leg carries nothing."""
    if end_legs(table) is None:
        return None
    legs = [leg for leg in legs_from_a(table) if leg.role is not Role.SUPPORTING]
    x_m = np.array([leg.x_mm for leg in legs]) / 1000
    rising = np.array([float(leg.role is Role.END) for leg in legs])
    level = np.zeros(len(legs))
    ways = [way_up(hold(bar, x_m), level, rising) for bar in bars]
    bare, framed = (None if way is None else way * 1000 for way in ways)
    return Follow(bare, framed, _rel_u(table))
