"""The ceiling: a technician who knows every response exactly, and reads with the same level.

He does not know the day's cards and zero, nor where the tables stand: that he filters from the
counts, as Gaussians. What a turn moves he is told by the hall. Nobody can do much better with these
boxes, so a calculator that comes near has nothing left to learn from its responses.
"""

from dataclasses import dataclass

import numpy as np
from leveling.hall import CROSS_BOXES, HOLLOW_BOXES, RISE_BOXES, Bools, Floats, Hall, Ints

MOST = 12  # quarter turns of a nut in one pass; with 8 no fresh table can do well in two passes
SWEEPS = 4


@dataclass
class Belief:
    """Gaussian belief of N tables over stations and, behind them, the day's cards and zero."""

    mean: Floats  # (N, stations + 2)
    covariance: Floats  # (N, stations + 2, stations + 2)

    @classmethod
    def wide(cls, hall: Hall, start: tuple[float, float], stations: int) -> "Belief":
        """Start from how new tables stand."""
        mean = np.zeros((hall.count, stations + 2))
        mean[:, :stations] = start[0]
        variances = np.full(stations + 2, start[1] ** 2)
        return cls(mean, np.tile(np.diag(variances), (hall.count, 1, 1)))

    def new_day(self, hall: Hall, relaxed: Floats, drift: tuple[float, float]) -> None:
        """Forget the cards and the zero, take what relaxed back, widen by what drifts."""
        stations = relaxed.shape[1]
        self.mean[:, :stations] += relaxed
        self.mean[:, stations:] = 0.0
        self.covariance[:, stations:, :] = self.covariance[:, :, stations:] = 0.0
        own, common = drift[1] ** 2 * np.eye(stations), drift[0] ** 2
        self.covariance[:, :stations, :stations] += own + common
        self.covariance[:, -2, -2] = hall.world.card_off**2
        self.covariance[:, -1, -1] = hall.world.zero**2

    def see(self, place: int, seen: Floats, noise: Floats, zero: Floats | float) -> None:
        """Sharpen by one reading (N,), its variance (N,), and what it takes of the zero."""
        row = np.zeros_like(self.mean)
        row[:, place] = 1.0
        row[:, -2] = -seen
        row[:, -1] = zero
        spread = np.einsum("nij,nj->ni", self.covariance, row)
        gain = spread / (np.einsum("ni,ni->n", spread, row) + noise)[:, None]
        self.mean += gain * (seen - np.einsum("ni,ni->n", self.mean, row))[:, None]
        self.covariance -= gain[:, :, None] * spread[:, None, :]


