"""Continuous beams: coefficients of equal spans, settlement, overhangs, one lifted foot.

Coefficients: Civil Engineering Formulas, Table 2.1, p. 50 (three, four and five equal spans under
a uniform load); two spans as in the AISC Steel Construction Manual, Tables 3-22 and 3-23, and
Roark's Formulas for Stress and Strain, Table 8.1 (those table numbers from memory). Figures
"computed" were worked out for this project by the three-moment equation with exact fractions and
are not printed in those sources. Independent programs: anastruct 1.7, PyNiteFEA 3.2,
indeterminatebeam 2.4.
"""

import warnings
from itertools import pairwise

import numpy as np
import pytest

from passport.leveling.loads.contact import come_to_rest
from passport.leveling.loads.feet import hold_feet
from passport.leveling.loads.frame import bare_bar, twist_constant
from passport.leveling.loads.moments import Bar, hold
from passport.leveling.loads.travel import way_down, way_up
from passport.leveling.loads.wood import SUGAR_MAPLE, board_mass, green_density, listed_density
from passport.table import Board

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import anastruct
    import Pynite
    from indeterminatebeam import Beam, DistributedLoadV, Support

COEFFICIENTS = {  # reactions over w L
    1: (1 / 2, 1 / 2),
    2: (3 / 8, 10 / 8, 3 / 8),
    3: (4 / 10, 11 / 10, 11 / 10, 4 / 10),
    4: (11 / 28, 32 / 28, 26 / 28, 32 / 28, 11 / 28),
    5: (15 / 38, 43 / 38, 37 / 38, 37 / 38, 43 / 38, 15 / 38),
}
UNIT_SPANS = (Bar(2.0, 1.0, 1.0), np.arange(3.0))  # two spans, E I = w = L = 1


def forces(bar, x, heights):
    return come_to_rest(hold(bar, np.asarray(x, float)), np.asarray(heights, float)).forces


@pytest.mark.parametrize("spans", COEFFICIENTS)
def test_equal_spans_carry_the_printed_coefficients(spans):
    """Civil Engineering Formulas, Table 2.1; one and two spans: see the top."""
    found = forces(Bar(spans * 3.0, 200.0, 2e5), 3.0 * np.arange(spans + 1), np.zeros(spans + 1))

    assert found / 600 == pytest.approx(COEFFICIENTS[spans], rel=1e-12)


def test_five_supports_carry_the_decimals_of_four_spans():
    """Computed: 0.392857, 1.142857, 0.928571, sum 4."""
    found = forces(Bar(4.0, 1.0, 1.0), np.arange(5.0), np.zeros(5))

    assert found[:3] == pytest.approx([0.392857, 1.142857, 0.928571], abs=5e-7)


def test_centre_support_settled_by_a_hundredth():
    """PyNiteFEA 3.2.0, E I = w = L = 1, d = 0.01: 0.405, 1.19, 0.405."""
    assert forces(*UNIT_SPANS, [0, -0.01, 0]) == pytest.approx([0.405, 1.19, 0.405])


def test_centre_support_lets_go_where_its_load_is_the_simple_span():
    """Low by 5 w L⁴ / (24 E I), the sag of a span of 2 L: 5 w (2 L)⁴ / (384 E I)."""
    bar, x = UNIT_SPANS

    assert way_down(hold(bar, x), np.zeros(3), 1) == pytest.approx(5 / 24)


def test_ends_let_go_where_the_centre_alone_carries():
    """The centre raised by w L⁴ / (8 E I): each half a cantilever."""
    bar, x = UNIT_SPANS

    assert way_up(hold(bar, x), np.zeros(3), np.array([0.0, 1.0, 0.0])) == pytest.approx(1 / 8)


@pytest.mark.parametrize(
    ("length_m", "low_mm", "high_mm", "middle_n", "change_n"),
    [
        (2.743, 0.84, 0.50, 459, 274),
        (3.658, 2.65, 1.59, 612, 116),
        (4.877, 8.4, 5.0, 816, 49),
        (6.706, 29.9, 17.9, 1123, 19),
    ],
)
def test_maple_boards_on_three_legs(length_m, low_mm, high_mm, middle_n, change_n):
    """Boards of 9, 12, 16 and 22 ft, 20 × 3 in, 705.6 kg/m³, 12.6 GPa, legs at ends and centre.

    Computed: how low a centre foot carries nothing (0.84 mm at 9 ft), how high it lifts the ends,
    the middle reaction, and its change per 0.5 mm.
    """
    bar = bare_bar(Board(length_m * 1000, 508, 76.2, "maple"))
    held = hold(bar, np.array([0, length_m / 2, length_m]))
    level = np.zeros(3)

    found = (
        way_down(held, level, 1) * 1000,
        way_up(held, level, np.array([0.0, 1.0, 0.0])) * 1000,
        come_to_rest(held, level).forces[1],
        held.stiffness[1, 1] * 0.0005,
    )

    assert found == pytest.approx((low_mm, high_mm, middle_n, change_n), rel=0.02)


