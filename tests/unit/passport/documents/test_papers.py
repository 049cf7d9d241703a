"""The printed papers: pages, words, fonts, tags, codes, cautions, bytes."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from io import BytesIO
from typing import Any

import numpy as np
import pikepdf
import pypdfium2
import pytest
import zxingcpp
from pyzbar.pyzbar import ZBarSymbol
from pyzbar.pyzbar import decode as zbar_decode

from forms.paper import Paper
from passport.documents import house, texts
from passport.documents.actions import actions_pdf
from passport.documents.codes import care_code_text
from passport.documents.errors import NoLabels, StartOutsideSheet
from passport.documents.label import Label, LabelSheet, label_pdf
from passport.documents.passport import passport_pdf
from passport.leveling.advice import Verdict

CLOCK = datetime.fromisoformat("2026-11-24T09:30:00+00:00")
PAPERS: dict[str, Callable[..., bytes]] = {"passport": passport_pdf, "actions": actions_pdf}
NASTY = "<script>alert(1)</script> & “Co”"


def pages(pdf: bytes) -> list[str]:
    """Words of each page, white space joined."""
    return [
        " ".join(page.get_textpage().get_text_range().replace("\ufffe", "-").split())
        for page in pypdfium2.PdfDocument(BytesIO(pdf))
    ]


def words(pdf: bytes) -> str:
    return " ".join(pages(pdf))


def picture(pdf: bytes, page: int = 0) -> Any:
    return pypdfium2.PdfDocument(BytesIO(pdf))[page].render(scale=300 / 72).to_pil().convert("L")


def sizes(pdf: bytes) -> set[tuple[int, int]]:
    """Page sizes in tenths of a millimetre."""
    return {
        (round(w * 254 / 72), round(h * 254 / 72))
        for w, h in (page.get_size() for page in pypdfium2.PdfDocument(BytesIO(pdf)))
    }


def fonts(pdf: bytes) -> set[tuple[str, bool]]:
    """Names of all fonts without their subset's prefix, and whether they are embedded."""
    found = set()
    with pikepdf.open(BytesIO(pdf)) as document:
        for item in document.objects:
            if isinstance(item, pikepdf.Dictionary) and item.get("/Type") == "/FontDescriptor":
                embedded = any(f"/FontFile{n}" in item for n in ("", 2, 3))
                found.add((str(item.FontName).split("+")[-1].split("-")[0].strip("/"), embedded))
    return found


def kinds(pdf: bytes) -> list[str]:
    """Structure elements in the order of the file."""
    with pikepdf.open(BytesIO(pdf)) as document:
        return [
            str(item.S).strip("/")
            for item in document.objects
            if isinstance(item, pikepdf.Dictionary) and item.get("/Type") == "/StructElem"
        ]


def alternatives(pdf: bytes) -> list[str]:
    with pikepdf.open(BytesIO(pdf)) as document:
        return [
            str(item.get("/Alt", ""))
            for item in document.objects
            if isinstance(item, pikepdf.Dictionary)
            and item.get("/Type") == "/StructElem"
            and str(item.S) == "/Figure"
        ]


@pytest.fixture(params=list(PAPERS))
def print_it(request) -> Callable[..., bytes]:
    return PAPERS[request.param]


@pytest.fixture(scope="session", params=list(PAPERS))
def printed(request, paper_of) -> bytes:
    """Both papers on A4, printed once."""
    return paper_of(PAPERS[request.param], Paper.A4)


@pytest.fixture(scope="session")
def passport(paper_of) -> bytes:
    return paper_of(passport_pdf, Paper.A4)


@pytest.fixture(scope="session")
def actions(paper_of) -> bytes:
    return paper_of(actions_pdf, Paper.A4)


@pytest.mark.parametrize(
    ("paper", "size"), [(Paper.A4, (2100, 2970)), (Paper.LETTER, (2159, 2794))]
)
def test_paper_has_its_size(paper_of, print_it, paper, size):
    """ISO 216:2007, A4; letter 8.5 × 11 in."""
    assert sizes(paper_of(print_it, paper)) == {size}


@pytest.mark.parametrize("paper", list(Paper))
def test_passport_of_the_longest_table_has_five_pages(paper_of, paper):
    assert len(pages(paper_of(passport_pdf, paper))) == 5


