"""Printed forms."""

from dataclasses import replace
from datetime import datetime, timedelta
from io import BytesIO
from itertools import product
from random import Random
from subprocess import check_output
from sys import executable

import pikepdf
import pypdfium2
import pytest

from forms.field import Box, Tick
from forms.form import Block, Form, Stroke, Text
from forms.misfits import NothingToPrint
from forms.numbers import FormNumber
from forms.paper import Paper
from forms.place import Placed, copied, place
from forms.sheet import print_form, print_forms

NUMBER = FormNumber("16JD000000M")


def opened(pdf: bytes) -> pikepdf.Pdf:
    return pikepdf.open(BytesIO(pdf))


def text_of(pdf: bytes) -> str:
    return "\n".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(pdf))


def elements(node: pikepdf.Object) -> list[pikepdf.Object]:
    """Structure elements in reading order."""
    found = [node] if "/S" in node else []
    children = node.get("/K", [])
    for child in children if isinstance(children, pikepdf.Array) else [children]:
        if isinstance(child, pikepdf.Dictionary):
            found += elements(child)
    return found


def tags(root: pikepdf.Object) -> list[str]:
    return [str(element.S) for element in elements(root)]


def described(root: pikepdf.Object) -> list[pikepdf.Object]:
    return [element for element in elements(root) if "/Alt" in element]


def test_pages_have_the_size_of_their_paper(sample_placed: Placed, printed_at: datetime) -> None:
    pdf = opened(print_form(sample_placed, printed_at))
    sizes = [float(value) / 72 * 25.4 for page in pdf.pages for value in page.mediabox[2:]]

    paper = sample_placed.paper
    assert sizes == pytest.approx([paper.width, paper.height] * 2, abs=0.01)


def test_the_same_form_and_time_give_the_same_bytes(
    sample_placed: Placed, printed_at: datetime
) -> None:
    assert print_form(sample_placed, printed_at) == print_form(sample_placed, printed_at)


def test_another_time_gives_other_bytes(sample_placed: Placed, printed_at: datetime) -> None:
    later = printed_at + timedelta(minutes=1)

    assert print_form(sample_placed, printed_at) != print_form(sample_placed, later)


def test_every_text_of_the_form_is_on_paper(sample_placed: Placed, printed_at: datetime) -> None:
    printed = text_of(print_form(sample_placed, printed_at))
    texts = [
        text.text for page in sample_placed.sheets for text in (page.ground.title, *page.texts)
    ]

    assert [text for text in texts if text not in printed] == []


def test_markup_in_a_text_is_printed_as_it_stands(printed_at: datetime) -> None:
    nasty = "{{7*7}} <script>x</script> \"'&amp;"
    asked = Block("a", 9, (Text(0, 0, nasty),), fields=(Tick("b", "b", Box(100, 2, 5, 5)),))
    form = Form("t", nasty[:7], "1", (nasty,), (asked,), nasty)

    assert text_of(print_form(place(form, Paper.A4, NUMBER), printed_at)).count(nasty) == 3


def test_a_page_is_read_aloud_with_its_title_and_number_first(
    sample_placed: Placed, printed_at: datetime
) -> None:
    pdf = opened(print_form(sample_placed, printed_at))

    read = ["/Document", "/Sect", "/H1", "/P", "/P", "/P", "/Figure", "/Figure", "/P"]
    assert tags(pdf.Root.StructTreeRoot)[:9] == read


def test_the_figures_of_a_page_have_words(sample_placed: Placed, printed_at: datetime) -> None:
    pdf = opened(print_form(sample_placed, printed_at))
    figures = described(pdf.Root.StructTreeRoot)[:2]

    code = sample_placed.layout.pages[0].code.text
    words = [str(figure.Alt) for figure in figures]
    assert words == [f"QR code: {code}", "Boxes and drawing of page 1"]


def test_a_page_is_drawn_with_one_path_for_each_look(
    sample_placed: Placed, printed_at: datetime
) -> None:
    pdf = opened(print_form(sample_placed, printed_at))
    painted = [str(op.operator) for op in pikepdf.parse_content_stream(pdf.pages[0])]

    # marks, the code; outlines, frames, header drawing, check bar, punch and staple, block lines
    assert (painted.count("f"), painted.count("S")) == (2, 6)


