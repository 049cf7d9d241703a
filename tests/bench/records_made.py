"""A store of any size, written in minutes: ``make(home, tables, visits)``.

Everything is invented and in the chain as the store itself writes it: the same canonical JSON,
hashes and salted private texts; ``verify`` passes. So that it takes minutes, many records go into
one transaction, their texts are put together from parts, and the rows of the projections are
written along the way. The forms have a small layout, so that the size is that of readings and not
of paper.
"""

import hmac
import json
import random
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, date, datetime, timedelta
from importlib import resources
from pathlib import Path
from typing import Any

from forms.field import Box, Tick
from forms.layout import Code, Layout, Page, to_json
from passport.records import Store
from passport.records.canonical import canonical, readings_json, sealed
from passport.records.chain import GENESIS, text_hash
from passport.records.drafts import form_draft
from passport.records.event import SCHEMAS, EventKind, utc_text
from passport.table_file import read_table
from passport.table_plain import to_plain
from scan.reading import Reading, Status

START = datetime(2016, 1, 4, 8, 0, tzinfo=UTC)
READINGS = 40
NOTED = 2000  # one table in so many has a note that waits to be read
STANDS_BYTES = 9000  # of how a table stands, packed: that of the office's own table below
BATCH = 20_000
TOWNS = ("Tarn Hollow", "Mill Reach", "Elder Quay", "Nettle Cross", "Plover End")  # invented
INVENTED = resources.files("passport") / "invented"
ROWS = {
    "events": 7, "private_texts": 3, "tables": 6, "forms": 9, "page_photos": 7, "outlooks": 8,
    "standings": 3, "kits": 4,
}  # fmt: skip
Rows = dict[str, list[tuple[Any, ...]]]


def number_of(table: int) -> str:
    """Give an invented table its number, with its check digits (ISO/IEC 7064 MOD 97-10)."""
    return f"{table:07d}{98 - table * 100 % 97:02d}"


def site_of(table: int) -> str:
    """Say where an invented table stands."""
    return f"Hall {table % 977}, {TOWNS[table % 5]}"


class Writer:
    """Writes records one after the other, each behind the hash of the one before."""

    def __init__(self) -> None:
        self.rows: Rows = {name: [] for name in ROWS}
        self.seq, self.last, self.at = 0, GENESIS, START
        self.chance = random.Random(20261124)

    def sealed(self, text: str) -> str:
        """Keep a private text; give its hash."""
        salt = self.chance.randbytes(16)
        digest = hmac.digest(salt, text.encode(), "sha256").hex()
        self.rows["private_texts"].append((digest, salt, text))
        return digest

    def add(self, kind: EventKind, subject: str, body: str) -> None:
        """Add a record whose body is written already."""
        self.seq += 1
        self.at += timedelta(seconds=31)
        row = {"at": utc_text(self.at), "body": body, "kind": kind.value, "seq": self.seq,
               "subject": subject}  # fmt: skip
        digest = text_hash(self.last, row)
        self.rows["events"].append(
            (self.seq, row["at"], row["kind"], subject, body, self.last, digest)
        )
        self.last = digest


class Bodies:
    """The bodies of three kinds of record, in parts; whole ones are written by the store's code."""

    def __init__(self, chance: random.Random):
        plain = to_plain(read_table((INVENTED / "short.toml").read_text(), "short", "NUMBER"))
        described = {**plain, "name": "NAME", "site": {"private": "SITE"}}
        self.kit = plain["kit"]["name"]
        self.described = canonical({"description": described, "schema": 1})
        page = Page(
            1, 210, 297, Code("F/1", Box(0, 0, 9, 9)), (), (Tick("t", "T", Box(8, 50, 5, 5)),)
        )
        layout = Layout("FORM", "service", "NUMBER", (page,))
        self.layout = json.dumps(to_json(layout), ensure_ascii=False, separators=(",", ":"))
        draft = form_draft(EventKind.FORM_PRINTED, layout, (), START)
        body, _ = sealed({**draft.body, "printed_on": "DAY", "described": 1, "schema": 1}, bytes)
        body["layout"] = {"private": "LAYOUT"}
        self.printed = canonical(body)
        self.pages = [_page(chance) for _ in range(500)]