def test_cover_of_a_stopped_table_with_a_long_name_stays_one_page(story):
    name = "The Table With The Longest Name That Anybody Ever Wrote In A Description"
    visits = (story.visits[0], replace(story.visits[-1], unsafe=True))
    stopped = replace(story, visits=visits, table=replace(story.table, name=name))

    printed = pages(passport_pdf(stopped, Paper.LETTER, CLOCK))
    assert (len(printed), texts.CUSTOMER_CAUTIONS[-1] in printed[0]) == (5, True)


@pytest.mark.parametrize("paper", list(Paper))
def test_actions_of_the_longest_table_have_at_most_two_pages(paper_of, paper):
    assert len(pages(paper_of(actions_pdf, paper))) <= 2


def test_actions_with_little_to_do_are_one_page(story):
    decided = tuple(replace(s, verdict=Verdict.IN) for s in story.advice.state)
    advice = replace(story.advice, moves=story.advice.moves[:2], state=decided)
    short = replace(story, advice=advice)

    assert len(pages(actions_pdf(short, Paper.LETTER, CLOCK))) == 1


def test_each_page_says_table_record_and_page(printed):
    found = pages(printed)

    for number, page in enumerate(found, 1):
        assert {
            "401 2734 56" in page,
            "record 9f2c41d0" in page,
            f"page {number} of {len(found)}" in page,
        } == {True}


def test_same_story_and_clock_give_the_same_bytes(story, print_it, paper_of):
    assert print_it(story, Paper.A4, CLOCK) == paper_of(print_it, Paper.A4)


def test_only_our_own_typeface_is_used_and_embedded(printed):
    assert fonts(printed) <= {("Form", True), ("Inter", True)}


def test_what_people_wrote_is_printed_as_they_wrote_it(story, print_it):
    named = replace(story, table=replace(story.table, name=NASTY, site=NASTY))

    assert NASTY in words(print_it(named, Paper.A4, CLOCK))


@pytest.mark.parametrize("tag", ['<link rel="attachment" href="file:///etc/hostname">',
                                 '<img src="file:///etc/hostname">',
                                 '"; } @import url(file:///etc/hostname); a { b: "'])  # fmt: skip
def test_nothing_of_this_machine_gets_into_a_paper(story, print_it, tag):
    named = replace(story, table=replace(story.table, name=tag, site=tag))

    pdf = print_it(named, Paper.A4, CLOCK)
    with pikepdf.open(BytesIO(pdf)) as document:
        assert (len(document.attachments), tag[:20] in words(pdf)) == (0, True)


def test_templates_never_switch_escaping_off():
    text = "".join(path.read_text("utf-8") for path in house.TEMPLATES.iterdir())

    assert [
        word for word in ("|safe", "| safe", "autoescape false", "Markup") if word in text
    ] == []


def test_paper_is_tagged_with_title_and_language(printed):
    """ISO 14289-1 (PDF/UA-1), 7.1 and 7.2: title shown, natural language, tags; our own checks."""
    with pikepdf.open(BytesIO(printed)) as document:
        root = document.Root
        marks = (
            bool(root.MarkInfo.Marked),
            str(root.Lang),
            bool(root.ViewerPreferences.DisplayDocTitle),
        )
        with document.open_metadata() as metadata:
            said = (metadata["pdfuaid:part"], "401 2734 56" in metadata["dc:title"])

    assert (marks, said) == ((True, "en", True), ("1", True))


def test_paper_has_headings_and_table_heads(printed):
    found = set(kinds(printed))

    assert {"H1", "H2", "Table", "TH", "TD", "TR"} <= found


def test_every_picture_of_the_passport_has_words_for_who_cannot_see_it(story, passport):
    found = alternatives(passport)

    assert [alt for alt in found if not alt] == []
    drawn = [alt.split(" from above")[0] for alt in found if "end A at the left" in alt]
    assert drawn == ["Drawing of the table", "Map of the board"]
    assert f"QR code: {story.code}" in found


def test_code_of_the_passport_is_read_from_the_page(story, passport):
    page = picture(passport)

    by_zbar = {found.data.decode() for found in zbar_decode(page, symbols=[ZBarSymbol.QRCODE])}
    by_zxing = {found.text for found in zxingcpp.read_barcodes(np.array(page))}
    assert (by_zbar, by_zxing) == ({story.code}, {story.code})


@pytest.mark.parametrize("caution", texts.CUSTOMER_CAUTIONS)
def test_passport_carries_each_caution_to_the_customer(passport, caution):
    assert caution in words(passport)


