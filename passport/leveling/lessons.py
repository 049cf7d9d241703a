"""What one table's turns say of the nuts of its build, apart from what was believed beforehand."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from passport.leveling.nut_prior import USUAL
from passport.leveling.posterior.filter import Known, known_through
from passport.leveling.posterior.prior import NEW_NUTS
from passport.leveling.walks import in_order
from passport.table import Table
from passport.visit import Visit


@dataclass(frozen=True)
class Said:
    """What all counts say of one number of one nut: their best value, and its standard uncertainty.

    The likelihood as a normal distribution; it may have its middle anywhere.
    """

    value: float
    u: float


@dataclass(frozen=True)
class Lesson:
    """What one table's visits say: a nut's hollow per quarter turn [mm], what it loses [quarters].

    One for each nut that was turned; of a nut that was replaced, one for each of both.
    """

    nuts: tuple[Said, ...] = ()
    lost: tuple[Said, ...] = ()


_NOTHING = 20.0  # times the usual spread: a count that says less says nothing


def lesson(table: Table, visits: Sequence[Visit]) -> Lesson:
    """Take from a table's visits what they say of its nuts.

    What its build taught is left out, so that nothing comes back to where it came from. Nuts
    whose counts contradict each other say nothing.

    Parameters
    ----------
    table : Table
        Geometry, threads, kit.
    visits : sequence of Visit
        In any order.

    Returns
    -------
    Lesson
        Empty where no nut was turned and read.
    """
    history = in_order(visits)
    alone = replace(table, learned=(), build_nuts=None)
    ends = list(_last_known(history, known_through(alone, history)))
    nuts = tuple(said for known in ends for said in _nuts(known))
    lost = tuple(said for known in ends for said in _lost(known))
    return Lesson(nuts, lost)


def _last_known(history: Sequence[Visit], through: Sequence[Known]) -> Iterator[Known]:
    """Give what was known at the end, and each time before parts were replaced."""
    for number, known in enumerate(through):
        following = history[number + 1 : number + 2]
        if not following or following[0].changed & NEW_NUTS:
            yield known


def _nuts(known: Known) -> Iterator[Said]:
    """Take the stand-ins of the prior out of what is believed of each nut."""
    for number in _trusted(known):
        place = known.places.nut(number)
        mean, variance = known.whole.mean[place], known.whole.covariance[place, place]
        own = float(1 / variance - known.nuts.precision[number])
        shift = float(mean / variance - known.nuts.shift[number])
        if own * _NOTHING**2 * USUAL.variance_mm2 > 1:
            yield Said(shift / own, 1 / math.sqrt(own))


def _lost(known: Known) -> Iterator[Said]:
    """Compare what each nut loses with the usual share of its response, prior and all."""
    square = USUAL.mean_mm**2 + USUAL.variance_mm2
    before = USUAL.lost_u**2 * square  # of the loss beyond that share, [mm²]
    for number in _trusted(known):
        nut, lost = known.places.nut(number), known.places.lost(number)
        covariance, share = known.whole.covariance, USUAL.lost_quarters
        beyond = float(known.whole.mean[lost] - share * known.whole.mean[nut])
        variance = float(
            covariance[lost, lost]
            - 2 * share * covariance[lost, nut]
            + share**2 * covariance[nut, nut]
        )
        own = 1 / variance - 1 / before
        if own * before * _NOTHING**2 > 1:
            quarter = max(float(known.whole.mean[nut]), 1e-6)
            yield Said(share + beyond / variance / own / quarter, 1 / math.sqrt(own) / quarter)


def _trusted(known: Known) -> Iterator[int]:
    for number in range(len(known.places.brackets)):
        if known.places.hollow(number) not in known.contradicted:
            yield number
