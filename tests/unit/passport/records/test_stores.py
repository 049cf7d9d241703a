"""The committed stores of this and earlier versions, read with today's program."""

import json
import runpy
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from passport.records import Store
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
