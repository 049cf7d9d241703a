"""The exact posterior of a reduced problem: a cloud of whole tables, kept as the counts fit them.

Every particle is a table of the hall with all that is hidden in it. It lives through the recorded
visits: turned as the real one was, weighed at each count by the chance that it would have shown
that. No Gaussian, no linearisation: with enough particles this is the posterior itself (a bootstrap
particle filter: Gordon, Salmond, Smith 1993, from memory). It is too slow for a whole table, so
only the feet, only the ends or only one nut are read.
"""

import numpy as np
from leveling.hall import CROSS_BOXES, HOLLOW_BOXES, RISE_BOXES, Floats, Hall, World
from leveling.walk import NONE, Log, Walk
from scipy.special import ndtr

from passport.table import Table

KEPT = 0.995  # of a particle's distance from the mean, each time that copies are moved apart


class Cloud:
    """Particles that live through one table's marks."""

    def __init__(self, table: Table, world: World, size: int, seed: int) -> None:
        self.hall = Hall(table, world, size, np.random.default_rng(seed))
        self.log_weight = np.zeros(size)

    def live(self, log: Log, table: int) -> None:
        """Live through all visits of one table."""
        self._start_near(log.visits[0][0].legs.found[table])
        for walks in log.visits:
            self.hall.begin_visit()
            for walk in walks:
                if walk.done[table]:
                    self._walk(walk, table)
        self._resample()

    def _start_near(self, counts: np.ndarray) -> None:
        """Start slopes where the first counts put them, weighed as if drawn from the start."""
        kit, (mean, deviation) = self.hall.table.kit, self.hall.world.cross
        step = kit.card_mm / kit.bearing_length_mm * 1000
        for leg, count in enumerate(counts):
            if count != NONE:
                middle, reach = count * step, (0.5 + 0.2 * abs(count)) * step + 0.45
                slopes = self.hall.draw.uniform(middle - reach, middle + reach, self.hall.count)
                self.hall.cross[:, leg] = slopes
                self.log_weight -= ((slopes - mean) / deviation) ** 2 / 2

    def _walk(self, walk: Walk, table: int) -> None:
        for leg in range(len(self.hall.legs)):
            self._station(self._cross, leg, walk.legs.found[table, leg])
            left, right = walk.legs.turns[table, leg]
            if left != NONE and (left or right):
                self.hall.turn_feet(leg, *self._all(left, right))
            self._station(self._cross, leg, walk.legs.after[table, leg])
        for end in range(len(self.hall.ends)):
            self._station(self._rise, end, walk.ends.found[table, end])
            turns = walk.ends.turns[table, end]
            if turns not in (NONE, 0):
                self.hall.turn_feet(self.hall.ends[end], *self._all(turns, turns))
            self._station(self._rise, end, walk.ends.after[table, end])
        for nut in range(self.hall.hollow.shape[1]):
            self._station(self._hollow, nut, walk.nuts.found[table, nut])
            if walk.nuts.turns[table, nut] not in (NONE, 0):
                self.hall.turn_nut(nut, *self._all(walk.nuts.turns[table, nut]))
            self._station(self._hollow, nut, walk.nuts.after[table, nut])

    def _all(self, *turns: int) -> list[np.ndarray]:
        return [np.full(self.hall.count, one) for one in turns]

    def _station(self, chance: object, place: int, count: int) -> None:
        if count == NONE:
            return
        self.log_weight += np.log(np.maximum(chance(place, int(count)), 1e-300))
        weights = self.weights
        if 1 / np.square(weights).sum() < self.hall.count / 2:
            self._resample()

    @property
    def weights(self) -> Floats:
        """Weights of the particles, of sum one."""
        weights = np.exp(self.log_weight - self.log_weight.max())
        return weights / weights.sum()

    def _resample(self) -> None:
        """Keep particles as often as they weigh (systematic resampling)."""
        hall = self.hall
        marks = (np.arange(hall.count) + hall.draw.random()) / hall.count
        kept = np.searchsorted(np.cumsum(self.weights), marks).clip(0, hall.count - 1)
        for name, value in vars(hall).items():
            if isinstance(value, np.ndarray) and value.shape[:1] == (hall.count,):
                setattr(hall, name, value[kept])
        hall._found = tuple(one[kept] for one in hall._found)
        self.log_weight[:] = 0.0
        self._stir()

    def _stir(self) -> None:
        """Move copies apart a little, mean and covariance kept (Liu and West 2001, from memory)."""
        hall = self.hall
        parts = [hall.cross, hall.rise, hall.hollow, hall.foot, np.log(hall.nut)]
        parts += [hall.card[:, None], hall.zero[:, None]]
        parts += [hall.bend[:, None]] * bool(np.ptp(hall.bend))  # where it is unknown
        whole = np.concatenate(parts, axis=1)
        off = whole - whole.mean(axis=0)
        sizes, ways = np.linalg.eigh(off.T @ off / hall.count)
        noise = hall.draw.standard_normal(whole.shape) * np.sqrt(np.maximum(sizes, 0.0))
        stirred = whole - (1 - KEPT) * off + np.sqrt(1 - KEPT**2) * noise @ ways.T
        cuts = np.cumsum([part.shape[1] for part in parts])[:-1]
        hall.cross, hall.rise, hall.hollow, hall.foot, log_nut, card, zero, *bend = (
            np.ascontiguousarray(part) for part in np.split(stirred, cuts, axis=1)
        )
        hall.nut, hall.card, hall.zero = np.exp(log_nut), card[:, 0], zero[:, 0]
        hall.bend = bend[0][:, 0] if bend else hall.bend

    def _cross(self, leg: int, count: int) -> Floats:
        shown = self.hall.cross[:, leg] + self.hall.zero
        return self._round(shown, count, CROSS_BOXES)

    def _rise(self, end: int, count: int) -> Floats:
        slope = self.hall.rise[:, end] * self.hall._end_slope(end)
        return self._round(slope + (1, -1)[end] * self.hall.zero, count, RISE_BOXES)

    def _round(self, shown: Floats, count: int, boxes: tuple[int, int]) -> Floats:
        card = self.hall.card / self.hall.table.kit.bearing_length_mm * 1000
        low, high = _ends(count - 0.5, count + 0.5, count, boxes)
        bubble = self.hall.world.bubble
        return ndtr((high * card - shown) / bubble) - ndtr((low * card - shown) / bubble)

    def _hollow(self, nut: int, count: int) -> Floats:
        low, high = _ends(count, count + 1, count, HOLLOW_BOXES)
        gap, touch, card = self.hall.hollow[:, nut], self.hall.world.touch, self.hall.card
        return ndtr((high * card - gap) / touch) - ndtr((low * card - gap) / touch)


def _ends(low: float, high: float, count: int, boxes: tuple[int, int]) -> tuple[float, float]:
    return (-1e9 if count == boxes[0] else low), (1e9 if count == boxes[1] else high)


def interval(values: Floats) -> tuple[float, float]:
    """Give the middle 95 % of equally weighed values."""
    low, high = np.quantile(values, (0.025, 0.975))
    return float(low), float(high)
