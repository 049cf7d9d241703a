"""Places of printed values."""

import pytest

from passport.rounding import places_by, set_text


@pytest.mark.parametrize(
    ("around", "most", "places"),
    [
        (0.2939, 4, 2),  # ± 0.29
        (0.0996, 4, 2),  # ± 0.10: the rounded number counts
        (3.54, 2, 1),  # ± 3.5
        (35.4, 2, 0),  # ± 35
        (0.0012, 3, 3),  # no more than the instrument is good for
        (0.0, 3, 3),
    ],
)
def test_uncertainty_is_given_two_significant_digits(around, most, places):
    """GUM (JCGM 100:2008) 7.2.6: at most two significant digits of an uncertainty."""
    assert places_by(around, most) == places


@pytest.mark.parametrize(
    ("value", "tolerance", "said"),
    [
        (1.1758, 0.2939, ("1.18", "0.29")),
        (0.02, 0.0075, ("0.02", "0.0075")),
        (3.175, 0.8, ("3.17", "0.80")),
    ],
)
def test_target_is_rounded_by_its_tolerance(value, tolerance, said):
    assert tuple(set_text(one, tolerance, 2) for one in (value, tolerance)) == said
