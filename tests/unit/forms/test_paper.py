"""Where a form may stand on its paper."""

import pytest

from forms.field import Box
from forms.paper import Paper


def test_the_body_of_a_letter_is_175_9_wide_and_218_4_high() -> None:
    assert Paper.LETTER.body == pytest.approx(Box(20, 41, 215.9 - 40, 279.4 - 61))


def test_the_body_of_a4_is_170_wide_and_236_high() -> None:
    assert Paper.A4.body == pytest.approx(Box(20, 41, 210 - 40, 297 - 61))


@pytest.mark.parametrize("paper", list(Paper))
def test_no_punch_hole_meets_a_fiducial(paper: Paper) -> None:
    # hole radius 3, fiducial half 5, rim 2; corner fiducials end at 20
    assert paper.punch / 2 - 3 > 5 + 2
    assert paper.height / 2 - paper.punch / 2 - 3 > 20