def test_passport_prints_the_care_address_for_who_has_no_camera(passport):
    assert "https://care.example.org/T/7ZK2M04QX9RJ1B5T" in words(passport).replace("/T/ ", "/T/")


def test_passport_says_which_humidity_to_keep_and_why(passport):
    assert "between 35 and 55 % relative humidity, and steady (common practice)" in words(passport)
    assert "the playing surface bends by 0.028 to 0.059 in" in words(passport)


def test_passport_says_what_was_assumed(passport):
    said = words(passport)

    assert "so assumed by common practice: all legs, cross slope, hollow." in said
    assert "Legs * two end, one centre and two supporting, 5 in all" in said


def test_passport_shows_target_tolerance_found_left_and_verdict(passport):
    said = words(passport)

    assert "B2 4 ft 15/16 in, nut right 0.020 ± 0.0075" in said
    assert "0.031 ± 0.004 undecided · was 0.035" in said


def test_passport_marks_what_changed_since_the_visit_before(story, passport):
    again = words(passport)
    first = replace(story, visits=story.visits[-1:], former=None)

    assert "A bar at the left marks what changed." in again
    assert "marks what changed" not in words(passport_pdf(first, Paper.A4, CLOCK))


def test_passport_logs_each_visit_with_what_was_turned(passport):
    said = words(passport)

    assert "11 February 2026 service CD 21 °C, 44 %" in said
    assert "L1 right foot up 2 quarters; L3 left foot down 2 quarters" in said


def test_passport_without_a_visit_says_so(story):
    new = replace(story, visits=(), former=None, advice=replace(story.advice, as_of=None))

    assert "Visits No visit yet." in words(passport_pdf(new, Paper.A4, CLOCK))


def test_passport_prints_the_whole_head_of_the_record(story, passport):
    assert story.head in words(passport).replace(" ", "")


def test_stopped_table_says_out_of_use_first(story, print_it):
    stopped = replace(story, visits=(*story.visits[:-1], replace(story.visits[-1], unsafe=True)))

    assert "Out of use until checked" in pages(print_it(stopped, Paper.A4, CLOCK))[0]


@pytest.mark.parametrize("caution", [c for c in texts.Caution if c is not texts.Caution.UNSAFE])
def test_actions_carry_each_caution(actions, caution):
    assert caution in words(actions)


def test_actions_without_a_turn_say_so(story, actions):
    within = tuple(replace(s, verdict=Verdict.IN) for s in story.advice.state)
    quiet = replace(story, advice=replace(story.advice, moves=(), state=within))
    said = "Nothing to turn: every station was left within its tolerance."

    assert (said in words(actions_pdf(quiet, Paper.A4, CLOCK)), said in words(actions)) == (
        True,
        False,
    )


@pytest.mark.parametrize("make", [passport_pdf, actions_pdf])
def test_bare_table_number_is_printed_in_groups(story, make):
    """A valid number: ISO/IEC 7064, MOD 97-10."""
    bare = replace(story, table=replace(story.table, number="120792937"))

    said = words(make(bare, Paper.A4, CLOCK))
    assert ("120 7929 37" in said, "120792937" in said) == (True, False)


def test_actions_name_what_waits_and_what_to_bring(actions):
    said = words(actions)

    assert "Waiting: no turns are printed for these" in said
    assert "B5 hollow, found: two boxes are marked" in said
    assert "two spanners for bracket nuts (5/16-18 UNC)" in said


def letter_sizes(pdf: bytes) -> list[float]:
    """Size of each printed letter as it stands on the paper [pt]."""
    sizes = []
    for page in pypdfium2.PdfDocument(BytesIO(pdf)):
        text, turned = page.get_textpage(), pypdfium2.raw.FS_MATRIX()
        for index in range(text.count_chars()):
            if pypdfium2.raw.FPDFText_GetUnicode(text, index) > 32:
                pypdfium2.raw.FPDFText_GetMatrix(text, index, turned)
                size = pypdfium2.raw.FPDFText_GetFontSize(text, index)
                sizes.append(size * (turned.c**2 + turned.d**2) ** 0.5)
    return sizes


def test_paper_prints_nothing_smaller_than_seven_points(printed):
    """Nothing under 7 pt."""
    assert min(letter_sizes(printed)) >= 6.99


