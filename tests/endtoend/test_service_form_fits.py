"""The service form keeps its page budget on both papers, for the shortest and longest table."""

from dataclasses import replace
from datetime import date

import pytest

from forms.crowding import collisions
from forms.field import boxes_of
from forms.numbers import FormNumber
from forms.paper import Paper
from forms.path import extent, steps
from forms.place import Placed, place
from passport.table import (
    Board,
    Bracket,
    FootType,
    Hand,
    Kit,
    Leg,
    Own,
    Reads,
    Role,
    Side,
    Table,
    Target,
    Targets,
    Thread,
    Ways,
)
from passport.visits import KINDS
from passport.visits.kind import LookFirst

UNC = Thread("3/8-16 UNC", 1.5875)
ROLES = {
    2: (Role.END, Role.END),
    3: (Role.END, Role.CENTRE, Role.END),
    5: (Role.END, Role.SUPPORTING, Role.CENTRE, Role.SUPPORTING, Role.END),
}
TECHNICIANS = ("A. Reed", "B. Moss", "C. Fern")


def invented(legs: int, brackets: int, length_mm: float) -> Table:
    step = (length_mm - 900.0) / (legs - 1)
    return Table(
        "100000181",
        "The blue room's table",
        "House by the mill",
        Board(length_mm, 508.0, 76.2, "hard maple"),
        tuple(
            Leg(f"L{n + 1}", 450.0 + n * step, role, 508.0, FootType.STUD_IN_LEG, UNC)
            for n, role in enumerate(ROLES[legs])
        ),
        tuple(
            Bracket(f"B{n + 1}", length_mm * (n + 0.5) / brackets, UNC, Side.LEFT)
            for n in range(brackets)
        ),
        Targets(Target(0.508, 0.1905), Target(0, 0.8), None if legs == 2 else Target(1.6, 0.4)),
        Kit("Level 24", 609.6, 584.2, 0.1, None, 0.19, 0.003),
    )


LONG, MIDDLE, SHORT = (invented(5, 8, 6705.6), invented(3, 5, 4267.2), invented(2, 3, 2743.2))
CASES = [
    pytest.param(table, units, paper, id=f"{name}-{units}-{paper.name}")
    for name, table in (("long", LONG), ("middle", MIDDLE), ("short", SHORT))
    for units in ("imperial", "metric")
    for paper in Paper
]
BOTH_WAYS = replace(LONG, kit=replace(LONG.kit, cross_read=Ways.BOTH))
CASES += [pytest.param(BOTH_WAYS, "metric", paper, id=f"both-{paper.name}") for paper in Paper]


OPEN = LookFirst(
    (
        "turned last time, read as found: L1, L3, B2 to B5 and B8",
        "turn planned: L1, L3, L5, B1, B7 and end A",
        "undecided as left: ends, B6",
        "surface: dent or crack noted",
        "surface: worn or patchy noted",
    ),
    frozenset({"L1", "L3", "L5", "B1", "B7"}),
)
CHECKED = {"zero": Own(0.31, 0.06, date(2026, 5, 4)), "bow": Own(-0.006, 0.004, date(2026, 5, 4))}


def placed(table: Table, paper: Paper) -> Placed:
    """Place the form of a table whose kit was checked and of which much is still open."""
    form = KINDS["service"].form(
        replace(table, kit=replace(table.kit, **CHECKED)),
        printed_on=date(2026, 11, 2),
        last_visit=None,
        technicians=TECHNICIANS,
        look_first=OPEN,
    )
    return place(form, paper, FormNumber.new())


def pages(done: Placed) -> list[bool]:
    """Whether each page is a pass sheet."""
    return [
        all(".pass2." in field.id for field in page.fields if not field.id.startswith("pass"))
        for page in done.layout.pages
    ]


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("units", ["imperial", "metric"])
def test_five_legs_and_eight_brackets_take_three_pages_and_a_pass_sheet(units, paper):
    assert pages(placed(replace(LONG, units=units), paper)) == [False, False, False, True]


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("by", list(Reads))
def test_legs_read_both_ways_round_take_no_page_more(by, paper):
    kit = replace(LONG.kit, cross_read=Ways.BOTH, cross_by=by, display_step_deg=0.01)
    main = [pages(placed(replace(table, kit=kit), paper)).count(False) for table in (LONG, SHORT)]

    assert main == [3, 2]


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("units", ["imperial", "metric"])
def test_two_legs_and_three_brackets_take_two_pages_and_a_pass_sheet(units, paper):
    assert pages(placed(replace(SHORT, units=units), paper)) == [False, False, True]


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("count", [0, 1, 8, 9, 16])
def test_long_list_of_technicians_keeps_the_page_budget(paper, count):
    form = KINDS["service"].form(
        SHORT,
        printed_on=date(2026, 11, 2),
        last_visit=None,
        technicians=[f"Invented Longername the {n}th" for n in range(count)],
        look_first=OPEN,
    )

    assert pages(place(form, paper, FormNumber.new())) == [False, False, True]


