"""Do stated 95 % intervals hold what is true? Histories are made by the paper, then looked into."""

import copy
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from leveling.bridge import advice_on, papers, turns_of
from leveling.hall import Hall
from leveling.inside import Belief, forecasts_of
from leveling.rows import Share
from leveling.walk import Log, paper_visit, read_once, turn_all

Ask = Callable[[Hall, Log, int], Belief]
KINDS = ("slope", "hollow", "rise", "response", "forecast")


@dataclass
class Held:
    """Per kind of value: whether each interval held the truth, and how wide it was."""

    hits: dict[str, list[bool]] = field(default_factory=lambda: {kind: [] for kind in KINDS})
    widths: dict[str, list[float]] = field(default_factory=lambda: {kind: [] for kind in KINDS})

    def add(self, kind: str, interval: tuple[float, float], truth: float) -> None:
        """Compare one interval with the truth."""
        self.hits[kind].append(bool(interval[0] <= truth <= interval[1]))
        self.widths[kind].append(interval[1] - interval[0])

    def __add__(self, other: "Held") -> "Held":
        """Put the intervals of two halls together."""
        both = (
            {kind: [*mine[kind], *others[kind]] for kind in KINDS}
            for mine, others in ((self.hits, other.hits), (self.widths, other.widths))
        )
        return Held(*both)

    def share(self, kind: str) -> Share:
        """Count the intervals that held."""
        return Share(sum(self.hits[kind]), len(self.hits[kind]))

    def line(self) -> str:
        """Say all shares in one line."""
        return "; ".join(
            f"{kind} {100 * share.hits / share.of:.1f} (n {share.of}, "
            f"mean width {np.mean(self.widths[kind]):.3g})"
            for kind in KINDS
            if (share := self.share(kind)).of
        )


def after_visits(halls: Sequence[Hall], at: Sequence[int], ask: Ask) -> dict[int, Held]:
    """Make visits by the paper; look into what is believed after some of them."""
    each = [_after_visits(hall, at, ask) for hall in halls]
    return {number: sum((held[number] for held in each), Held()) for number in at}


def _after_visits(hall: Hall, at: Sequence[int], ask: Ask) -> dict[int, Held]:
    log, results = Log(), {}
    for number in range(1, max(at) + 1):
        paper = papers(hall, log)
        hall.begin_visit()
        log.visits.append(paper_visit(hall, paper, 2))
        if number in at:
            results[number] = compare(hall, [ask(hall, log, n) for n in range(hall.count)])
            _forecasts(copy.deepcopy(hall), log, results[number])
    return results


def compare(hall: Hall, beliefs: Sequence[Belief]) -> Held:
    """Compare what is believed of every table with what is true."""
    held = Held()
    for table, belief in enumerate(beliefs):
        truth = {
            "slope": hall.cross[table],
            "hollow": hall.hollow[table],
            "rise": [hall.rise[table].mean()],
            "response": [*hall.foot[table], *hall.nut[table]],
        }
        for kind, values in truth.items():
            for interval, value in zip(belief.intervals[kind], values, strict=False):
                if interval is not None:
                    held.add(kind, interval, value)
    return held


def _forecasts(hall: Hall, log: Log, held: Held) -> None:
    """Come again, read everything, turn as advised; compare with what was to be expected."""
    hall.begin_visit()
    now = Log([*log.visits, [read_once(hall)]])
    advices = [advice_on(hall, now, table) for table in range(hall.count)]
    turn_all(hall, turns_of(hall, advices))
    for table, advice in enumerate(advices):
        for kind, place, interval in forecasts_of(hall, advice):
            values = {"slope": hall.cross, "hollow": hall.hollow}
            truth = hall.rise[table].mean() if kind == "rise" else values[kind][table, place]
            held.add("forecast", interval, truth)
