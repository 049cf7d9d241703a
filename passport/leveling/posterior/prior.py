"""What is believed of a table before any visit, and what may happen between two visits.

Where no source is named the figures are common practice without one, and wide.
"""

import numpy as np

from passport.leveling.lookup import NEIGHBOUR_SHARE, capped_rise
from passport.leveling.nut_prior import NutPrior, nut_prior
from passport.leveling.posterior.places import Places
from passport.leveling.posterior.sites import Floats, Gaussian
from passport.leveling.readings import (
    LEVEL_ZERO_U_MM_PER_M,
    ROOT_3,
    edge_bow,
    level_zero,
    rise_per_slope,
    rise_shape_u,
)
from passport.leveling.rises import Spans, line_error, line_error_u
from passport.leveling.supports import end_spans_mm
from passport.table import Kit, Own, Table

FOOT_LOG_SIGMA = 0.05  # pitch is exact; soft floors and pads are not
# What changed, as marked on a form: what was learned before it is forgotten.
NEW_NUTS = frozenset({"part"})
NEW_FEET = frozenset({"part", "moved", "floor"})

# How a table may stand that nobody looked after.
SLOPE_U, RISE_U = 2.5, 1.2  # mm/m, mm
HOLLOW_MM, HOLLOW_COMMON_U, HOLLOW_OWN_U = 0.25, 0.3, 0.25  # mm; all brackets alike, each its own

# What may move between two visits, slowly; a foot that sinks at once is named by the watch.
SLOPE_DRIFT, RISE_DRIFT = 0.005, 0.02  # mm/m, mm
COMMON_DRIFT, BRACKET_DRIFT = 0.2, 0.08  # mm of hollow: all brackets alike, each on its own
RELAXED, RELAXED_U = 0.1, 0.03  # of each change, until the next visit

NEIGHBOUR_U = 0.1 / ROOT_3  # of the share: 10 to 30 %, rectangular
UNKNOWN_FOOT_MM, UNKNOWN_FOOT_U = 0.4, 0.12  # a foot whose thread nobody described


def fresh(table: Table, places: Places) -> Gaussian:
    """Believe of a table what common practice says; unknowns that outlive a visit only.

    Parameters
    ----------
    table : Table
        Geometry, threads, targets.
    places : Places
        Order of its unknowns.

    Returns
    -------
    Gaussian
        Of shape (lasting,). A nut's response has mean and variance of its log-normal.
    """
    mean, cov = np.zeros(places.lasting), np.zeros((places.lasting, places.lasting))
    _stand(table, places, mean, cov)
    _feet(table, places, mean, cov)
    usual = nut_prior(table)
    for bracket in range(len(places.brackets)):
        _nut(places, bracket, usual, (mean, cov))
    mean[places.shape], spread = shape(table)
    cov[places.shape, places.shape] = spread**2
    return Gaussian(mean, cov)


def shape(table: Table) -> tuple[float, float]:
    """Give the slope under a level at an end as a multiple of rise over span, and its spread."""
    spans = end_spans_mm(table)
    if spans is None:
        return 1.0, 0.01
    span = sum(spans) / 2
    multiple = span / 1000 / rise_per_slope(table.kit, span)
    return multiple, max(0.01, multiple * rise_shape_u(table.kit, span))


def drift(places: Places) -> Floats:
    """Give the covariance of what moves between two visits; of shape (state, state)."""
    added = np.zeros((places.state, places.state))
    for leg in range(len(places.legs)):
        added[places.slope(leg), places.slope(leg)] = SLOPE_DRIFT**2
    for end in range(len(places.rises)):
        added[places.rise(end), places.rise(end)] = RISE_DRIFT**2
    first = places.hollow(0)
    added[first:, first:] = COMMON_DRIFT**2
    added[first:, first:] += BRACKET_DRIFT**2 * np.eye(len(places.brackets))
    return added


def visit_unknowns(kit: Kit, spans: Spans) -> Gaussian:
    """Believe of what one visit's readings share what the kit's own check found, or is usual.

    Parameters
    ----------
    kit : Kit
        That the visit was read with.
    spans : tuple of float
        From end A's and end B's leg to the board's middle. [mm]

    Returns
    -------
    Gaussian
        Of shape (5,), uncorrelated: relative error of the card's thickness, zero [mm/m], bow [mm],
        slope of the checked spot [mm/m], error of the line that a rise is read against.
    """
    zero, bow = level_zero(kit), edge_bow(kit)
    if kit.zero is None and kit.display_step_deg is None:
        zero = Own(0.0, LEVEL_ZERO_U_MM_PER_M)  # what a bubble hides is each reading's own here
    u = np.array([kit.card_u_mm / kit.card_mm, zero.u, bow.u, SLOPE_U, line_error_u(kit, spans)])
    u[:3] = np.maximum(u[:3], 1e-4)
    return Gaussian(np.array([0.0, zero.value, bow.value, 0.0, line_error(kit)]), np.diag(u**2))


def _stand(table: Table, places: Places, mean: Floats, cov: Floats) -> None:
    rise = capped_rise(table)
    for place in range(places.state):
        value, u = 0.0, SLOPE_U
        if place >= places.hollow(0):
            value, u = HOLLOW_MM, HOLLOW_OWN_U
        elif place >= places.rise(0):
            value, u = (rise.value if rise else 0.0), RISE_U
        mean[place], cov[place, place] = value, u**2
    nuts = slice(places.hollow(0), places.state)
    cov[nuts, nuts] += HOLLOW_COMMON_U**2


def _feet(table: Table, places: Places, mean: Floats, cov: Floats) -> None:
    for number, leg in enumerate(table.adjusted_legs()):
        place = places.foot(number)
        known = leg.thread is not None
        quarter = leg.thread.pitch_mm / 4 if leg.thread else UNKNOWN_FOOT_MM
        mean[place] = quarter
        cov[place, place] = (FOOT_LOG_SIGMA * quarter if known else UNKNOWN_FOOT_U) ** 2


def _nut(places: Places, bracket: int, usual: NutPrior, belief: tuple[Floats, Floats]) -> None:
    """Set a nut, what it does beside its own place and what it loses: they go together."""
    mean, cov = belief
    square = usual.mean_mm**2 + usual.variance_mm2
    beside = [place for (_, turned), place in places.pairs.items() if turned == bracket]
    parts = [(places.nut(bracket), 1.0, 0.0)]
    parts += [(place, NEIGHBOUR_SHARE, NEIGHBOUR_U) for place in beside]
    parts += [(places.lost(bracket), usual.lost_quarters, usual.lost_u)]
    for place, share, own in parts:
        mean[place] = share * usual.mean_mm
        for other, share_too, _ in parts:
            cov[place, other] = share * share_too * usual.variance_mm2
        cov[place, place] += own**2 * square
