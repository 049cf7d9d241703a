from decimal import Decimal

from scan.output import to_json
from scan.reading import PageReading, PhotoReading, Problem, Reading, Status, Why

FIELDS = {
    "count": Reading(Status.SURE, 3, 0.9998),
    "depth": Reading(Status.SURE, Decimal("-14.70"), 0.998),
    "whole": Reading(Status.SURE, Decimal("14"), 0.998),
    "side": Reading(Status.DOUBTFUL, "left", 0.6, Why.FAINT, crop="a.png"),
    "blank": Reading(Status.EMPTY, None, 0.9999),
    "note": Reading(Status.SURE, None, 0.99, crop="n.png", ink=True),
}
PAGE = PageReading("00000000011", 1, FIELDS, None, 0.04321, "spline")
PROBLEM = Problem("form not known", "Bring it in.", 2, ("count",))


def photo() -> dict:
    return to_json([PhotoReading("a.jpg", "ab12", (PAGE,), (PROBLEM,))])["photos"][0]


def test_reading_file_has_version_file_and_hash():
    assert to_json([]) == {"reading": 1, "photos": []}
    assert (photo()["file"], photo()["sha256"]) == ("a.jpg", "ab12")


def test_fields_carry_status_value_and_confidence():
    fields = photo()["pages"][0]["fields"]

    assert fields["count"] == {"status": "sure", "value": 3, "confidence": 0.9998}
    assert fields["blank"] == {"status": "empty", "value": None, "confidence": 0.9999}


def test_doubt_says_why_and_shows_its_picture():
    assert photo()["pages"][0]["fields"]["side"] == {
        "status": "doubtful",
        "value": "left",
        "confidence": 0.6,
        "why": "faint",
        "crop": "a.png",
    }


def test_decimals_become_numbers():
    fields = photo()["pages"][0]["fields"]

    assert (fields["depth"]["value"], fields["whole"]["value"]) == (-14.7, 14)


def test_note_says_whether_there_is_ink():
    assert photo()["pages"][0]["fields"]["note"]["ink"] is True


def test_page_says_how_it_was_flattened():
    page = photo()["pages"][0]

    assert (page["scale"], page["residual_mm"], page["model"]) == (None, 0.043, "spline")


def test_problem_names_page_and_fields():
    assert photo()["problems"] == [
        {"code": "form not known", "message": "Bring it in.", "page": 2, "fields": ["count"]}
    ]
