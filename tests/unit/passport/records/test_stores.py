"""The committed stores of this and earlier versions, read with today's program."""

import json
import runpy
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy.exc import IntegrityError

from passport.records import EventKind, Store
from passport.records.schema import HEAD_REVISION

STORES = Path(__file__).parents[3] / "stores"
VERSIONS = sorted(STORES.glob("v*.sql"))
TODAY = STORES / f"v{int(HEAD_REVISION)}.sql"


@pytest.fixture(params=VERSIONS, ids=lambda path: path.stem)
def old(request, tmp_path):
    """Give a home with a committed store in it, and what stands beside that store."""
    with closing(sqlite3.connect(tmp_path / "store.sqlite")) as raw:
        raw.executescript(request.param.read_text())
    return tmp_path, json.loads(request.param.with_suffix(".json").read_text())


def table_facts(store, table):
    return {
        "description": table.description,
        "registered": table.registered,
        "described": table.described,
        "closed_actions": {one.action: one.result.value for one in table.closed_actions},
        "care_token": store.care_token(table.number),
    }


def form_facts(form):
    return {
        "table": form.table,
        "printed_on": form.printed_on.isoformat() if form.printed_on else None,
        "described": form.described,
        "state": form.state.value,
        "pages_in": list(form.pages_in),
        "missing": list(form.missing),
        "optional": list(form.optional),
        "conflicts": [list(one) for one in form.conflicts],
        "readings": {
            name: f"{one.status.value} {one.value}" for name, one in form.readings.items()
        },
    }


def test_the_chain_of_a_committed_store_is_whole(old):
    home, stated = old

    with Store.open(home) as store:
        verified = store.verify()

    assert (verified.events, verified.removed) == (stated["events"], stated["removed"])


def test_opening_a_committed_store_leaves_its_head_as_it_was(old):
    home, _ = old
    with closing(sqlite3.connect(home / "store.sqlite")) as raw:
        before = raw.execute("SELECT hash FROM events ORDER BY seq DESC").fetchone()[0]

    with Store.open(home) as store:
        assert store.head().hash == before


@pytest.mark.parametrize("anew", [False, True], ids=["as stored", "made anew"])
def test_a_committed_store_says_what_stands_beside_it(old, anew):
    home, stated = old

    with Store.open(home) as store:
        if anew:
            store.rebuild()
        found = {
            "events": store.head().seq,
            "removed": store.verify().removed,
            "tables": {one.number: table_facts(store, one) for one in store.tables()},
            "forms": {one.number: form_facts(one) for one in store.forms()},
            "doubts": [[one.form, one.page, one.field] for one in store.doubts()],
        }

    assert found == stated


def test_the_layouts_of_a_committed_store_can_be_read(old):
    home, stated = old

    with Store.open(home) as store:
        pages = {form: len(store.layout_of(form).pages) for form in stated["forms"]}

    assert set(pages.values()) == {3}


def test_todays_store_is_committed_as_the_script_makes_it():
    def dump(text):
        with closing(sqlite3.connect(":memory:")) as raw:
            raw.executescript(text)
            return list(raw.iterdump())

    made = runpy.run_path(str(STORES / "make_store.py"))["sql_text"]()

    assert dump(made) == dump(TODAY.read_text())


def head_and_revision(home):
    with closing(sqlite3.connect(home / "store.sqlite")) as raw:
        head = raw.execute("SELECT hash FROM events ORDER BY seq DESC").fetchone()[0]
        return head, raw.execute("SELECT version_num FROM alembic_version").fetchone()[0]


@pytest.fixture
def first(tmp_path):
    with closing(sqlite3.connect(tmp_path / "store.sqlite")) as raw:
        raw.executescript((STORES / "v1.sql").read_text())
    return tmp_path


def test_a_migration_that_breaks_off_leaves_the_store_as_it_was(first, monkeypatch):
    def broken(_connection):
        raise RuntimeError("in the midst of it")

    before = head_and_revision(first)
    monkeypatch.setattr("passport.records.projection.rebuild", broken)

    with pytest.raises(RuntimeError):
        Store.open(first)

    assert head_and_revision(first) == before
    monkeypatch.undo()
    Store.open(first).close()
    assert head_and_revision(first) == (before[0], HEAD_REVISION)


def test_a_migration_that_touches_an_event_is_refused_by_the_database(first, monkeypatch):
    def touches(connection):
        connection.exec_driver_sql("UPDATE events SET body = body")

    before = head_and_revision(first)
    monkeypatch.setattr("passport.records.projection.rebuild", touches)

    with pytest.raises(IntegrityError, match="events can only be added to"):
        Store.open(first)

    assert head_and_revision(first) == before


def test_a_page_read_by_version_1_is_read_up_and_its_record_stays_as_it_was(first):
    with Store.open(first) as store:
        page = next(one for one in store.events("ST01") if one.kind is EventKind.PAGE_READ)
        stored = next(one for one in store.chain() if one["seq"] == page.seq)["body"]

    assert (stored["schema"], "kept" in stored) == (1, False)
    assert (page.body["schema"], page.body["kept"]) == (2, page.body["photo"])
