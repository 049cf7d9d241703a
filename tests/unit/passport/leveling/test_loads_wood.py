import pytest

from passport.leveling.loads.frame import Frame, bare_bar, framed_bar
from passport.leveling.loads.wood import SUGAR_MAPLE, board_mass, wood_of
from passport.table import Board

BOARD = Board(2000, 500, 100, "hard maple")


def test_maple_is_taken_as_sugar_maple():
    assert wood_of("Maple, edge-glued") is SUGAR_MAPLE


def test_longest_name_decides():
    assert wood_of("red maple").name == "red maple"


def test_ash_is_not_found_inside_another_word():
    assert wood_of("wash-boarded").gravity_rel_u == 0.20


def test_wood_that_is_not_listed_is_far_wider():
    wood = wood_of("ipe")

    assert wood.name == "sugar maple in place of ipe"
    assert (wood.gravity_rel_u, wood.modulus_rel_u) == (0.20, 0.25)


def test_wood_without_a_name_says_so():
    assert wood_of(" ").name == "sugar maple in place of a wood not named"


def test_board_weighs_volume_times_density():
    mass = board_mass(BOARD)  # 0.1 m³ × 705.6 kg/m³

    assert (mass.kg, mass.u_kg) == pytest.approx((70.56, 3.528))
    assert mass.most_kg == pytest.approx(70.56 * 1.1)
    assert mass.newton == pytest.approx(70.56 * 9.80665)


def test_bare_bar_has_the_board_s_weight_and_stiffness():
    bar = bare_bar(BOARD)

    assert bar.weight_n_per_m == pytest.approx(70.56 * 9.80665 / 2)
    assert bar.bending_n_m2 == pytest.approx(12.6e9 * 0.5 * 0.1**3 / 12)


def test_frame_adds_weight_and_stiffness():
    frame = Frame(200, 40, 10, 500)
    bare, framed = bare_bar(BOARD), framed_bar(BOARD, frame)

    # 2 rails × 0.2 × 0.04 m × 500 kg/m³; 2 × 10e9 × 0.04 × 0.2³ / 12
    assert framed.weight_n_per_m - bare.weight_n_per_m == pytest.approx(8 * 9.80665)
    assert framed.bending_n_m2 - bare.bending_n_m2 == pytest.approx(533333.33)