def test_several_forms_are_printed_into_one_file(sample_form: Form, printed_at: datetime) -> None:
    several = [place(sample_form, paper, NUMBER) for paper in Paper]
    widths = [float(page.mediabox[2]) for page in opened(print_forms(several, printed_at)).pages]

    assert widths == pytest.approx([595.28, 595.28, 612, 612], abs=0.01)


def test_white_shapes_lie_under_black_ones(printed_at: datetime) -> None:
    square = "M10 0H20V10H10Z"
    strokes = (Stroke(square, 0, fill=0.0), Stroke(square, 0, fill=1.0))
    form = replace(Form("t", "T", "1", (), ()), blocks=(Block("a", 10, strokes=strokes),))
    pdf = pypdfium2.PdfDocument(print_form(place(form, Paper.A4, NUMBER), printed_at))
    picture = pdf[0].render(scale=72 / 25.4, grayscale=True).to_numpy()  # 72 / 25.4 px a mm ...

    scale = picture.shape[0] / 297  # ... whatever that comes to in whole pixels
    assert picture[round(46 * scale), round(35 * scale)] == 0


def test_a_batch_holds_every_page_in_order_and_keeps_its_tags(
    sample_form: Form, printed_at: datetime
) -> None:
    bits = Random(1).getrandbits
    several = [place(sample_form, Paper.A4, FormNumber.new(bits)) for _ in range(3)]
    printed = print_forms(several, printed_at)
    found = [
        (f"{one.number} · page {count} of 2", page.get_textpage().get_text_range())
        for (one, count), page in zip(
            product(several, (1, 2)), pypdfium2.PdfDocument(printed), strict=True
        )
    ]

    assert [name for name, text in found if name not in text] == []
    assert tags(opened(printed).Root.StructTreeRoot).count("/Sect") == 6


def test_a_copy_differs_in_its_number_and_codes_only(
    sample_placed: Placed, printed_at: datetime
) -> None:
    number = FormNumber.new(Random(5).getrandbits)
    afresh = place(sample_placed.form, sample_placed.paper, number)
    copy = copied(sample_placed, number)

    assert copy.layout == afresh.layout
    assert print_form(copy, printed_at) == print_form(afresh, printed_at)


def test_copies_share_what_they_have_in_common(sample_placed: Placed, printed_at: datetime) -> None:
    bits = Random(1).getrandbits
    copies = [copied(sample_placed, FormNumber.new(bits)) for _ in range(3)]
    pages = opened(print_forms(copies, printed_at)).pages
    drawings = [{page.Contents[at].objgen for page in pages} for at in (0, 1)]

    assert [len(one) for one in drawings] == [2, 6]


def test_a_batch_without_forms_is_refused(printed_at: datetime) -> None:
    with pytest.raises(NothingToPrint) as caught:
        print_forms([], printed_at)

    assert str(caught.value) == "There is no form to print. Choose at least one table."


def test_printing_has_nothing_to_complain_of(
    sample_placed: Placed, printed_at: datetime, caplog: pytest.LogCaptureFixture
) -> None:
    print_form(sample_placed, printed_at)

    assert caplog.messages == []


SCRIPT = """
from datetime import UTC, datetime
from hashlib import sha256
from forms.field import Box, Tick
from forms.form import Block, Form, Text
from forms.numbers import FormNumber
from forms.paper import Paper
from forms.place import place
from forms.sheet import print_form

ticks = tuple(Tick(str(n), "", Box(9 * n, 3, 5, 5)) for n in range(9))
block = Block("a", 9, (Text(0, 0, "Air"),), (), ticks, frozenset("0357"))
placed = place(Form("t", "T", "1", (), (block,)), Paper.A4, FormNumber("16JD000000M"))
print(sha256(print_form(placed, datetime(2026, 11, 24, tzinfo=UTC))).hexdigest())
"""


def test_another_process_prints_the_same_bytes() -> None:
    printed = {
        check_output([executable, "-c", SCRIPT], env={"PYTHONHASHSEED": seed}) for seed in "12"
    }

    assert [len(line) for line in printed] == [65]