@pytest.mark.parametrize("paper", list(Paper))
def test_level_shorter_than_the_board_keeps_the_page_budget(paper):
    kit = Kit("Level 16", 406.4, 393.7, 0.1, None, 0.19, 0.003)

    assert pages(placed(replace(SHORT, kit=kit), paper)) == [False, False, True]


@pytest.mark.parametrize("paper", list(Paper))
def test_page_of_the_longest_form_holds_its_part_of_the_work(paper):
    first, second, third, _ = placed(LONG, paper).layout.pages

    found = [
        next(page for page in (first, second, third) if any(f.id == i for f in page.fields)).page
        for i in ("air.humidity", "rise.B.pass1.after", "B1.pass1.found", "B8.pass1.after",
                  "shot.left.from_A", "signature")
    ]  # fmt: skip
    assert found == [1, 1, 2, 2, 3, 3]


@pytest.mark.parametrize(("table", "units", "paper"), CASES)
def test_boxes_keep_white_between_them(table, units, paper):
    done = placed(replace(table, units=units), paper)

    for page in done.layout.pages:
        boxes = sorted(box for field in page.fields for box in boxes_of(field))
        for index, one in enumerate(boxes):
            for other in boxes[index + 1 :]:
                apart_x = other.x - (one.x + one.width)
                apart_y = max(one.y, other.y) - min(one.y + one.height, other.y + other.height)
                if apart_x > 0.7:
                    break
                assert max(apart_x, apart_y) > 0.7, (one, other)


@pytest.mark.parametrize(("table", "units", "paper"), CASES)
def test_texts_are_large_enough_to_read_at_arms_length(table, units, paper):
    form = placed(replace(table, units=units), paper).form

    sizes = [text.size_pt for block in form.blocks for text in block.texts]
    assert min([*sizes, *(text.size_pt for text in form.drawing_texts)]) >= 7.0


@pytest.mark.parametrize(("table", "units", "paper"), CASES)
def test_strokes_keep_out_of_the_boxes(table, units, paper):
    form = placed(replace(table, units=units), paper).form
    for block in form.blocks:
        boxes = [box for field in block.fields for box in boxes_of(field)]
        for stroke in block.strokes:
            if stroke.fill is not None or "A" in stroke.path or len(steps(stroke.path)) > 2:
                continue
            left, top, right, bottom = extent(stroke.path)
            for box in boxes:
                beside = right < box.x or left > box.x + box.width
                assert beside or bottom < box.y or top > box.y + box.height, (block.name, box)


@pytest.mark.parametrize(("table", "units", "paper"), CASES)
def test_no_text_lies_over_another_or_over_a_box(table, units, paper):
    assert collisions(placed(replace(table, units=units), paper)) == ()


FINE = Thread("M6x0.5 LH", 0.5, Hand.LEFT)  # asks for many quarters: two lines of look-up
SHORT_LEVEL = Kit("Level 16, the one with the long name", 406.4, 393.7, 0.1, None, 0.19, 0.003)


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("table", [MIDDLE, SHORT], ids=["middle", "short"])
def test_fine_threads_and_a_short_level_crowd_nothing(table, paper):
    legs = tuple(
        replace(leg, thread=FINE, foot_type=FootType.NUT_ON_STUD, thread_left_mm=40.0)
        for leg in table.legs
    )
    brackets = tuple(
        replace(one, working_side=side, thread=FINE)
        for one, side in zip(
            table.brackets, (Side.LEFT, Side.RIGHT, None, Side.LEFT, Side.RIGHT), strict=False
        )
    )

    done = placed(replace(table, legs=legs, brackets=brackets, kit=SHORT_LEVEL), paper)
    assert collisions(done) == ()
