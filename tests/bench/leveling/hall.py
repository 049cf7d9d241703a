"""A hall of invented tables: what is true of each, what turns do to it, what a level shows.

All tables of a hall are alike as described and differ in what nobody knows. Arrays run over the N
tables first. Nothing here comes from the calculator: physics and figures are written anew from the
statement of the measures, so that a mistake of the calculator is none of the hall's. Millimetres,
mm/m, quarter turns. Signs: cross level positive where the left is high; hollow positive where
concave; a turn positive where the board goes up or hollower.
"""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from passport.table import Role, Table

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

THOU = 0.0254
CROSS_BOXES = (-5, 5)  # the outermost boxes mean "or more"
HOLLOW_BOXES = (-2, 8)
RISE_BOXES = (-2, 8)


@dataclass(frozen=True)
class World:
    """What the tables and the hands are drawn from: standard deviations, unless said otherwise."""

    card_off: float = 0.07  # of the pack, relative, per visit
    zero: float = 0.1  # of the level [mm/m], per visit
    touch: float = 0.5 * THOU  # [mm] of a card that just passes
    bubble: float = 0.05  # [mm/m]
    nut_median: float = 2 * THOU  # [mm] per quarter turn
    nut_sigma: float = 0.4  # log-normal
    nut_alike: float = 0.0  # share of the log variance that all nuts of a table have in common
    neighbour: tuple[float, float] = (0.1, 0.3)  # least and most, per ordered pair
    lost: float = 0.5  # most lost motion at a reversal [quarter turns]
    foot: float = 0.05  # relative, per leg
    relaxes: float = 0.1  # share of each change before the next visit
    drift_common: float = 8 * THOU  # [mm] of all hollows between visits
    drift_own: float = 3 * THOU
    hollow: tuple[float, float] = (8 * THOU, 10 * THOU)  # mean and deviation at the start
    cross: tuple[float, float] = (0.0, 2.0)
    rise: tuple[float, float] = (125 * THOU, 35 * THOU)
    stuck: float = 1.0  # what one nut of the table keeps of its response
    slack: float = 0.0  # quarter turns that one foot turns in the air
    misread: float = 0.0  # share of marks that are recorded one box off
    shape: tuple[float, float] = (0.0, 0.0)  # of the board from straight V (0) to bent (1)
    spot: float = 1.0  # [mm/m] slope of the marked spot where the level is checked


STRANGER = World(nut_alike=0.6, stuck=0.1, slack=2.0, misread=0.01)


