"""Makes a store of any size: ``records_size.py HOME TABLES VISITS_PER_TABLE [READINGS]``.

``100000 20`` gives 100,000 tables and 2,000,000 visits. Everything in it is invented, in the chain
as the store itself writes it (the same canonical JSON, hashes and salted private texts), but many
records go into one transaction; the rows of the projections are written along the way. Forms have a
small layout, so that the size is that of readings and not of paper.

Made on two cores: 1,000 tables and 20,000 visits in 22 s, 110 MB; 10,000 and 200,000 in 260 s,
1.1 GB, with intake, due list and search as before, ``verify`` 16 s, ``backup`` 7 s. In proportion
the whole size takes about 45 minutes and 11 GB to make, 3 minutes to verify, 70 s to back up.
"""

import json
import random
import sys
import time
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import sqlalchemy as sa

from forms.field import Box, Tick
from forms.layout import Code, Layout, Page
from passport.records import Outlook, Store
from passport.records.canonical import canonical, readings_json, sealed
from passport.records.chain import text_hash
from passport.records.drafts import described, form_draft
from passport.records.event import SCHEMAS, EventKind, utc_text
from passport.records.ledger import Draft, Head, head
from passport.records.schema import (
    events,
    forms,
    outlooks,
    page_photos,
    private_texts,
    tables,
)
from scan.reading import Reading, Status

START = datetime(2016, 1, 4, 8, 0, tzinfo=UTC)
BATCH = 5_000
TOWNS = ("Tarn Hollow", "Mill Reach", "Elder Quay", "Nettle Cross", "Plover End")  # invented


def number_of(table: int) -> str:
    """Give an invented table its number; no check digits are needed here."""
    return f"{table:09d}"


def form_of(table: int, visit: int) -> str:
    """Give one of its forms a number."""
    return f"F{table:07d}V{visit:03d}"


def drafts(count: int, visits: int, readings: int) -> Iterator[Draft]:
    """Register all tables, then visit them all, year after year, as an office would."""
    chance = random.Random(20261124)
    at = START
    for table in range(count):
        at += timedelta(seconds=1)
        plain = {"name": f"Table {table}", "site": f"Hall {table % 977}, {TOWNS[table % 5]}"}
        yield Draft(
            EventKind.TABLE_DESCRIBED, number_of(table), {"description": described(plain)}, at
        )
    for visit in range(visits):
        for table in range(count):
            at += timedelta(seconds=60)
            yield printed(form_of(table, visit), number_of(table), at)
            yield page_read(form_of(table, visit), chance, readings, at)


def printed(form: str, table: str, at: datetime) -> Draft:
    """Print a form, with a small layout."""
    page = Page(
        1, 210, 297, Code(f"{form}/1", Box(0, 0, 9, 9)), (), (Tick("ok", "OK", Box(8, 50, 5, 5)),)
    )
    draft = form_draft(EventKind.FORM_PRINTED, Layout(form, "service", table, (page,)), (), at)
    body = {**draft.body, "printed_on": at.date().isoformat(), "described": 1}
    return Draft(draft.kind, draft.subject, body, at)


def page_read(form: str, chance: random.Random, readings: int, at: datetime) -> Draft:
    """Read a page with so many readings."""
    found = {
        f"station{n}.count": Reading(Status.SURE, chance.randrange(9), 0.9987)
        for n in range(readings)
    }
    digest = f"{chance.getrandbits(256):064x}"
    body: dict[str, Any] = {
        "page": 1, "photo": digest, "kept": digest, "position": 0, "left_out": 0,
        "readings": readings_json(found), "model": "digits 1", "scale": "1.0", "residual_mm": "0.1",
    }  # fmt: skip
    return Draft(EventKind.PAGE_READ, form, body, at)


def row_of(draft: Draft, last: Head, salts: random.Random) -> tuple[dict[str, Any], list[dict]]:
    """Write one record as ``ledger.append`` does."""
    exact = {**draft.body, "schema": SCHEMAS[draft.kind]}
    body, private = sealed(exact, lambda: salts.randbytes(16))
    row = {
        "at": utc_text(draft.at), "body": canonical(body), "kind": draft.kind.value,
        "seq": last.seq + 1, "subject": draft.subject, "previous": last.hash,
    }  # fmt: skip
    row["hash"] = text_hash(last.hash, row)
    return row, [{"hash": one.hash, "salt": one.salt, "text": one.text} for one in private]


