"""What stands around the body of every page."""

from dataclasses import replace
from itertools import combinations

import pytest

from forms.drawing import stroke_box, text_box
from forms.field import Box
from forms.form import Form, Stroke, Text
from forms.furniture import Leaf, naming, strokes, texts, title
from forms.marks import MODULE, page_code, page_marks
from forms.misfits import DrawingOutside, TextOutside
from forms.numbers import FormNumber
from forms.paper import FORMATS, RIM, Card, Format, Paper

PAPERS = pytest.mark.parametrize("paper", FORMATS, ids=lambda paper: paper.name)
NUMBER = FormNumber("16JD000000M")


def fit(form: Form, paper: Format, lines: int = 6) -> Form:
    """Leave away what a card has no room for, and take as many header lines as it holds."""
    if isinstance(paper, Card):
        form = replace(form, drawing=(), card=True)
    return replace(form, header=tuple(f"Line {n}, with a kit" for n in range(lines)))


def everything(form: Form, paper: Format) -> list[Text]:
    return [*texts(form, paper), *naming(Leaf(paper, NUMBER, 1, 3))]


def grown(box: Box, by: float) -> Box:
    return Box(box.x - by, box.y - by, box.width + 2 * by, box.height + 2 * by)


def meet(one: Box, other: Box) -> bool:
    return (
        one.x < other.x + other.width
        and other.x < one.x + one.width
        and one.y < other.y + other.height
        and other.y < one.y + one.height
    )


def kept_white(paper: Format) -> list[Box]:
    """Fiducials with their rims, the code with its quiet zone, and the body."""
    marks = [grown(Box(*mark.corner, mark.size, mark.size), RIM) for mark in page_marks(paper, 1)]
    return [*marks, grown(page_code(NUMBER, 1, on=paper).box, 4 * MODULE - 0.61), paper.body]


def printed(form: Form, paper: Format) -> list[Box]:
    drawn = [stroke_box(stroke) for stroke in strokes(form, paper)]
    return [
        text_box(title(form, paper)),
        *(text_box(text) for text in everything(form, paper)),
        *drawn,
    ]


@PAPERS
def test_nothing_stands_on_a_fiducial_the_code_or_the_body(
    paper: Format, sample_form: Form
) -> None:
    form = fit(sample_form, paper, 3)
    pairs = [(box, white) for box in printed(form, paper) for white in kept_white(paper)]

    assert [pair for pair in pairs if meet(*pair)] == []


@PAPERS
def test_nothing_stands_nearer_to_the_edge_than_printers_reach(
    paper: Format, sample_form: Form
) -> None:
    least = min(
        min(box.x, box.y, paper.width - box.x - box.width, paper.height - box.y - box.height)
        for box in printed(fit(sample_form, paper, 3), paper)
    )

    assert least >= paper.margin == (5 if isinstance(paper, Card) else 8)


@PAPERS
def test_no_two_texts_lie_over_each_other(paper: Format, sample_form: Form) -> None:
    form = fit(sample_form, paper, 3 if isinstance(paper, Card) else 6)
    boxes = [text_box(text) for text in (title(form, paper), *everything(form, paper))]

    assert [pair for pair in combinations(boxes, 2) if meet(*(grown(b, -0.1) for b in pair))] == []


@PAPERS
def test_the_check_bar_is_100_mm_long(paper: Format, sample_form: Form) -> None:
    drawn = strokes(fit(sample_form, paper, 1), paper)
    bars = [max(stroke_box(stroke)[2:]) for stroke in drawn if "V" in stroke.path]

    assert bars.count(100) == 1


@PAPERS
def test_every_page_says_which_form_and_which_page(paper: Format, sample_form: Form) -> None:
    said = {text.text for text in everything(fit(sample_form, paper, 1), paper)}

    assert {"Page 1 of 3", "16JD-0000-00M · page 1 of 3"} <= said
    assert ("16JD-0000-00M" in said) is isinstance(paper, Paper)  # on a card in the foot alone


def test_without_a_drawing_the_header_lines_are_wider(sample_form: Form) -> None:
    line = "An invented table in an invented hall, on a floor of oak, by the window"
    lines = [
        next(text for text in texts(form, Paper.A4) if text.text.startswith("An inv"))
        for form in (
            replace(sample_form, header=(line,)),
            replace(sample_form, header=(line,), drawing=()),
        )
    ]

    assert ["\n" in text.text for text in lines] == [True, False]


def test_header_lines_that_do_not_fit_below_each_other_run_on(sample_form: Form) -> None:
    form = replace(sample_form, header=tuple("12345678"))

    assert "1. 2. 3. 4. 5. 6. 7. 8" in [text.text for text in texts(form, Paper.A4)]


def test_a_header_that_is_too_long_is_refused(sample_form: Form) -> None:
    form = replace(sample_form, header=("A line of a header, " * 30,))

    with pytest.raises(TextOutside) as caught:
        texts(form, Paper.A4)

    assert (caught.value.place, caught.value.text) == ("the header", form.header[0])


def test_a_title_of_three_lines_is_refused(sample_form: Form) -> None:
    with pytest.raises(TextOutside) as caught:
        title(replace(sample_form, title="A visit " * 9), Paper.A4)

    assert caught.value.place == "the header"


def test_a_foot_line_that_is_too_long_is_refused(sample_form: Form) -> None:
    with pytest.raises(TextOutside) as caught:
        texts(replace(sample_form, footer="Stop and call. " * 30), Paper.A4)

    assert caught.value.place == "the foot"


def test_a_drawing_larger_than_its_place_is_refused(sample_form: Form) -> None:
    with pytest.raises(DrawingOutside) as caught:
        strokes(replace(sample_form, drawing=(Stroke("M0 0H79"),)), Paper.A4)

    assert caught.value.over == "1.00 mm beyond the right edge"


def test_texts_of_the_drawing_stand_in_it(sample_form: Form) -> None:
    form = replace(sample_form, drawing_texts=(Text(0, 0, "end A", 7),))

    assert Text(112, 18.5, "end A", 7) in texts(form, Paper.A4)