@dataclass
class Hall:
    """N tables as they truly are; ``begin_visit`` before each visit, then readings and turns."""

    table: Table
    world: World
    count: int
    draw: np.random.Generator
    cross: Floats = field(init=False)  # (N, legs) [mm/m]
    hollow: Floats = field(init=False)  # (N, brackets) [mm]
    rise: Floats = field(init=False)  # (N, 2) of end A and end B over the centre [mm]

    def __post_init__(self) -> None:
        self.legs = self.table.adjusted_legs()
        self.ends = _ends(self.table)
        self._draw_state()
        self._draw_feet()
        self._draw_nuts()
        self._found = self._state()
        self.visits = 0

    def _draw_state(self) -> None:
        world, shape = self.world, (self.count, len(self.legs))
        self.cross = self.draw.normal(*world.cross, shape)
        self.hollow = self.draw.normal(*world.hollow, (self.count, len(self.table.brackets)))
        self.rise = self.draw.normal(*world.rise, (self.count, 2))
        self.bend = self.draw.uniform(*world.shape, self.count)
        self.spot = self.draw.normal(0, world.spot, self.count)

    def _draw_feet(self) -> None:
        shape = (self.count, len(self.legs))
        self.foot = 1.5875 / 4 * (1 + self.world.foot * self.draw.normal(size=shape))
        self.air = np.zeros((*shape, 2))  # quarter turns that a foot turns before it bears
        slack = self.draw.integers(0, len(self.legs) * 2, self.count)
        self.air.reshape(self.count, -1)[np.arange(self.count), slack] = self.world.slack

    def _draw_nuts(self) -> None:
        world, shape = self.world, (self.count, len(self.table.brackets))
        alike = np.sqrt(world.nut_alike) * self.draw.normal(size=(self.count, 1))
        own = np.sqrt(1 - world.nut_alike) * self.draw.normal(size=shape)
        self.nut = world.nut_median * np.exp(world.nut_sigma * (alike + own))
        stuck = self.draw.integers(0, shape[1], self.count)
        self.nut[np.arange(self.count), stuck] *= world.stuck
        self.share = self.draw.uniform(*world.neighbour, (*shape, 2))  # to the one before, after
        self.lost = self.draw.uniform(0, world.lost, shape)
        self.play = self.lost * self.draw.integers(0, 2, shape)  # taken up in which direction

    # time

    def begin_visit(self) -> None:
        """Let what was changed relax and the wood move; draw the kit's errors of the day."""
        if self.visits:
            self._relax()
        self.visits += 1
        self._found = self._state()
        self.card = self.table.kit.card_mm * (
            1 + self.world.card_off * self.draw.normal(size=self.count)
        )
        self.zero = self.world.zero * self.draw.normal(size=self.count)

    def check_level(self) -> Ints:
        """Check the level both ways round on the marked spot: two counts, (N, 2).

        Where they differ by more than a card, every station is read both ways round that day.
        """
        ways = (self.spot + self.zero, self.spot - self.zero)
        counts = [self._slope_cards(way) for way in ways]
        apart = np.abs(counts[0] - counts[1]) > 1
        self.zero = np.where(apart, 0.0, self.zero)
        return np.stack(counts, axis=-1)

    def _slope_cards(self, slope: Floats, boxes: tuple[int, int] = CROSS_BOXES) -> Ints:
        shown = slope + self._noise(self.world.bubble)
        return _boxes(np.rint(shown * self._bearing_m / self.card), boxes)

    def _state(self) -> tuple[Floats, Floats, Floats]:
        return self.cross.copy(), self.hollow.copy(), self.rise.copy()

    def _relax(self) -> None:
        now = self._state()
        self.cross, self.hollow, self.rise = (
            left - self.world.relaxes * (left - found)
            for left, found in zip(now, self._found, strict=True)
        )
        self.hollow += self.world.drift_common * self.draw.normal(size=(self.count, 1))
        self.hollow += self.world.drift_own * self.draw.normal(size=self.hollow.shape)

    # turns

    def turn_feet(self, leg: int, left: Ints, right: Ints) -> None:
        """Turn both feet of a leg, by quarter turns (N,)."""
        lifts = [
            self.foot[:, leg] * self._bearing(leg, side, np.asarray(turns, np.float64))
            for side, turns in enumerate((left, right))
        ]
        self.cross[:, leg] += (lifts[0] - lifts[1]) / self.legs[leg].foot_spacing_mm * 1000
        mean = (lifts[0] + lifts[1]) / 2
        if leg in self.ends:
            self.rise[:, self.ends.index(leg)] += mean
        elif self.legs[leg].role is Role.CENTRE:
            self.rise -= mean[:, None]

    def _bearing(self, leg: int, side: int, turns: Floats) -> Floats:
        """Give what is left of turns once a slack foot has reached the floor."""
        air = self.air[:, leg, side]
        spent = np.clip(turns, None, air)
        self.air[:, leg, side] = np.where(air > 0, air - spent, 0.0)
        return np.where(air > 0, turns - spent, turns)

    def turn_nut(self, nut: int, turns: Ints) -> None:
        """Turn one nut by quarter turns (N,): the play first, then its hollow and those beside."""
        play, lost = self.play[:, nut] + turns, self.lost[:, nut]
        self.play[:, nut] = np.clip(play, 0, lost)
        moved = (play - self.play[:, nut]) * self.nut[:, nut]
        self.hollow[:, nut] += moved
        for side, other in enumerate((nut - 1, nut + 1)):
            if 0 <= other < self.hollow.shape[1]:
                self.hollow[:, other] += moved * self.share[:, nut, side]

    # readings

    def read_cross(self, leg: int) -> Ints:
        """Count the cards under the low end until the bubble is centred as well as it can be."""
        return self._slope_cards(self.cross[:, leg] + self.zero)

    def read_hollow(self, nut: int) -> Ints:
        """Count the cards that pass; below nought the crown's: -n between n - 1 and n."""
        gap = self.hollow[:, nut] + self._noise(self.world.touch)
        return _boxes(np.floor(gap / self.card), HOLLOW_BOXES)

    def read_rise(self, end: int) -> Ints:
        """Count the cards under the level's inner end, the level the same way round at both."""
        slope = self.rise[:, end] * self._end_slope(end)
        return self._slope_cards(slope + (1, -1)[end] * self.zero, RISE_BOXES)

    def centring(self, leg: int) -> Ints:
        """Count quarter turns of the RIGHT foot (negative: the left) that centre a bubble."""
        per_quarter = self.foot[:, leg] / self.legs[leg].foot_spacing_mm * 1000
        shown = self.cross[:, leg] + self.zero + self._noise(self.world.bubble)
        return np.rint(shown / per_quarter).astype(np.int64)

    @property
    def _bearing_m(self) -> float:
        return self.table.kit.bearing_length_mm / 1000

    def _noise(self, deviation: float) -> Floats:
        return self.draw.normal(0, deviation, self.count)

    def _end_slope(self, end: int) -> Floats:
        """Slope under the level [mm/m] per mm of rise: a straight V, bent by the hall's share."""
        span = abs(self.table.board.length_mm / 2 - self.legs[self.ends[end]].x_mm)
        part = self.table.kit.bearing_length_mm / span
        inner = 1 - part
        bent = (1 - (3 * inner**2 - inner**3) / 2) / part
        return (1 + self.bend * (bent - 1)) * 1000 / span

    def recorded(self, marks: Ints, boxes: tuple[int, int]) -> Ints:
        """Give marks as they are read at the office: now and then one box off."""
        if not self.world.misread:
            return marks
        off = self.draw.choice([-1, 1], marks.shape)
        off *= self.draw.random(marks.shape) < self.world.misread
        return np.asarray(np.clip(marks + off, *boxes), np.int64)

    # verdict

    def good(self) -> Bools:
        """Say which tables are in tolerance everywhere, as they truly are."""
        targets = self.table.targets
        fine = _within(self.cross, targets.cross_mm_per_m).all(axis=1)
        fine &= _within(self.hollow, targets.hollow_mm).all(axis=1)
        if targets.rise_mm is not None and self.ends:
            fine &= _within(self.rise.mean(axis=1), targets.rise_mm)
        return fine


def _ends(table: Table) -> tuple[int, ...]:
    """Places of the end legs among those that are turned; none without a centre leg."""
    roles = [leg.role for leg in table.adjusted_legs()]
    if Role.CENTRE not in roles:
        return ()
    return tuple(index for index, role in enumerate(roles) if role is Role.END)


def _boxes(counts: Floats, limits: tuple[int, int]) -> Ints:
    return np.clip(counts, *limits).astype(np.int64)


def _within(values: Floats, target: object) -> Bools:
    return np.abs(values - target.value) <= target.tolerance
