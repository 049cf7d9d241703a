"""Four check cards that nobody cut apart, scanned or photographed on one sheet: all are read."""

from pathlib import Path
from random import Random

import cv2
import numpy as np
import pypdfium2
import pytest

from forms.field import Choice
from forms.layout import Layout, Page
from forms.paper import Paper
from passport.demo.tour import INVENTED
from passport.office import Office, open_store
from passport.office.copies import PrintedCopies, print_cards
from passport.office.registering import register
from passport.settings import Settings
from scan.read import read_photo
from scan.reading import Status, Value

DPI = 250
PX = DPI / 25.4  # [px/mm]
DESK, INK, PEN_PX, ARM_MM = 70, 40, 5, 1.5


def marked(page: Page, card: int) -> dict[str, Value]:
    """One answer in each row, another on each card."""
    rows = [field for field in page.fields if isinstance(field, Choice)]
    return {row.id: row.options[card % len(row.options)].value for row in rows}


def sheet_of(cards: PrintedCopies) -> np.ndarray:  # (H, W)
    """Print the fronts and cross one box in each row of each card, with plain lines."""
    with pypdfium2.PdfDocument(cards.pdf) as pdf:
        sheet = pdf[0].render(scale=DPI / 72, grayscale=True).to_numpy().copy()
    sheet = sheet.reshape(sheet.shape[:2])
    for card, layout in enumerate(cards.layouts):
        page = layout.pages[0]
        left = sheet.shape[1] / PX / 2 - (0 if card % 2 else page.width)
        top = sheet.shape[0] / PX / 2 - (0 if card // 2 else page.height)
        answers = marked(page, card)
        for row in (field for field in page.fields if field.id in answers):
            box = next(one.box for one in row.options if one.value == answers[row.id])
            middle = np.array((left + box.x + box.width / 2, top + box.y + box.height / 2)) * PX
            for arm in (np.array((ARM_MM, ARM_MM)) * PX, np.array((ARM_MM, -ARM_MM)) * PX):
                ends = np.round((middle - arm, middle + arm)).astype(int).tolist()
                cv2.line(sheet, ends[0], ends[1], INK, PEN_PX, cv2.LINE_AA)
    return sheet


def scanned(sheet: np.ndarray) -> np.ndarray:
    return sheet


def on_its_side(sheet: np.ndarray) -> np.ndarray:
    return np.ascontiguousarray(np.rot90(sheet))


def from_a_phone(sheet: np.ndarray) -> np.ndarray:
    """Upside down on a desk, in perspective, a little blurred."""
    high, wide = sheet.shape
    paper = np.float32([(0, 0), (wide, 0), (wide, high), (0, high)])
    lies = np.float32([(wide, high - 40), (60, high), (170, 90), (wide - 120, 60)])
    onto = cv2.getPerspectiveTransform(paper, lies)
    photo = cv2.warpPerspective(sheet, onto, (wide + 60, high + 60), borderValue=DESK)
    return cv2.GaussianBlur(photo, (0, 0), 1.0)


@pytest.mark.parametrize("seen", [scanned, on_its_side, from_a_phone])
@pytest.mark.parametrize("paper", list(Paper), ids=lambda paper: paper.name)
def test_four_cards_on_one_sheet_are_all_read(tmp_path, paper, seen):
    cards = cards_in(tmp_path, paper)
    layouts: dict[str, Layout] = {layout.form: layout for layout in cards.layouts}
    path = tmp_path / "sheet.png"
    cv2.imwrite(str(path), seen(sheet_of(cards)))

    found = read_photo(path, layouts.get)

    rows = marked(cards.layouts[0].pages[0], 0)
    answered = {page.form: {row: page.fields[row].value for row in rows} for page in found.pages}
    statuses = {page.fields[row].status for page in found.pages for row in rows}
    meant = {
        layout.form: marked(layout.pages[0], card) for card, layout in enumerate(cards.layouts)
    }
    assert (answered, statuses, found.problems) == (meant, {Status.SURE}, ())


def cards_in(folder: Path, paper: Paper) -> PrintedCopies:
    office = Office(
        open_store(folder / "home"),
        Settings(phone="555-0100", technicians=("AB",)),
        bits=Random(11).getrandbits,
    )
    table = register(office, INVENTED / "long.toml").table
    return print_cards(office, table.number, paper, copies=4)
