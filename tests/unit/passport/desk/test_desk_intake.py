"""Files come in, each ends in a clear state; and whether all is there."""

import re
import socket
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import cv2
import numpy as np
import pytest

from passport.desk import forms as forms_room
from passport.office import Office
from passport.office.forms_out import rounds
from passport.office.printing import print_form
from passport.records.drafts import Decision
from scan.read import read_photo
from tests.hall import Hall

from .conftest import Clock, Visitor

pytestmark = [  # the test client leaves the temporary file of a large upload to the collector
    pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning"),
    pytest.mark.filterwarnings("ignore:unclosed file:ResourceWarning"),
]
NOTES = (b"Exif", b"GPS", b"http://ns.adobe.com")


@pytest.fixture
def number(busy: Office, hall: Hall) -> str:
    return busy.store.form(hall.form).table


def sent(*files: tuple[bytes, str]) -> dict:
    return {"files": [(BytesIO(content), name) for content, name in files]}


def bring(clerk: Visitor, *files: tuple[bytes, str]) -> str:
    answer = clerk.post("/intake", sent(*files), content_type="multipart/form-data")
    assert answer.status_code == 303
    return clerk.get("/intake").text


def paper(hall: Hall, page: int = 1) -> bytes:
    return hall.photos[page - 1].read_bytes()


def other_bytes(content: bytes) -> bytes:
    """Write the same picture into another file."""
    picture = cv2.imdecode(np.frombuffer(content, np.uint8), cv2.IMREAD_GRAYSCALE)
    return cv2.imencode(".jpg", picture, [cv2.IMWRITE_JPEG_QUALITY, 93])[1].tobytes()


def test_a_photo_that_came_before_says_so(clerk: Visitor, hall: Hall):
    assert "seen before" in bring(clerk, (paper(hall), "again.jpg"))


def test_what_is_no_picture_cannot_be_used_and_says_why(clerk: Visitor):
    page = bring(clerk, (b"plain words", "words.jpg"))

    assert "can&#39;t be used" in page
    assert "damaged or of a kind that is not known" in page


def test_many_files_at_once_end_each_in_its_own_state(clerk: Visitor, hall: Hall):
    page = bring(clerk, (b"x", "one.jpg"), (paper(hall), "two.jpg"), (b"", "three.pdf"))

    assert [page.count(name) for name in ("one.jpg", "two.jpg", "three.pdf")] == [1, 1, 1]


def test_a_new_form_is_recorded_under_its_table(hall: Hall, busy: Office, clerk: Visitor):
    page = bring(clerk, (other_bytes(paper(hall)), "page-1.jpg"))

    assert f"/forms/{hall.form}" in page


def test_what_a_file_changed_is_reckoned_once_its_answer_is_sent(
    hall: Hall, busy: Office, clerk: Visitor
):
    """No page waits for it, and neither does whoever holds the phone."""
    clerk.get("/")
    files = sent((other_bytes(paper(hall)), "page-1.jpg"))
    answer = clerk.post("/intake", files, content_type="multipart/form-data")
    waits = busy.store.to_reckon()
    answer.close()

    assert (len(waits), busy.store.to_reckon()) == (1, {})


@pytest.mark.parametrize(
    "name",
    ["../../x.jpg", "C:\\x.jpg", "a" * 300, "\u202egpj.exe", '"><img src=x>.jpg', "{{7*7}}.jpg"],
)
def test_a_files_name_touches_nothing_and_is_shown_escaped(
    clerk: Visitor, hall: Hall, name: str, tmp_path: Path
):
    before = sorted(path.name for path in hall.home.rglob("*"))
    page = bring(clerk, (b"no picture", name))

    assert "<img src=x>" not in page
    assert "49.jpg" not in page
    after = sorted(path.name for path in hall.home.rglob("*"))
    assert [one for one in after if one not in before and not one.startswith("desk.")] == []


def test_the_page_of_one_file_alone_is_given_to_the_script(clerk: Visitor):
    clerk.headers = {"X-Part": "arrivals"}
    answer = clerk.post("/intake", sent((b"x", "x.jpg")), content_type="multipart/form-data")

    assert answer.text.strip().startswith('<li class="arrival">')