def _page(chance: random.Random) -> str:
    found = {
        f"station{n}.count": Reading(Status.SURE, chance.randrange(9), 0.9987)
        for n in range(READINGS)
    }
    return canonical({
        "page": 1, "photo": "PHOTO", "kept": "PHOTO", "position": 0, "left_out": 0,
        "readings": readings_json(found), "model": "digits 1", "scale": "1.0",
        "residual_mm": "0.1", "schema": SCHEMAS[EventKind.PAGE_READ],
    })  # fmt: skip


def describe(writer: Writer, bodies: Bodies, table: int) -> None:
    """Register a table."""
    number, name, site = number_of(table), f"Table {table}", site_of(table)
    body = bodies.described.replace("NUMBER", number).replace("NAME", name)
    body = body.replace("SITE", writer.sealed(site))
    writer.add(EventKind.TABLE_DESCRIBED, number, body)
    folded = f"{number} {name} {site}".casefold()
    writer.rows["tables"].append((number, writer.seq, writer.seq, name, site, folded))
    writer.rows["kits"].append((bodies.kit, "", "", number))


def visit(writer: Writer, bodies: Bodies, table: int, turn: int) -> None:
    """Print a form and take its page in."""
    number, form = number_of(table), f"F{table:07d}V{turn:03d}"
    day = writer.at.date().isoformat()
    layout = writer.sealed(bodies.layout.replace("NUMBER", number).replace("FORM", form))
    body = bodies.printed.replace("NUMBER", number).replace("LAYOUT", layout).replace("DAY", day)
    writer.add(EventKind.FORM_PRINTED, form, body)
    writer.rows["forms"].append(
        (form, number, "service", "settled", day, writer.seq, writer.seq + 1, 1, "[]")
    )
    photo = writer.chance.randbytes(32).hex()
    page = bodies.pages[writer.chance.randrange(len(bodies.pages))].replace("PHOTO", photo)
    writer.add(EventKind.PAGE_READ, form, page)
    writer.rows["page_photos"].append((photo, 0, form, 1, 0, photo, 0))


def make(home: Path, count: int, visits: int) -> None:
    """Write the whole store: all tables registered, then visited year after year."""
    Store.open(home).close()
    writer = Writer()
    bodies = Bodies(writer.chance)
    with closing(sqlite3.connect(home / "store.sqlite", isolation_level=None)) as raw:
        for pragma in ("cache_size=-2000000", "synchronous=OFF", "temp_store=MEMORY"):
            raw.execute(f"PRAGMA {pragma}")
        for place in range(count):
            describe(writer, bodies, place)
        for place in range(count * visits):
            visit(writer, bodies, place % count, place // count)
            if place % BATCH == 0:
                write(raw, writer.rows)
        writer.rows["outlooks"] += reckoned(count, visits, writer.seq)
        for place in range(count):
            stands = (number_of(place), "another", writer.chance.randbytes(STANDS_BYTES))
            writer.rows["standings"].append(stands)
            if place % BATCH == 0:
                write(raw, writer.rows)
        write(raw, writer.rows)


def reckoned(count: int, visits: int, seq: int) -> Iterator[tuple[Any, ...]]:
    """Say when each table is due, as an office would have reckoned it today."""
    today = date.today()
    for table in range(count):
        notes = [f"F{table:07d}V000"] if table % NOTED == 1 else []
        why = "Two to three months of average use."
        body = canonical({"visits": visits, "why": why, "notes": notes, "again": []})
        due = today + timedelta(days=table % 365)
        yield (number_of(table), seq, 0, int(table % 1000 != 0), due.isoformat(), body,
               today.isoformat(), len(notes))  # fmt: skip


def write(raw: sqlite3.Connection, waiting: Rows) -> None:
    """Write what waits, in one transaction."""
    raw.execute("BEGIN IMMEDIATE")
    for table, width in ROWS.items():
        places = ", ".join("?" * width)
        raw.executemany(f"INSERT INTO {table} VALUES ({places})", waiting[table])
        waiting[table].clear()
    raw.execute("COMMIT")
