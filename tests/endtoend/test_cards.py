"""Check cards: four to a sheet, cut apart, filled, photographed alone, read and filed."""

from dataclasses import replace
from datetime import UTC, date, datetime
from io import BytesIO
from pathlib import Path
from random import Random

import numpy as np
import pikepdf
import pypdfium2
import pytest
import zxingcpp

from forms.cutting import print_cards as on_sheets
from forms.field import boxes_of
from forms.marks import page_code_text
from forms.misfits import NothingToPrint
from forms.numbers import FormNumber
from forms.paper import Card, Paper
from passport.demo import paper as booth
from passport.demo.tour import INVENTED, differences
from passport.office import Office, open_store
from passport.office.copies import PrintedCopies, print_cards
from passport.office.filed import beside
from passport.office.intake import intake
from passport.office.printing import PrintedForm
from passport.office.registering import register
from passport.settings import Settings
from passport.visits import card
from tests.measuring import MM_PER_PT, sheets

DAY = date(2026, 3, 2)
NOW = datetime(2026, 3, 2, 18, tzinfo=UTC)


class Room:
    """An office and the cards that it printed for one table, on each paper."""

    def __init__(self, folder: Path, paper: Paper):
        self.office = Office(
            open_store(folder / "home"),
            Settings(phone="555-0100", technicians=("AB", "CD")),
            now=lambda: NOW,
            bits=Random(11).getrandbits,
        )
        self.table = register(self.office, INVENTED / "long.toml").table
        self.cards = print_cards(self.office, self.table.number, paper, copies=5)


@pytest.fixture(scope="module", params=list(Paper), ids=lambda paper: paper.name)
def room(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Room:
    return Room(tmp_path_factory.mktemp("cards"), request.param)


def cut(cards: PrintedCopies, at: int) -> PrintedForm:
    """Cut one card out of its sheet, front and back, as scissors along the dashed lines do."""
    layout = cards.layouts[at]
    width, height = layout.pages[0].width / MM_PER_PT, layout.pages[0].height / MM_PER_PT
    across, down = at % 4 % 2, at % 4 // 2
    with pikepdf.open(BytesIO(cards.pdf)) as pdf, pikepdf.new() as card_pdf, BytesIO() as written:
        for side, page in enumerate(pdf.pages[at // 4 * 2 :][:2]):
            _, _, wide, high = map(float, page.mediabox)
            x = wide / 2 - (width if (across == 0) is (side == 0) else 0)
            y = high / 2 - (height if down else 0)
            page.mediabox = page.cropbox = [x, y, x + width, y + height]
            card_pdf.pages.append(page)
        card_pdf.save(written)
        return PrintedForm(written.getvalue(), layout)


def test_sheet_lies_on_its_side_and_holds_fronts_then_backs(room):
    with pypdfium2.PdfDocument(room.cards.pdf) as pdf:
        sizes = [tuple(round(side * MM_PER_PT, 1) for side in page.get_size()) for page in pdf]
        said = [page.get_textpage().get_text_bounded() for page in pdf]

    assert sizes in ([(297.0, 210.0)] * 4, [(279.4, 215.9)] * 4)
    assert [text.count("We stopped playing") for text in said] == [4, 0, 1, 0]


def test_each_card_has_its_own_code_in_front_and_the_same_number_on_its_back(room):
    for at, layout in enumerate(room.cards.layouts):
        with pypdfium2.PdfDocument(cut(room.cards, at).pdf) as pdf:
            codes = [
                zxingcpp.read_barcodes(page.render(scale=3).to_numpy())[0].text for page in pdf
            ]
        number = FormNumber.parse(layout.form)
        assert codes == [page_code_text(number, 1), page_code_text(number, 2)]


def test_boxes_of_all_four_cards_are_drawn_where_their_layouts_say(room):
    front, page = sheets(room.cards.pdf)[0], room.cards.layouts[0].pages[0]
    drawn = np.array(front.rectangles)
    middle, half = front.width / 2, front.height / 2

    for left, top in ((middle - page.width, half - page.height), (middle, half - page.height),
                      (middle - page.width, half), (middle, half)):  # fmt: skip
        for box in (box for field in page.fields for box in boxes_of(field)):
            x, y = box.x + left, box.y + top
            asked = np.array((x, y, x + box.width, y + box.height))
            assert np.abs(drawn - asked).max(axis=1).min() < 0.05


def test_tags_of_a_sheet_have_a_section_for_every_card_and_every_mark_an_element(room):
    with pikepdf.open(BytesIO(room.cards.pdf)) as pdf:
        sections = list(pdf.Root.StructTreeRoot.K[0].K)
        owned = dict(zip(*[iter(pdf.Root.StructTreeRoot.ParentTree.Nums)] * 2, strict=True))
        for page in pdf.pages:
            marks = [
                int(one.operands[1].MCID)
                for one in pikepdf.parse_content_stream(page)
                if str(one.operator) == "BDC"
            ]
            elements = owned[int(page.obj.StructParents)]
            assert marks == list(range(len(elements)))
            assert [int(element.K[0]) for element in elements] == marks
    assert len(sections) == 2 * 5


def test_cut_out_card_is_filled_photographed_read_and_filed_as_it_was_written(room, tmp_path):
    printed = cut(room.cards, 1)
    written = card.CheckCard(
        form=printed.layout.form, kind="card", table=room.table.number, date=DAY, drift="right",
        noise="none", bare=frozenset({"middle"}), air_humidity_pct=41.0,
    )  # fmt: skip
    answers = card.answers(written, printed_on=DAY)
    photos = booth.take(printed, answers, booth.Sitting(23), tmp_path / "card")
    list(intake(room.office, photos))

    wrong = list(differences(booth.meant(printed.layout, answers),
                             room.office.store.readings(printed.layout.form)))  # fmt: skip
    (filed,) = beside(room.office, room.table)
    assert wrong == []
    assert replace(filed.record, doubts=()) == replace(
        written,
        air_humidity_pct=filed.record.air_humidity_pct,
        date=filed.record.date,
    )
    assert filed.record.date in (None, DAY)
    assert filed.record.air_humidity_pct in (None, 41.0)
    assert filed.record.missing_pages == ()


def test_cards_of_no_copies_are_refused():
    with pytest.raises(NothingToPrint):
        on_sheets((), Paper.A4, NOW)


def test_card_stands_on_the_card_of_its_paper(room):
    page = room.cards.layouts[0].pages[0]

    assert (page.width, page.height) in [(one.width, one.height) for one in Card]