def test_the_code_of_a_form_leads_to_its_camera(clerk: Visitor, hall: Hall):
    page = clerk.get(f"/F1/{hall.form}/1").text

    assert 'capture="environment"' in page
    assert "Nook Table" in page
    assert "Round of 2 March 2026: <b>2 of 3 pages</b> in" in page


def test_a_code_with_an_address_opens_nothing(busy: Office, number: str, tmp_path: Path):
    """The address is for phones: whoever reads the page never asks it, wherever it leads."""
    with socket.create_server(("127.0.0.1", 0)) as listening:
        listening.setblocking(False)
        address = f"http://127.0.0.1:{listening.getsockname()[1]}"
        elsewhere = replace(busy, settings=replace(busy.settings, desk_address=address))
        printed = print_form(elsewhere, "card", number)
        (tmp_path / "form.pdf").write_bytes(printed.pdf)
        read = read_photo(tmp_path / "form.pdf", {printed.layout.form: printed.layout}.get)

        assert {page.form for page in read.pages} == {printed.layout.form}
        with pytest.raises(BlockingIOError):
            listening.accept()


def test_a_bad_shot_says_what_to_do(clerk: Visitor, hall: Hall):
    blank = cv2.imencode(".png", np.full((800, 600), 128, np.uint8))[1].tobytes()
    page = clerk.post(
        f"/F1/{hall.form}/1", sent((blank, "x.png")), content_type="multipart/form-data"
    ).text

    assert "Not good: again, please" in page
    assert "Photograph the printed side, the whole page, flat" in page


def under_a_lamp(content: bytes) -> bytes:
    """Mirror a lamp in the middle of a photo: its light is added to paper and print."""
    picture = cv2.imdecode(np.frombuffer(content, np.uint8), cv2.IMREAD_GRAYSCALE)
    height, width = picture.shape
    ys, xs = np.ogrid[:height, :width]
    away = np.hypot(ys - height / 2, xs - width / 2) / (0.13 * height)
    lit = (picture / 255.0) ** 2.2 + np.exp(-(away**4))
    glared = (255 * np.clip(lit, 0, 1) ** (1 / 2.2)).astype(np.uint8)
    return cv2.imencode(".jpg", glared)[1].tobytes()


def test_a_shot_with_a_lamp_in_it_says_where_it_shines(clerk: Visitor, hall: Hall):
    page = clerk.post(
        f"/F1/{hall.form}/1",
        sent((under_a_lamp(paper(hall)), "x.jpg")),
        content_type="multipart/form-data",
    ).text

    assert "Good in part: again, please" in page
    assert "A lamp or window shines on the middle of page 1 and hides " in page


def test_a_good_shot_says_so(clerk: Visitor, hall: Hall):
    page = clerk.post(
        f"/F1/{hall.form}/1", sent((paper(hall), "x.jpg")), content_type="multipart/form-data"
    ).text

    assert "Good; this was in already" in page


def test_forms_out_stand_against_pages_in(busy: Office):
    found = rounds(busy)

    assert [(one.pages_in, one.pages) for one in found] == [(2, 3)]


def sums(page: str) -> dict[str, int]:
    """Read the totals of the newest round."""
    found = re.findall(r"<dt>([^<]+)</dt><dd[^>]*><b>(\d+)</b>", page)
    return {said: int(count) for said, count in found}


def without_page_2(busy: Office, hall: Hall) -> None:
    photo = next(one for one in busy.store.form(hall.form).photos if one.page == 2)
    of, why = (photo.sha256, photo.position), Decision("ann", "another visit")
    busy.store.set_aside(hall.form, of, why, busy.now())


def test_a_form_that_is_closed_counts_as_done_in_its_round(busy: Office, hall: Hall):
    busy.store.close_form(hall.form, Decision("ann", "left behind"), busy.now())

    assert [(one.done, one.printed, one.pages_in, one.pages) for one in rounds(busy)] == [
        (1, 2, 0, 1)
    ]


def test_each_round_has_its_totals_and_names_the_missing_pages(
    clerk: Visitor, busy: Office, hall: Hall
):
    whole = clerk.get("/forms").text
    without_page_2(busy, hall)
    half = clerk.get("/forms").text

    assert "<b>2</b> of 3</dd>" in whole
    assert sums(whole) == {
        **{"Forms done": 0, "Pages of the others in": 2, "Missing": 1, "Forms out": 1},
        **{"Incomplete": 0, "All in, with doubts": 1},
    }
    assert sums(half) == {
        **{"Forms done": 0, "Pages of the others in": 1, "Missing": 2, "Forms out": 1},
        **{"Incomplete": 1, "All in, with doubts": 0},
    }
    assert (">page 1</td>" in whole, ">page 2</td>" in half) == (True, True)