@dataclass
class Knowing:
    """The technician who knows all responses of his hall."""

    hall: Hall

    def __post_init__(self) -> None:
        hall, world = self.hall, self.hall.world
        self.step = hall.table.kit.card_mm / hall.table.kit.bearing_length_mm * 1000
        self.cross = Belief.wide(hall, world.cross, len(hall.legs))
        self.nuts = Belief.wide(hall, world.hollow, hall.hollow.shape[1])
        self.ends = Belief.wide(hall, world.rise, len(hall.ends))

    def visit(self, passes: int) -> list[Bools]:
        """Make one visit; say which tables are in tolerance after each pass."""
        hall, before = self.hall, (self.hall.cross, self.hall.hollow, self.hall.rise)
        change = [one.copy() for one in before]
        hall.begin_visit()
        self._new_day(change)
        results = []
        for _ in range(passes):
            self._read()
            self._turn_legs()
            self._turn_ends()
            self._turn_nuts()
            results.append(hall.good())
        return results

    def _new_day(self, left: list[Floats]) -> None:
        """Tell what relaxed, which follows from turns that are known; the drift is not told."""
        world, found = self.hall.world, getattr(self, "_found", None)
        relaxed = [np.zeros_like(one) for one in left]
        if found is not None:
            pairs = zip(left, found, strict=True)
            relaxed = [-world.relaxes * (now - then) for now, then in pairs]
        none, wood = (0.0, 0.0), (world.drift_common, world.drift_own)
        self.cross.new_day(self.hall, relaxed[0], none)
        self.nuts.new_day(self.hall, relaxed[1], wood)
        if self.hall.ends:
            self.ends.new_day(self.hall, relaxed[2], none)
        self._found = [self.hall.cross.copy(), self.hall.hollow.copy(), self.hall.rise.copy()]

    def _read(self) -> None:
        for leg in range(len(self.hall.legs)):
            self._read_leg(leg)
        for end in range(len(self.hall.ends)):
            self._read_end(end)
        card, touch = self.hall.table.kit.card_mm, self.hall.world.touch
        for nut in range(self.hall.hollow.shape[1]):
            counts = self.hall.read_hollow(nut)
            noise = _wide(card**2 / 12 + touch**2, counts, HOLLOW_BOXES, card)
            self.nuts.see(nut, (counts + 0.5) * card, noise, 0.0)

    def _read_leg(self, leg: int) -> None:
        """Read a leg; beyond the cards turn to the centre first, and read then."""
        counts = self.hall.read_cross(leg)
        more = (counts == CROSS_BOXES[0]) | (counts == CROSS_BOXES[1])
        centred = self.hall.centring(leg) * more
        self._turn(leg, np.maximum(0, -centred), np.maximum(0, centred))
        counts = np.where(more, self.hall.read_cross(leg), counts)
        noise = np.full(len(counts), self.step**2 / 12 + self.hall.world.bubble**2)
        self.cross.see(leg, counts * self.step, noise, 1.0)

    def _read_end(self, end: int) -> None:
        counts = self.hall.read_rise(end)
        span = 1 / self.hall._end_slope(end)
        step = self.step * span
        own = self.step**2 / 12 + self.hall.world.bubble**2
        noise = _wide(own * span**2, counts, RISE_BOXES, step)
        self.ends.see(end, counts * step, noise, (1, -1)[end] * span)

    def _turn(self, leg: int, left: Ints, right: Ints) -> None:
        """Turn feet, and be told what that moved."""
        cross, rise = self.hall.cross.copy(), self.hall.rise.copy()
        self.hall.turn_feet(leg, left, right)
        self.cross.mean[:, :-2] += self.hall.cross - cross
        if self.hall.ends:
            self.ends.mean[:, :-2] += self.hall.rise - rise

    def _turn_legs(self) -> None:
        hall, target = self.hall, self.hall.table.targets.cross_mm_per_m.value
        for leg in range(len(hall.legs)):
            each = hall.foot[:, leg] / hall.legs[leg].foot_spacing_mm * 1000
            turns = np.rint((self.cross.mean[:, leg] - target) / each).astype(np.int64)
            self._turn(leg, np.maximum(0, -turns), np.maximum(0, turns))

    def _turn_ends(self) -> None:
        hall, target = self.hall, self.hall.table.targets.rise_mm
        if not hall.ends or target is None:
            return
        lift = target.value - self.ends.mean[:, :-2].mean(axis=1)
        both = np.rint(2 * lift / hall.foot[:, hall.ends].mean(axis=1)).astype(np.int64)
        for leg, turns in zip(hall.ends, (both // 2, both - both // 2), strict=True):
            self._turn(leg, turns, turns)

    def _turn_nuts(self) -> None:
        before = self.hall.hollow.copy()
        for nut, turns in enumerate(self._best_nuts().T):
            self.hall.turn_nut(nut, turns)
        self.nuts.mean[:, :-2] += self.hall.hollow - before

    def _best_nuts(self) -> Ints:
        """Lower the sum of squares nut by nut, all turns of each looked at, a few times over."""
        hall = self.hall
        off = self.nuts.mean[:, :-2] - hall.table.targets.hollow_mm.value
        turns = np.zeros(off.shape, np.int64)
        options = np.arange(-MOST, MOST + 1)
        moves = np.stack([_moves(hall, nut, options) for nut in range(off.shape[1])])
        rows = np.arange(hall.count)
        for nut in [*range(off.shape[1])] * SWEEPS:
            rest = off - moves[nut][rows, turns[:, nut] + MOST]
            cost = np.square(rest[:, None, :] + moves[nut]).sum(axis=2)
            turns[:, nut] = cost.argmin(axis=1) - MOST
            off = rest + moves[nut][rows, turns[:, nut] + MOST]
        return turns


def _moves(hall: Hall, nut: int, options: Ints) -> Floats:
    """Give what each number of turns of a nut would move, (N, options, nuts)."""
    play = hall.play[:, nut, None] + options
    moved = (play - np.clip(play, 0, hall.lost[:, nut, None])) * hall.nut[:, nut, None]
    result = np.zeros((*moved.shape, hall.hollow.shape[1]))
    result[:, :, nut] = moved
    for side, other in enumerate((nut - 1, nut + 1)):
        if 0 <= other < hall.hollow.shape[1]:
            result[:, :, other] = moved * hall.share[:, nut, side, None]
    return result


def _wide(
    own: Floats | float, counts: Ints, boxes: tuple[int, int], step: Floats | float
) -> Floats:
    """Take a bound as a very wide reading."""
    bound = (counts == boxes[0]) | (counts == boxes[1])
    return np.where(bound, np.square(2 * step), own)