def test_overhangs_beyond_two_legs_are_carried_by_them():
    """Statics: both inset by c carry w L / 2 each; one inset only carries w L² / (2 (L − c))."""
    assert forces(Bar(10, 2, 1), [1, 9], [0, 0]) == pytest.approx([10, 10])
    assert forces(Bar(10, 2, 1), [0, 8], [0, 0]) == pytest.approx([7.5, 12.5])


X = [0.4, 1.9, 3.0, 4.8, 6.3]
HEIGHTS = [0.0002, 0.00005, 0.0, 0.00015, 0.0001]
BAR = Bar(6.7, 268.0, 2.36e5)


def pynite_bar(bar, x):
    """Draw the bar with nodes at the places of its feet."""
    frame = Pynite.FEModel3D()
    frame.add_material("wood", 1.0, 1.0, 0.3, 1.0)
    frame.add_section("bar", 1e3, bar.bending_n_m2, bar.bending_n_m2, bar.torsion_n_m2 or 1.0)
    places = sorted({0.0, *x, bar.length_m})
    for place in places:
        frame.add_node(f"{place}", place, 0, 0)
        frame.def_support(f"{place}", place == 0.0, False, True, True, False, False)
    for start, end in pairwise(places):
        name = f"{start}-{end}"
        frame.add_member(name, f"{start}", f"{end}", "wood", "bar")
        frame.add_member_dist_load(name, "Fy", -bar.weight_n_per_m, -bar.weight_n_per_m)
    return frame


def pynite_forces(bar, x, heights):
    """Hold the bar at supports of given heights."""
    frame = pynite_bar(bar, x)
    for place, height in zip(x, heights, strict=True):
        frame.def_support(f"{place}", place == 0.0, True, True, True, False, False)
        frame.def_node_disp(f"{place}", "DY", height)
    frame.analyze_linear()
    return [frame.nodes[f"{place}"].RxnFY["Combo 1"] for place in x]


