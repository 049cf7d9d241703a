import csv
import hashlib
import io
import json
from decimal import Decimal

import pytest

from passport.records import Decision, export_csv, export_events_csv, export_json
from passport.records.export import cell
from scan.reading import Reading, Status, Why


@pytest.fixture
def filled(store, photo_of, at):
    """Fill a store with a page of every kind of value, a care token and an answer."""
    readings = {
        "a": Reading(Status.SURE, -3, 0.99),
        "b": Reading(Status.SURE, "+", 0.99),
        "c": Reading(Status.SURE, Decimal("-4.50"), 0.99),
        "d": Reading(Status.DOUBTFUL, True, 0.5, Why.FAINT),
        "e": Reading(Status.EMPTY, None, 0.99),
        "f": Reading(Status.SURE, "=HYPERLINK(1)", 0.99),
    }
    store.record_photo(*photo_of("a", 1, **readings), at)
    store.issue_care_token("123456789", "TOKEN", at)
    store.settle("8ZK3", "count1", 2, Decision("A. Clerk", "seen"), at)
    return store


def text_of(export, store):
    out = io.StringIO(newline="")
    export(store, out)
    return out.getvalue()


def test_readings_come_one_a_line(filled):
    assert text_of(export_csv, filled).split("\r\n") == [
        "table,form,kind,printed_on,state,field,status,value,confidence,why",
        "123456789,8ZK3,service,2026-11-20,partly in,a,sure,-3,0.99,",
        "123456789,8ZK3,service,2026-11-20,partly in,b,sure,'+,0.99,",
        "123456789,8ZK3,service,2026-11-20,partly in,c,sure,-4.50,0.99,",
        "123456789,8ZK3,service,2026-11-20,partly in,count1,sure,2,1.0,",
        "123456789,8ZK3,service,2026-11-20,partly in,d,doubtful,true,0.5,faint",
        "123456789,8ZK3,service,2026-11-20,partly in,e,empty,,0.99,",
        "123456789,8ZK3,service,2026-11-20,partly in,f,sure,'=HYPERLINK(1),0.99,",
        "",
    ]


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r", "\n"])
def test_a_text_never_starts_a_formula(start):
    """OWASP, "CSV Injection": the characters that make a spreadsheet calculate."""
    assert cell(f"{start}1") == f"'{start}1"


@pytest.mark.parametrize("value", [-1, Decimal("-1.50"), 0, -0.5, "1-2", ""])
def test_a_number_and_a_plain_text_stay_as_they_are(value):
    assert cell(value) is value


def test_the_chain_can_be_recomputed_from_the_export(filled):
    """The recipe as it is documented, written anew with the standard library."""
    exported = json.loads(text_of(export_json, filled))

    previous = "0" * 64
    for event in exported["events"]:
        record = {key: event[key] for key in ("at", "body", "kind", "seq", "subject")}
        text = json.dumps(record, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
        assert event["previous"] == previous
        previous = hashlib.sha256((previous + text).encode()).hexdigest()
        assert event["hash"] == previous
    assert previous == filled.head().hash


def test_the_json_export_holds_each_form_with_its_readings(filled):
    exported = json.loads(text_of(export_json, filled))

    assert exported["export"] == 1
    [form] = exported["forms"]
    assert (form["form"], form["state"], form["missing"]) == ("8ZK3", "partly in", [2])
    assert form["readings"]["c"] == {
        "confidence": "0.99", "status": "sure", "value": {"decimal": "-4.50"}
    }  # fmt: skip


def test_events_come_one_a_line(filled):
    rows = list(csv.DictReader(io.StringIO(text_of(export_events_csv, filled))))

    assert [row["kind"] for row in rows] == [event.kind for event in filled.events()]
    assert [json.loads(row["body"]) for row in rows] == [event.body for event in filled.events()]


@pytest.mark.parametrize("export", [export_json, export_csv, export_events_csv])
def test_no_private_text_leaves_with_an_export(filled, export):
    text = text_of(export, filled)

    assert "TOKEN" not in text
    assert "A. Clerk" not in text


def test_an_export_of_an_empty_store_is_whole(store, home, tmp_path):
    with type(store).open(tmp_path / "other") as empty:
        assert json.loads(text_of(export_json, empty)) == {"export": 1, "events": [], "forms": []}
