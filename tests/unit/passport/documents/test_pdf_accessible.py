"""Each document as a file: what PDF/UA-1 asks for, as far as our own checks can show; its bar.

ISO 14289-1:2014 clauses and the Matterhorn Protocol's checkpoints are named from memory. This is
no certificate of conformance.
"""

from collections.abc import Iterator
from datetime import datetime
from io import BytesIO
from itertools import pairwise

import numpy as np
import pikepdf
import pypdfium2
import pytest

from forms.cutting import print_cards
from forms.numbers import FormNumber
from forms.paper import Paper
from forms.place import copied, place
from forms.sheet import print_form
from passport.documents.actions import actions_pdf
from passport.documents.codes import care_code_text
from passport.documents.handover import handover_pdf
from passport.documents.house import Story
from passport.documents.label import Label, LabelSheet, label_pdf
from passport.documents.passport import booklet_pdf, passport_pdf
from passport.visits import KINDS

PAINTS = frozenset(
    ("f", "F", "f*", "B", "B*", "b", "b*", "S", "s", "Tj", "TJ", "'", '"', "Do", "sh")
)
CLOCK = datetime.fromisoformat("2026-11-24T09:30:00+00:00")
NAME = "The Table With The Longest Name That Anybody Ever Wrote In A Description"


def _label(_story: Story, _paper: Paper, clock: datetime) -> bytes:
    code = care_code_text("401 2734 56", None, None, None)
    return label_pdf([Label("401 2734 56", NAME, code)] * 3, LabelSheet.LETTER_10, clock)


def _form(story: Story, paper: Paper, clock: datetime) -> bytes:
    form = KINDS["service"].form(
        story.table, printed_on=clock.date(), last_visit=None, technicians=("AB",)
    )
    return print_form(place(form, paper, FormNumber("16JD000000M")), clock)


def _cards(story: Story, paper: Paper, clock: datetime) -> bytes:
    card = KINDS["card"].form(story.table, printed_on=clock.date(), last_visit=None, technicians=())
    first = place(card, paper, FormNumber("16JD000000M"))
    return print_cards([first, copied(first, FormNumber("00000000011"))], paper, clock)


MAKERS = {
    "form": _form,
    "cards": _cards,
    "passport": passport_pdf,
    "booklet": booklet_pdf,
    "handover": handover_pdf,
    "actions": actions_pdf,
    "label": _label,
}


@pytest.fixture(scope="module", params=list(MAKERS))
def pdf(request, paper_of) -> bytes:
    return paper_of(MAKERS[request.param], Paper.LETTER)


def elements(document: pikepdf.Pdf) -> Iterator[pikepdf.Dictionary]:
    """Structure elements in the order in which they are read aloud."""
    return elements_of(document.Root.StructTreeRoot)


def elements_of(root: pikepdf.Dictionary) -> Iterator[pikepdf.Dictionary]:
    """Structure elements below one, itself included."""
    waiting = [root]
    while waiting:
        one = waiting.pop()
        if "/S" in one:
            yield one
        children = reversed(list(one.get("/K", [])))
        waiting += [child for child in children if not isinstance(child, int)]


def kind(element: pikepdf.Dictionary) -> str:
    return str(element.S).strip("/")


def marks(document: pikepdf.Pdf) -> Iterator[tuple[pikepdf.Dictionary, int, pikepdf.Dictionary]]:
    """Each mark on a page: the page, its number, and the element that the parent tree names."""
    tree = list(document.Root.StructTreeRoot.ParentTree.Nums)
    owners = dict(zip(map(int, tree[::2]), tree[1::2], strict=True))
    for page in document.pages:
        for step in pikepdf.parse_content_stream(page):
            if str(step.operator) == "BDC" and "/MCID" in step.operands[1]:
                number = int(step.operands[1].MCID)
                yield page.obj, number, owners[int(page.obj.StructParents)][number]


def test_every_mark_belongs_to_the_element_that_names_it(pdf):
    """7.1, checkpoint 01; ISO 32000-1:2008, 14.7.4.4. Each mark is made once."""
    with pikepdf.open(BytesIO(pdf)) as document:
        found = list(marks(document))
        strays = [
            number
            for page, number, owner in found
            if owner.Pg.objgen != page.objgen or number not in list(owner.K)
        ]
        made_once = {(page.objgen, number) for page, number, _ in found}

    assert (strays, len(made_once)) == ([], len(found))


def test_only_what_stands_in_the_margins_is_left_out_when_read_aloud(pdf):
    """Running heads and feet have elements of their own, outside the tree."""
    with pikepdf.open(BytesIO(pdf)) as document:
        read = {one.objgen for one in elements(document)}
        silent = [owner for _, _, owner in marks(document) if owner.objgen not in read]
        outermost = {kind(_outermost(owner)) for owner in silent}

    assert outermost <= {"NonStruct"}


def _outermost(element: pikepdf.Dictionary) -> pikepdf.Dictionary:
    while "/P" in element and "/S" in element.P and kind(element.P) != "Document":
        element = element.P
    return element


def test_headings_do_not_skip_a_level(pdf):
    """7.4.2, checkpoint 14: the first heading is H1, none goes deeper by more than one."""
    with pikepdf.open(BytesIO(pdf)) as document:
        kinds = [kind(one) for one in elements(document)]
    levels = [int(one[1]) for one in kinds if one in ("H1", "H2", "H3")]

    assert levels[0] == 1
    assert [b for a, b in pairwise(levels) if b > a + 1] == []


