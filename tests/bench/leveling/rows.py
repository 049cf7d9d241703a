"""Rows of the bench: how many tables are in tolerance, by who turns and by what."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from leveling.bridge import papers, planner
from leveling.ceiling import Knowing
from leveling.hall import Hall, World
from leveling.walk import Log, paper_visit, planned_visit, thumb_walk
from scipy.stats import beta

from passport.table import Table

REMEMBERED = 20  # tables whose visits and passes the calculator remembers beside each other


@dataclass(frozen=True)
class Share:
    """A count out of so many, with the 95 % interval of Clopper and Pearson (1934)."""

    hits: int
    of: int

    @property
    def low(self) -> float:
        """Lower end of the interval."""
        return 0.0 if self.hits == 0 else float(beta.ppf(0.025, self.hits, self.of - self.hits + 1))

    @property
    def high(self) -> float:
        """Upper end of the interval."""
        if self.hits == self.of:
            return 1.0
        return float(beta.ppf(0.975, self.hits + 1, self.of - self.hits))

    def __str__(self) -> str:
        """Say it in hundredths, with both ends."""
        share = 100 * self.hits / self.of
        return f"{share:.1f} ({100 * self.low:.1f} to {100 * self.high:.1f}; n {self.of})"


def share_of(good: np.ndarray) -> Share:
    """Count what is true."""
    return Share(int(good.sum()), good.size)


def together(shares: Iterable[Share]) -> Share:
    """Add up counts of several halls."""
    each = list(shares)
    return Share(sum(one.hits for one in each), sum(one.of for one in each))


def hall_of(table: Table, count: int, seed: int, world: World | None = None) -> Hall:
    """Draw a hall of tables."""
    return Hall(table, world or World(), count, np.random.default_rng(seed))


def halls_of(
    table: Table, count: int, seed: int, world: World | None = None, *, each: int = REMEMBERED
) -> list[Hall]:
    """Draw tables as halls so small that the calculator remembers all visits of one hall.

    The tables are as independent as those of one hall; only the time that they take differs.
    """
    draws = np.random.default_rng(seed).spawn(-(-count // each))
    return [
        Hall(table, world or World(), min(each, count - n * each), draw)
        for n, draw in enumerate(draws)
    ]


def planned(halls: Sequence[Hall], visits: int, passes: int = 3) -> list[Share]:
    """Make so many visits by the plan, then one more; in tolerance after each of its passes."""
    return _in_all(_planned, halls, visits, passes)


def _planned(hall: Hall, visits: int, passes: int) -> list[Share]:
    log, plan = Log(), planner(hall)
    for _ in range(visits + 1):
        hall.begin_visit()
        results = planned_visit(hall, log, plan, passes)
    return [share_of(good) for good in results]


def by_paper(halls: Sequence[Hall], visits: int, walks: int = 2) -> Share:
    """Make so many visits by the paper, then one more; in tolerance at its end."""
    return _in_all(_by_paper, halls, visits, walks)[0]


def _by_paper(hall: Hall, visits: int, walks: int) -> list[Share]:
    log = Log()
    for _ in range(visits + 1):
        paper = papers(hall, log)
        hall.begin_visit()
        log.visits.append(paper_visit(hall, paper, walks))
    return [share_of(hall.good())]


def _in_all(
    row: Callable[[Hall, int, int], list[Share]], halls: Sequence[Hall], visits: int, passes: int
) -> list[Share]:
    each = [row(hall, visits, passes) for hall in halls]
    return [together(column) for column in zip(*each, strict=True)]


def by_thumb(hall: Hall, visits: int, walks: int, last_walks: int) -> list[Share]:
    """Make so many visits by the rule of thumb, then one more; in tolerance after each walk."""
    for _ in range(visits):
        hall.begin_visit()
        for _ in range(walks):
            thumb_walk(hall)
    hall.begin_visit()
    results = []
    for _ in range(last_walks):
        thumb_walk(hall)
        results.append(share_of(hall.good()))
    return results


def by_ceiling(hall: Hall, visits: int, passes: int, last_passes: int) -> list[Share]:
    """Make so many visits knowing all responses, then one more; after each of its passes."""
    technician = Knowing(hall)
    for _ in range(visits):
        technician.visit(passes)
    return [share_of(good) for good in technician.visit(last_passes)]