def test_five_legs_at_any_height_agree_with_a_frame_program():
    """PyNiteFEA 3.2: overhangs, unequal spans, five heights that leave all feet bearing."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        expected = pynite_forces(BAR, X, HEIGHTS)

    assert forces(BAR, X, HEIGHTS) == pytest.approx(expected, rel=1e-6)
    assert min(expected) > 0


def test_one_lifted_foot_leaves_its_neighbours_to_the_frame_program_without_them():
    """A centre foot 4 mm high: the frame program on the feet that bear agrees."""
    lifted = [0.0, 0.0, 0.004, 0.0, 0.0]
    rest = come_to_rest(hold(BAR, np.array(X)), np.array(lifted))
    keep = [i for i in range(5) if rest.bears[i]]
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        expected = pynite_forces(BAR, [X[i] for i in keep], [lifted[i] for i in keep])

    assert len(keep) < 5
    assert rest.forces[keep] == pytest.approx(expected, rel=1e-6)


def pynite_contact_forces(bar, x, heights):
    """Stand the bar on stiff springs that only push, from grounds of the given heights."""
    frame = pynite_bar(bar, x)
    for place, height in zip(x, heights, strict=True):
        ground = f"ground {place}"
        frame.add_node(ground, place, -1, 0)
        frame.def_support(ground, True, True, True, True, True, True)
        frame.def_node_disp(ground, "DY", height)
        frame.add_spring(f"foot {place}", ground, f"{place}", 1e9, comp_only=True)
    frame.analyze()
    return [frame.nodes[f"ground {place}"].RxnFY["Combo 1"] for place in x]


@pytest.mark.parametrize(
    "heights", [(0, 0, 0.004, 0, 0), (0.003, 0, 0, 0, 0.003), (0.02, 0, 0, 0, 0.01)]
)
def test_feet_that_only_push_agree_with_springs_that_only_push(heights):
    """PyNiteFEA 3.2, compression-only springs of 1e9 N/m.

    Its own search never lets a spring that let go bear again, so heights where one would are not
    compared.
    """
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        expected = pynite_contact_forces(BAR, X, heights)

    assert forces(BAR, X, heights) == pytest.approx(expected, rel=1e-3, abs=0.1)
    assert 0 in forces(BAR, X, heights)


SPACINGS = [0.50, 0.45, 0.50, 0.55, 0.50]
TOPS = [0.0002, 0.0001, 0, 0.0001, 0.0003, 0.0001, 0.0001, 0.0001, 0, 0]  # left feet, right feet


def pynite_foot_forces(bar, x, spacings, tops):
    """Hold the bar by stiff arms across it, a support of given height under each end of an arm."""
    frame = pynite_bar(bar, x)
    frame.add_section("arm", 1e9, 1e9, 1e9, 1e9)
    feet = []
    for place in {0.0, *x, bar.length_m}:
        frame.def_support(f"{place}", place == 0.0, False, True, False, True, False)
    for side in (1, -1):
        for place, spacing in zip(x, spacings, strict=True):
            foot = f"{side} {place}"
            feet.append(foot)
            frame.add_node(foot, place, 0, side * spacing / 2)
            frame.add_member(f"arm {foot}", f"{place}", foot, "wood", "arm")
            frame.def_support(foot, False, True, False, False, False, False)
            frame.def_node_disp(foot, "DY", tops[len(feet) - 1])
    frame.analyze_linear()
    return [frame.nodes[foot].RxnFY["Combo 1"] for foot in feet]


def test_twist_parts_left_and_right_as_a_frame_program_says():
    """PyNiteFEA 3.2: ten feet at ten heights, G J 6e4 N m², all of them bearing."""
    bar = Bar(6.7, 268.0, 2.36e5, 6e4)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        expected = pynite_foot_forces(bar, X, SPACINGS, TOPS)

    found = come_to_rest(hold_feet(bar, np.array(X), np.array(SPACINGS)), np.array(TOPS)).forces

    assert found == pytest.approx(expected, rel=1e-4)
    assert min(found) > 0


def test_unequal_spans_agree_with_a_second_program():
    """Anastruct 1.7; it gives the force on the support, so its sign is turned."""
    system = anastruct.SystemElements(EI=2.36e5, EA=1e12)
    for start, end in pairwise((0.0, 1.5, 2.6, 5.0)):
        system.add_element(location=[[start, 0], [end, 0]])
    system.add_support_hinged(1)
    for node in (2, 3, 4):
        system.add_support_roll(node)
    for element in (1, 2, 3):
        system.q_load(-268.0, element)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        system.solve()
    expected = [-system.reaction_forces[node].Fy for node in (1, 2, 3, 4)]

    found = forces(Bar(5.0, 268.0, 2.36e5), [0.0, 1.5, 2.6, 5.0], np.zeros(4))

    assert found == pytest.approx(expected, rel=1e-5)


def test_unequal_spans_agree_with_a_third_program():
    """A symbolic solver, indeterminatebeam 2.4."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        beam = Beam(5.0, E=1.0, I=2.36e5)
        places = (0.0, 1.5, 2.6, 5.0)
        beam.add_supports(*(Support(x, (int(x == 0), 1, 0)) for x in places))
        beam.add_loads(DistributedLoadV(-268.0, (0.0, 5.0)))
        beam.analyse()
        expected = [float(beam.get_reaction(x, "y")) for x in places]

    found = forces(Bar(5.0, 268.0, 2.36e5), places, np.zeros(4))

    assert found == pytest.approx(expected, rel=1e-5)


def test_sugar_maple_has_both_published_densities():
    """Wood Handbook FPL-GTR-190 (2010): listed at 12 %, and by the formula for green wood.

    Table 5-3: 0.63, so 705.6 kg/m³. From green 0.56 by the formula of chapter 4 (from memory):
    673.6, 678.7 and 688.5 at 6, 8 and 12 %.
    """
    green = [green_density(0.56, moisture) for moisture in (6, 8, 12)]

    assert listed_density(SUGAR_MAPLE) == pytest.approx(705.6)
    assert green == pytest.approx([673.6, 678.7, 688.5], abs=0.05)


def test_maple_boards_weigh_what_a_crew_should_plan_for():
    """A board of 9 ft about 75 kg, of 22 ft about 185 kg (20 × 3 in): computed."""
    kg = [board_mass(Board(feet * 304.8, 508, 76.2, "maple")).kg for feet in (9, 22)]

    assert kg == pytest.approx([75, 185], abs=2)


def test_twist_constant_of_a_square_and_a_strip():
    """Roark, Table 10.7 (number from memory): 0.1406 a⁴ for a square, a b³ / 3 for a thin strip."""
    assert twist_constant(1, 1) == pytest.approx(0.1406, rel=2e-3)
    assert twist_constant(1000, 1) == pytest.approx(1000 / 3, rel=1e-3)