def test_each_table_has_heads(pdf):
    """7.5, checkpoint 15."""
    with pikepdf.open(BytesIO(pdf)) as document:
        tables = [one for one in elements(document) if kind(one) == "Table"]
        heads = [[kind(part) for part in elements_of(table)].count("TH") for table in tables]

    assert [count for count in heads if count < 2] == []


def test_each_head_says_whether_it_heads_a_column_or_a_row(pdf):
    """7.5, checkpoint 15: a scope at every head."""
    with pikepdf.open(BytesIO(pdf)) as document:
        heads = [one for one in elements(document) if kind(one) == "TH"]
        scopes = {str(one.A.get("/Scope")) for one in heads}

    assert scopes <= {"/Column", "/Row"}


def test_nothing_is_drawn_that_is_neither_read_aloud_nor_said_to_be_ornament(pdf):
    """7.1, checkpoint 01: every painting operator stands in marked content."""
    with pikepdf.open(BytesIO(pdf)) as document:
        bare = [found for page in document.pages for found in unmarked(page)]

    assert bare == []


def unmarked(page: pikepdf.Page) -> Iterator[str]:
    """Operators that paint outside of all marked content."""
    depth = 0
    for step in pikepdf.parse_content_stream(page):
        operator = str(step.operator)
        depth += {"BDC": 1, "BMC": 1, "EMC": -1}.get(operator, 0)
        if operator in PAINTS and not depth:
            yield operator


def test_what_is_drawn_bare_would_be_noticed():
    with pikepdf.new() as document:
        page = document.add_blank_page()
        page.Contents = document.make_stream(b"/P BMC 0 0 9 9 re f EMC 0 0 9 9 re f")

        assert list(unmarked(page)) == ["f"]


def test_tab_goes_through_a_page_in_the_order_of_its_tags(pdf):
    """7.18.3, checkpoint 28."""
    with pikepdf.open(BytesIO(pdf)) as document:
        assert {str(page.obj.Tabs) for page in document.pages} == {"/S"}


def test_every_picture_has_words_for_who_cannot_see_it(pdf):
    """7.3, checkpoint 13."""
    with pikepdf.open(BytesIO(pdf)) as document:
        bare = [
            one
            for one in elements(document)
            if kind(one) == "Figure" and not str(one.get("/Alt", "")) and not _holds_figure(one)
        ]

    assert bare == []


def _holds_figure(one: pikepdf.Dictionary) -> bool:
    """Whether another figure, or words of its own, stand inside."""
    return any(not isinstance(child, int) for child in one.get("/K", []))


def test_title_language_and_identification_stand_in_the_file(pdf):
    """5 and 7.1, 7.2, checkpoints 06, 07, 11."""
    with pikepdf.open(BytesIO(pdf)) as document:
        root = document.Root
        with document.open_metadata() as metadata:
            said = (metadata["pdfuaid:part"], bool(metadata["dc:title"]))

        assert said == ("1", True)
        assert (bool(root.MarkInfo.Marked), str(root.Lang)) == (True, "en")
        assert bool(root.ViewerPreferences.DisplayDocTitle)


def test_dates_of_the_file_carry_their_zone(pdf):
    with pikepdf.open(BytesIO(pdf)) as document, document.open_metadata() as metadata:
        written = metadata["xmp:CreateDate"]

    assert datetime.fromisoformat(written) == CLOCK


def test_every_typeface_is_embedded_and_can_be_copied_as_text(pdf):
    """7.21, checkpoint 31: font programs embedded, ToUnicode where text is extracted."""
    with pikepdf.open(BytesIO(pdf)) as document:
        fonts = [
            one
            for one in document.objects
            if isinstance(one, pikepdf.Dictionary) and one.get("/Type") == "/Font"
        ]
        descriptors = [
            one
            for one in document.objects
            if isinstance(one, pikepdf.Dictionary) and one.get("/Type") == "/FontDescriptor"
        ]
        loose = [one for one in descriptors if not any(f"/FontFile{n}" in one for n in ("", 2, 3))]
        dumb = [one for one in fonts if one.get("/Subtype") == "/Type0" and "/ToUnicode" not in one]

    assert (len(descriptors) > 0, loose, dumb) == (True, [], [])


def test_file_has_no_syntax_faults(pdf):
    with pikepdf.open(BytesIO(pdf)) as document:
        assert document.check_pdf_syntax() == []


def test_nothing_is_fetched_or_run_by_who_opens_it(pdf):
    with pikepdf.open(BytesIO(pdf)) as document:
        keys = {
            key
            for one in document.objects
            if isinstance(one, pikepdf.Dictionary)
            for key in one.keys()  # noqa: SIM118 - a PDF dictionary is iterated by its keys only so
        }

    assert keys & {"/URI", "/JS", "/JavaScript", "/Launch", "/EmbeddedFile", "/OpenAction"} == set()


def test_every_sheet_has_a_bar_of_a_hundred_millimetres(pdf):
    """Found on the drawn page: a thin line up or across, to half a dot of 300 dpi."""
    with pypdfium2.PdfDocument(pdf) as document:
        drawn = [page.render(scale=300 / 72, grayscale=True).to_numpy() for page in document]

    for page in drawn:
        dark = page.reshape(page.shape[:2]) < 128
        lengths = [run * 25.4 / 300 for lines in (dark.T, dark) for run in longest(lines)]
        assert pytest.approx(100.2, abs=0.2) in lengths


def longest(lines: np.ndarray) -> list[int]:
    """Longest run of dark dots in each of the lines (N, M) that hold that many."""
    found = []
    for line in lines[lines.sum(axis=1) > 1100]:
        edges = np.flatnonzero(np.diff(np.concatenate([[0], line.astype(np.int8), [0]])))
        found.append(int((edges[1::2] - edges[::2]).max()))
    return found