LABEL = Label(
    "401 2734 56", "Long table", "HTTPS://CARE.EXAMPLE.ORG/T/7ZK2M04QX9RJ1B5T",
    "https://care.example.org/T/7ZK2M04QX9RJ1B5T", "+1 555 010 0199",
)  # fmt: skip
OFFLINE = Label(
    "401 2734 56", "Long table", care_code_text("401 2734 56", None, None, "+1 555 010 0199")
)


@pytest.mark.parametrize("sheet", list(LabelSheet))
def test_label_sheet_lies_inside_its_paper(sheet):
    geometry = sheet.value
    x, y = geometry.corner(geometry.places)

    over = (x + geometry.width - geometry.sheet_width, y + geometry.height - geometry.sheet_height)
    margins = (geometry.sheet_width - x - geometry.width - geometry.left,)
    assert (max(over) <= 0, margins) == (True, pytest.approx((0,), abs=0.01))


@pytest.mark.parametrize(
    ("sheet", "labels"),
    [(LabelSheet.A4_8, 8), (LabelSheet.LETTER_6, 6), (LabelSheet.SINGLE, 1)],
)
def test_full_label_sheet_is_one_page_and_each_code_is_read(sheet, labels):
    many = [LABEL, OFFLINE] * 4
    pdf = label_pdf(many[:labels], sheet, CLOCK)

    read = zxingcpp.read_barcodes(np.array(picture(pdf)))
    assert (len(pages(pdf)), sorted(r.text for r in read)) == (
        1, sorted(label.code for label in many[:labels]),
    )  # fmt: skip


@pytest.mark.parametrize("sheet", list(LabelSheet))
@pytest.mark.parametrize("label", [LABEL, OFFLINE])
def test_code_on_a_label_is_at_least_thirty_millimetres_with_white_around(sheet, label):
    pdf = label_pdf([label], sheet, CLOCK)
    grey = np.array(picture(pdf))
    corner = zxingcpp.read_barcodes(grey)[0].position

    side_mm = (corner.top_right.x - corner.top_left.x) / 300 * 25.4
    left_mm = corner.top_left.x / 300 * 25.4 - sheet.value.left
    assert (side_mm >= 30, left_mm >= 4 * 1.0) == (True, True)


def test_label_starts_where_it_is_told(story):
    pdf = label_pdf([LABEL], LabelSheet.A4_8, CLOCK, start=4)
    corner = zxingcpp.read_barcodes(np.array(picture(pdf)))[0].position.top_left

    x, y = LabelSheet.A4_8.value.corner(4)
    mm = (corner.x / 300 * 25.4 - x, corner.y / 300 * 25.4 - y)
    assert (0 < mm[0] < 15, 0 < mm[1] < 20) == (True, True)


def test_labels_run_on_to_a_second_sheet():
    assert len(pages(label_pdf([LABEL] * 3, LabelSheet.LETTER_6, CLOCK, start=5))) == 2


def test_label_says_number_address_and_telephone():
    said = words(label_pdf([LABEL], LabelSheet.SINGLE, CLOCK))

    assert said.replace("- ", "-").replace("/T/ ", "/T/") == (
        "401 2734 56 Long table Scan for how to care for this table "
        "https://care.example.org/T/7ZK2M04QX9RJ1B5T Office +1 555 010 0199 "
        "End A: look along the board from here."
    )


def test_same_labels_and_clock_give_the_same_bytes():
    assert label_pdf([LABEL], LabelSheet.A4_8, CLOCK) == label_pdf([LABEL], LabelSheet.A4_8, CLOCK)


def test_label_uses_only_our_own_typeface():
    assert {name for name, _ in fonts(label_pdf([LABEL], LabelSheet.A4_8, CLOCK))} <= {
        "Form",
        "Inter",
    }


def test_position_that_a_label_sheet_lacks_is_refused():
    with pytest.raises(StartOutsideSheet) as error:
        label_pdf([LABEL], LabelSheet.A4_8, CLOCK, start=9)

    assert str(error.value) == (
        "The first label was to go to position 9; this sheet has positions 1 to 8, counted along "
        "the rows. Give one of these."
    )


def test_label_sheet_without_a_table_is_refused():
    with pytest.raises(NoLabels) as error:
        label_pdf([], LabelSheet.A4_8, CLOCK)

    assert str(error.value) == ("No table was given to print labels for. Name at least one table.")