def projected(row: dict[str, Any], seqs: dict[str, int]) -> list[tuple[sa.Table, dict[str, Any]]]:
    """Write the rows that the projections would have; ``seqs`` holds each table's first record."""
    body, subject = json.loads(row["body"]), row["subject"]
    match row["kind"]:
        case EventKind.TABLE_DESCRIBED:
            seqs[subject] = row["seq"]
            name = body["description"]["name"]
            table = int(subject)
            site = f"Hall {table % 977}, {TOWNS[table % 5]}"
            folded = f"{subject} {name} {site}".casefold()
            return [(tables, {
                "number": subject, "registered": row["seq"], "described": row["seq"],
                "name": name, "site": site, "folded": folded,
            })]  # fmt: skip
        case EventKind.FORM_PRINTED:
            return [(forms, {
                "number": subject, "table_number": body["table"], "kind": "service",
                "state": "settled", "printed_on": body["printed_on"], "first_event": row["seq"],
            })]  # fmt: skip
        case _:
            return [(page_photos, {
                "sha256": body["photo"], "position": 0, "form": subject, "page": 1,
                "left_out": 0, "kept": body["kept"], "forgotten": 0,
            })]  # fmt: skip


def make(home: Path, count: int, visits: int, readings: int) -> None:
    """Write the whole store."""
    salts, seqs = random.Random(1), {}
    with Store.open(home) as store:
        waiting: dict[sa.Table, list[dict]] = {}
        with store._reading() as connection:
            last = head(connection)
        for place, draft in enumerate(drafts(count, visits, readings), start=1):
            row, private = row_of(draft, last, salts)
            last = Head(row["seq"], row["hash"])
            waiting.setdefault(events, []).append(row)
            waiting.setdefault(private_texts, []).extend(private)
            for table, values in projected(row, seqs):
                waiting.setdefault(table, []).append(values)
            if place % BATCH == 0:
                write(store, waiting)
        write(store, waiting)
        write(store, {outlooks: list(reckoned(count, last.seq))})


def reckoned(count: int, seq: int) -> Iterator[dict[str, Any]]:
    """Say when each table is due, as an office would have reckoned it."""
    for table in range(count):
        due = date(2026, 1, 1) + timedelta(days=table % 365)
        yield {
            "table_number": number_of(table), "changed": seq, "stale": 0,
            "rank": int(table % 1000 != 0), "due_on": due.isoformat(), "body": "{}",
        }  # fmt: skip


def write(store: Store, waiting: dict[sa.Table, list[dict]]) -> None:
    """Write what waits, in one transaction."""
    with store._writing() as connection:
        for table in (events, private_texts, tables, forms, page_photos, outlooks):
            rows = waiting.pop(table, [])
            if rows:
                connection.execute(sa.insert(table), rows)


def seconds(step: Any, runs: int = 5) -> float:
    """Take the median time of a step."""
    took = []
    for _ in range(runs):
        start = time.perf_counter()
        step()
        took.append(time.perf_counter() - start)
    return sorted(took)[len(took) // 2]


def costs(home: Path, count: int, visits: int) -> dict[str, float]:
    """Time everything that a day at the office does, in milliseconds; the file in megabytes."""
    some = number_of(count // 2)
    with Store.open(home) as store:
        fresh = iter(range(10_000))

        def intake() -> None:
            """Print a form and record a page of 40 readings, one transaction each."""
            at = datetime.now(UTC)
            draft = printed(f"N{next(fresh):07d}", some, at)
            read = page_read(draft.subject, random.Random(at.timestamp()), 40, at)
            store.append(draft.kind, draft.subject, dict(draft.body), at)
            store.append(read.kind, read.subject, dict(read.body), at)

        found = {
            "intake": seconds(intake, 15),
            "due list": seconds(lambda: store.due(100)),
            "search": seconds(lambda: store.search("plover 976")),
            "search, nothing found": seconds(lambda: store.search("no such word")),
            "a table's forms": seconds(lambda: store.forms_of(some)),
            "to reckon": seconds(lambda: store.to_reckon(100)),
            "reckoned": seconds(lambda: store.reckoned(some, 1, Outlook(1, date(2026, 1, 1), {}))),
            "verify": seconds(store.verify, 1),
            "backup": seconds(lambda: store.backup(home.parent / "backup.zip"), 1),
        }
    (home.parent / "backup.zip").unlink()
    size = (home / "store.sqlite").stat().st_size / 1e6
    return {name: took * 1000 for name, took in found.items()} | {"MB": size}


if __name__ == "__main__":
    where, how_many = Path(sys.argv[1]), [int(one) for one in sys.argv[2:4]]
    started = time.perf_counter()
    make(where, *how_many, int((*sys.argv, "40")[4]))
    made = time.perf_counter() - started
    print(json.dumps({"made_s": made, **costs(where, *how_many)}))
