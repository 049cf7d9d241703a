"""Real photos: the report of the simulated ones on a shop's own, and that it can be trusted."""

import csv
import os
from pathlib import Path

import pytest
from reading.press import service_form
from reading.report import count, tell
from reading.sheets import take
from reading.shop import sheets_in, truth_of

from forms.layout import dumps

PHOTOS = Path(os.environ.get("TABLE_PASSPORT_PHOTOS") or Path(__file__).parents[2] / "photos")


def put(path: Path, rows: list[dict[str, object]]) -> None:
    with path.open("w", newline="") as lines:
        out = csv.DictWriter(lines, rows[0])
        out.writeheader()
        out.writerows(rows)


def in_words(meant: object) -> str:
    if isinstance(meant, bool):
        return "yes" if meant else ""
    return "" if meant is None else str(meant)


def test_photos_in_a_folder_are_reported_like_simulated_ones(tmp_path):
    taken = take(0)
    (tmp_path / "a.jpg").write_bytes(taken.photo)
    (tmp_path / "f.json").write_text(dumps(service_form().layout))
    words = ("writer", "pen", "printer", "phone", "paper", "light")
    photo = {"file": "a.jpg", "layout": "f.json", "page": taken.page, "grade": "flat_scan"}
    put(tmp_path / "photos.csv", [photo | dict.fromkeys(words, "x") | {"random": "no"}])
    rows = [
        {
            "file": "a.jpg",
            "field": name,
            "value": in_words(truth.meant),
            "slip": truth.slip,
        }
        for name, truth in taken.truth.items()
        if in_words(truth.meant) or (truth.slip and not truth.allowed)
    ]
    put(tmp_path / "written.csv", rows)

    sheets = list(sheets_in(tmp_path))

    marks = count(sheets, "flat_scan", "mark")
    assert (marks.silent, marks.asserted > 0.7 * marks.fields) == (0, True)


def test_a_row_for_a_field_that_the_page_lacks_is_refused():
    page = service_form().layout.pages[0]

    with pytest.raises(ValueError, match=r"^Page 1 has no field nonsense\.$"):
        truth_of(page, {"nonsense": {"value": "1", "slip": ""}})


@pytest.mark.long
def test_no_value_of_a_real_photo_is_misread_silently(show):
    sheets = list(sheets_in(PHOTOS))
    if not sheets:
        pytest.skip(f"There are no photos in {PHOTOS}; its README says how to add some.")
    tell(sheets, show)

    assert sum(one.silent for sheet in sheets for one in sheet.outcomes) == 0
