"""Rectangle in a rectangle: Carver's condition; a bar round a corner: the astroid."""

import math

import pytest

from passport.visits.survey.passage import longest_in_rectangle, longest_round_corner


@pytest.mark.parametrize(
    ("long", "high", "width"), [(2000, 1000, 200), (1400, 1400, 80), (5000, 2300, 508), (3, 2, 0.1)]
)
def test_longest_rectangle_in_a_rectangle_meets_carvers_condition(long, high, width):
    """W. B. Carver, The American Mathematical Monthly 64 (1957), 114-116; from memory.

    A p by q rectangle, p longer than a, fits in a by b where
    b >= (2 p q a + (p² - q²) √(p² + q² - a²)) / (p² + q²).
    """
    p, q, a = longest_in_rectangle(long, high, width), width, long

    limit = (2 * p * q * a + (p**2 - q**2) * math.sqrt(p**2 + q**2 - a**2)) / (p**2 + q**2)
    assert p > a
    assert limit == pytest.approx(high, rel=1e-6)


@pytest.mark.parametrize(("a", "b"), [(1000, 1000), (900, 1500), (1200, 2400), (8, 27)])
def test_longest_bar_round_a_corner_is_that_of_the_astroid(a, b):
    """Without width: L(θ) = a / cos θ + b / sin θ; dL/dθ = 0 at tan³ θ = b / a.

    There L = (a^⅔ + b^⅔)^(3/2), derived here and found in any calculus text.
    """
    angle = math.atan((b / a) ** (1 / 3))
    shortest = a / math.cos(angle) + b / math.sin(angle)

    assert shortest == pytest.approx((a ** (2 / 3) + b ** (2 / 3)) ** 1.5)
    assert longest_round_corner(a, b, 0) == pytest.approx(shortest, rel=1e-9)
