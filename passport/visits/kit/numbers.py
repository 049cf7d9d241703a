"""What a kit's own readings say of it: card, level and edge, each with its uncertainty.

Every number follows the GUM: readings that scatter are of type A, steps and half-widths of type B;
they are put together as squares, and the interval takes the degrees of freedom into account.

References
----------
JCGM 100:2008 (GUM): 4.2.3 mean of readings; 4.3.7 half-width of a rectangle; F.2.2.1 step of a
display; 5.1.2 combining; G.4.1 effective degrees of freedom; G.3.2 interval.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from scipy.stats import t as student

CARDS = 10  # in the stack
RECTANGLE = 1 / math.sqrt(3)  # standard deviation of a rectangle of half-width 1: GUM 4.3.7
PRESSED = 0.01  # half-width of what a micrometer presses a card thinner than in use; no source
MANY = 1e9  # degrees of freedom; Student's factor is the normal one long before


@dataclass(frozen=True)
class Measured:
    """A number, its standard uncertainty and degrees of freedom."""

    value: float
    u: float
    freedom: float = math.inf

    def half_width(self, share: float = 0.95) -> float:
        """Half-width of the interval that holds this share: GUM G.3.2."""
        freedom = math.floor(min(self.freedom, MANY))
        return self.u * float(student.ppf((1 + share) / 2, freedom))


@dataclass(frozen=True)
class Part:
    """One part of an uncertainty: its standard uncertainty and degrees of freedom."""

    u: float
    freedom: float = math.inf


def combined(value: float, parts: Sequence[Part]) -> Measured:
    """Put the parts of an uncertainty together.

    Parameters
    ----------
    value : float
        The number they belong to.
    parts : sequence of Part
        Uncorrelated, already multiplied by their sensitivity.

    Returns
    -------
    Measured
        With the effective degrees of freedom of Welch and Satterthwaite.

    References
    ----------
    JCGM 100:2008, 5.1.2 and equation G.2b.
    """
    u = math.sqrt(sum(part.u**2 for part in parts))
    slack = sum(part.u**4 / part.freedom for part in parts)
    return Measured(value, u, u**4 / slack if slack else math.inf)


def mean(readings: Sequence[float]) -> Measured:
    """Mean of repeated readings and its standard uncertainty, n - 1 degrees of freedom.

    One reading says nothing of its scatter: its uncertainty is zero here, and the caller adds what
    the instrument's step allows.

    References
    ----------
    JCGM 100:2008, 4.2.1 to 4.2.3.
    """
    count, middle = len(readings), sum(readings) / len(readings)
    if count == 1:
        return Measured(middle, 0.0)
    square = sum((one - middle) ** 2 for one in readings) / (count - 1)
    return Measured(middle, math.sqrt(square / count), count - 1)


def card_thickness(stacks_mm: Sequence[float], step_mm: float) -> Measured:
    """Thickness of one card from stacks of ten under a micrometer.

    Parameters
    ----------
    stacks_mm : sequence of float
        The same ten cards, each reading at another place. [mm]
    step_mm : float
        Step that the micrometer was read to. [mm]

    Returns
    -------
    Measured
        [mm]. Common to all cards of the pack: n cards are n times as uncertain.
    """
    stack = mean(stacks_mm)
    read = step_mm / 2 * RECTANGLE  # the reading, and once more the closed zero
    parts = (
        Part(stack.u / CARDS, stack.freedom),
        Part(read / CARDS),
        Part(read / CARDS),
        Part(PRESSED * stack.value / CARDS * RECTANGLE),
    )
    return combined(stack.value / CARDS, parts)


def level_zero(
    pairs: Sequence[tuple[int, int]], card: Measured, *, bearing_mm: float, centred_u: float
) -> Measured:
    """Zero of the level: what it shows on a level spot, found by turning it end for end.

    Parameters
    ----------
    pairs : sequence of (int, int)
        Signed counts at one spot, first and turned round; positive where the right is low.
    card : Measured
        Thickness of one card. [mm]
    bearing_mm : float
        Length that the level bears on. [mm]
    centred_u : float
        Standard uncertainty of a centred bubble or a display of nought. [mm/m]

    Returns
    -------
    Measured
        Half the difference [mm/m], positive where the level as first laid shows its right end low.
        Each count is a card wide, and repeats on one spot round alike, so they do not average.

    References
    ----------
    Reversal: first = tilt + zero, turned = tilt - zero.
    """
    zeros = mean([(first - turned) / 2 for first, turned in pairs])
    counted = 0.5 * RECTANGLE / math.sqrt(2)  # [cards] two counts of half-width ½, halved
    slope = 1000.0 / bearing_mm  # mm/m of one mm at the level's end
    return combined(
        zeros.value * card.value * slope,
        (
            Part(zeros.u * card.value * slope, zeros.freedom),
            Part(counted * card.value * slope),
            Part(centred_u / math.sqrt(2)),
            Part(zeros.value * card.u * slope, card.freedom),
        ),
    )


@dataclass(frozen=True)
class Gap:
    """The gap between two edges laid on each other: one feeler passes, the next one stops. [mm].

    ``sign`` is 1 for a gap in the middle, -1 where they rock and the gap is at the ends.
    """

    passes_mm: float
    stops_mm: float
    sign: int = 1

    @property
    def measured(self) -> Measured:
        """Middle of the two feelers, anywhere between them: GUM 4.3.7. [mm]."""
        half = (self.stops_mm - self.passes_mm) / 2
        return Measured(self.sign * (self.passes_mm + half), half * RECTANGLE)


def bow_by_three(twin: Gap, third: Gap, others: Gap) -> Measured:
    """Bow of one edge out of the three gaps between three edges.

    Parameters
    ----------
    twin, third : Gap
        The edge on its twin and on a third edge.
    others : Gap
        Twin and third on each other.

    Returns
    -------
    Measured
        Hollow of the edge in its middle [mm]: how much too hollow it makes a board look. Each gap
        is the sum of two bows, so the edge's is (twin + third - others) / 2.
    """
    gaps = (twin.measured, third.measured, others.measured)
    value = (gaps[0].value + gaps[1].value - gaps[2].value) / 2
    return combined(value, [Part(gap.u / 2) for gap in gaps])


def bow_by_twin(gap: Gap) -> Measured:
    """Bow of an edge when only its twin is at hand: somewhere between none and the whole gap.

    True only where both bow the same way. Bows that are equal and opposite show no gap at all; a
    third edge tells.

    Returns
    -------
    Measured
        Half the gap, with a rectangle from none to all of it. [mm]
    """
    sum_of_both = gap.measured
    half = sum_of_both.value / 2
    return combined(half, [Part(abs(half) * RECTANGLE), Part(sum_of_both.u / 2)])
