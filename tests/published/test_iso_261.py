"""ISO 261, ISO general purpose metric screw threads, coarse pitches: travel of a quarter turn."""

import pytest

from passport.leveling.response import foot_prior
from passport.table import FootType, Hand, Leg, Role, Thread


def leg(pitch_mm, hand=Hand.RIGHT):
    thread = Thread("M", pitch_mm, hand)
    return Leg("L1", 0, Role.END, 560, FootType.NUT_ON_STUD, thread)


@pytest.mark.parametrize(
    ("pitch_mm", "quarter_mm", "quarter_thou"),
    [(1.25, 0.3125, 12.303), (1.5, 0.375, 14.764), (1.75, 0.4375, 17.224)],  # M8, M10, M12
)
def test_quarter_turn_of_a_metric_foot_lifts_a_quarter_of_the_pitch(
    pitch_mm, quarter_mm, quarter_thou
):
    """Coarse pitches M8 × 1.25, M10 × 1.5, M12 × 1.75."""
    response = foot_prior(leg(pitch_mm))

    assert (response.mm, response.mm / 0.0254) == pytest.approx(
        (quarter_mm, quarter_thou), abs=5e-4
    )


def test_left_hand_thread_has_the_same_travel():
    """The hand decides the direction of turning, never the travel."""
    assert foot_prior(leg(1.5, Hand.LEFT)) == foot_prior(leg(1.5))