def test_rounds_come_some_at_a_time_each_whole(
    clerk: Visitor, busy: Office, clock: Clock, monkeypatch
):
    clock.wait(days=1)
    clerk.sign_in("some-clerk")
    print_form(busy, "card", busy.store.tables()[0].number)
    monkeypatch.setattr(forms_room, "MOST", 1)
    newest, older = clerk.get("/forms").text, clerk.get("/forms?skip=1").text

    assert [page.count("Round of") for page in (newest, older)] == [1, 1]
    assert ("Earlier rounds" in newest, "Earlier rounds" in older) == (True, False)
    assert sums(older)["Forms out"] == 1


def test_an_incomplete_form_shows_its_sure_values_and_what_waits_for_it(
    clerk: Visitor, busy: Office, hall: Hall
):
    without_page_2(busy, hall)
    page = clerk.get(f"/forms/{hall.form}").text

    assert re.search(r"L1 found</th>\s*<td><a [^>]*>−4 cards</a>", page)
    assert "Next actions wait until the missing page comes in" in page


def test_actions_are_not_printed_until_the_form_is_complete_or_closed(
    clerk: Visitor, busy: Office, hall: Hall
):
    without_page_2(busy, hall)
    path, what = f"/tables/{busy.store.form(hall.form).table}/print", {"what": "actions"}
    refused = clerk.post(path, what)
    clerk.post(f"/forms/{hall.form}/close", {"why": "the page is lost"})

    assert (refused.status_code, "pages are missing: 2" in refused.text) == (400, True)
    assert clerk.post(path, what).mimetype == "application/pdf"


def test_a_form_out_for_too_long_is_asked_after(clerk: Visitor, clock: Clock):
    early = clerk.get("/forms").text
    clock.wait(days=22)
    clerk.sign_in("some-clerk")
    late = clerk.get("/forms").text

    assert ("ask after it" in early, "Out for too long" in sums(early)) == (False, False)
    assert late.count("out for 22 days: ask after it") == sums(late)["Out for too long"] == 1


def test_a_form_is_closed_with_a_reason(clerk: Visitor, busy: Office):
    form = print_form(busy, "card", busy.store.tables()[0].number).layout.form
    refused = clerk.post(f"/forms/{form}/close", {"why": " "})
    clerk.post(f"/forms/{form}/close", {"why": "lost on the way"})

    assert "a reason is needed" in refused.text
    assert busy.store.form(form).closed


def test_pictures_are_for_whoever_is_signed_in(busy: Office, clerk: Visitor, hall: Hall):
    photo = busy.store.form(hall.form).photos[0]
    path = f"/pictures/{hall.form}/{photo.sha256}/{photo.position}/page.jpg"
    shown = clerk.get(path)
    clerk.post("/sign-out")

    assert (shown.mimetype, clerk.get(path).status_code) == ("image/jpeg", 302)


def test_pictures_are_made_anew_without_a_cameras_notes(busy: Office, clerk: Visitor, hall: Hall):
    photo = busy.store.form(hall.form).photos[0]
    for name in ("near", "page", "photo"):
        path = f"/pictures/{hall.form}/{photo.sha256}/{photo.position}/{name}.jpg"
        shown = clerk.get(path, query_string={"field": "B1.pass1.found"})
        assert shown.data[:3] == b"\xff\xd8\xff"
        assert not [
            note for note in (b"Exif", b"GPS", b"http://ns.adobe.com") if note in shown.data
        ]
        assert shown.headers["Content-Disposition"] == 'inline; filename="picture.jpg"'


def test_a_photo_is_shown_only_under_its_own_form(busy: Office, clerk: Visitor, hall: Hall):
    photo = busy.store.form(hall.form).photos[0]
    other = next(one for one in busy.store.forms() if one.number != hall.form)

    assert clerk.get(f"/pictures/{other.number}/{photo.sha256}/0/page.jpg").status_code == 400
