"""The drawing of a table is to scale and says where its stations are."""

from dataclasses import replace

import pytest

from forms.path import extent
from passport.drawing import draw, from_a
from passport.table import Board, Bracket, FootType, Kit, Leg, Role, Side, Table, Target, Targets


@pytest.fixture
def table() -> Table:
    legs = ((18.0, Role.END), (75.0, Role.SUPPORTING), (132.0, Role.CENTRE), (246.0, Role.END))
    return Table(
        "100000181",
        "The blue room's table",
        "House by the mill",
        Board(6705.6, 508.0, 76.2, "hard maple"),
        tuple(
            Leg(f"L{n}", inches * 25.4, role, 508.0, FootType.UNKNOWN, None)
            for n, (inches, role) in enumerate(legs, start=1)
        ),
        tuple(Bracket(f"B{n}", 419.1 + 838.2 * (n - 1), None, Side.LEFT) for n in range(1, 9)),
        Targets(Target(0.508, 0.1905), Target(0, 0.8), Target(1.6, 0.4)),
        Kit("Level 24", 609.6, 584.2, 0.1, None, 0.19, 0.003),
    )


def board(drawing):
    """Find the outline: the widest closed path."""
    outlines = [extent(s.path) for s in drawing.strokes if s.path.endswith("Z") and s.fill is None]
    return max(outlines, key=lambda one: one.right - one.left)


def named(drawing, name):
    return next(text for text in drawing.texts if text.text == name)


@pytest.mark.parametrize("box", [(78.0, 22.0), (170.0, 40.0), (90.0, 30.0)])
def test_board_is_to_scale(table, box):
    outline = board(draw(table, *box))

    ratio = (outline.right - outline.left) / (outline.bottom - outline.top)
    assert ratio == pytest.approx(6705.6 / 508.0, rel=1e-3)


@pytest.mark.parametrize("box", [(78.0, 22.0), (170.0, 40.0), (90.0, 30.0)])
def test_everything_stays_in_the_box(table, box):
    drawing = draw(table, *box)

    for stroke in drawing.strokes:
        one = extent(stroke.path)
        assert one.left >= 0
        assert one.top >= 0
        assert one.right <= box[0]
        assert one.bottom <= box[1]
    assert all(0 <= text.y <= box[1] - 2.9 for text in drawing.texts)


def test_station_stands_at_its_distance_from_end_a(table):
    drawing = draw(table, 170.0, 40.0)

    outline = board(drawing)
    scale = (outline.right - outline.left) / 6705.6
    for station in (*table.legs, *table.brackets):
        assert named(drawing, station.name).x == pytest.approx(
            outline.left + station.x_mm * scale, abs=0.01
        )


def test_end_a_is_at_the_left_and_left_is_up(table):
    drawing = draw(table, 78.0, 22.0)

    assert named(drawing, "A").x < named(drawing, "B").x
    assert named(drawing, "left").y < named(drawing, "A").y < named(drawing, "right").y


def test_distances_are_in_the_tables_unit(table):
    assert from_a(table, 419.1) == "16.5"  # 419.1 mm ÷ 25.4 mm/in, exact
    assert from_a(replace(table, units="metric"), 419.1) == "419"


def test_every_station_is_named_and_its_distance_given(table):
    texts = [text.text for text in draw(table, 78.0, 22.0).texts]

    assert {"L1", "L2", "L3", "L4", *(f"B{n}" for n in range(1, 9))} <= set(texts)
    assert {"18", "75", "132", "246", "16.5", "49.5"} <= set(texts)


def test_distances_that_would_run_together_are_left_out_but_no_name(table):
    crowded = replace(
        table, brackets=tuple(Bracket(f"B{n}", 400.0 + 30.0 * n, None, None) for n in range(1, 9))
    )

    texts = [text.text for text in draw(crowded, 78.0, 22.0).texts]
    assert {f"B{n}" for n in range(1, 9)} <= set(texts)
    assert sum("." in text for text in texts) < 8


def test_supporting_legs_have_open_feet(table):
    filled = [stroke.fill for stroke in draw(table, 78.0, 22.0).strokes if stroke.fill is not None]

    assert filled == [0.0, 1.0, 0.0, 0.0]
