"""Where a form may stand on its paper."""

import pytest

from forms.field import Box
from forms.paper import Card, Paper


def test_the_body_of_a_letter_is_175_9_wide_and_218_4_high() -> None:
    assert Paper.LETTER.body == pytest.approx(Box(20, 41, 215.9 - 40, 279.4 - 61))


def test_the_body_of_a4_is_170_wide_and_236_high() -> None:
    assert Paper.A4.body == pytest.approx(Box(20, 41, 210 - 40, 297 - 61))


@pytest.mark.parametrize("paper", list(Paper))
def test_no_punch_hole_meets_a_fiducial(paper: Paper) -> None:
    # hole radius 3, fiducial half 5, rim 2; corner fiducials end at 20
    assert paper.punch / 2 - 3 > 5 + 2
    assert paper.height / 2 - paper.punch / 2 - 3 > 20


@pytest.mark.parametrize("paper", list(Paper))
def test_four_cards_fill_a_sheet_on_its_side_to_half_a_millimetre_each(paper: Paper) -> None:
    left = paper.height - 2 * paper.card.width, paper.width - 2 * paper.card.height

    assert all(0 <= round(over, 3) <= 1 for over in left)


def test_a_postcard_of_a4_is_a6_and_of_letter_a_quarter_of_it() -> None:
    assert (Card.A6.width, Card.A6.height) == (148, 105)
    assert (Card.QUARTER.width, Card.QUARTER.height) == pytest.approx((5.5 * 25.4, 4.25 * 25.4))


def test_the_body_of_a_card_is_at_least_109_wide_and_55_high() -> None:
    assert Card.A6.body == pytest.approx(Box(15, 30.5, 118, 55))
    assert Card.QUARTER.body == pytest.approx(Box(15, 30.5, 109.7, 57.95))
