"""Makes the small store of today's version as SQL text: ``python tests/stores/make_store.py``.

Everything in it is invented. Times and salts are fixed, so that the text is the same every time.
"""

import hashlib
import sqlite3
import sys
import tempfile
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from pathlib import Path

from forms.field import Box, Choice, Digits, Expectation, Note, Option, Scale, Tick
from forms.layout import Code, Layout, Mark, Page
from passport.records import ActionResult, Contact, Decision, Store, TablePaper
from passport.records.schema import HEAD_REVISION
from scan.reading import PageReading, PhotoReading, Reading, Status, Why

LONG, SHORT = "100000137", "100000234"
PERSONAL = frozenset({"technician"})
CLERK = Decision("A. Clerk", "looked at the paper")
START = datetime(2026, 11, 24, 9, 0, tzinfo=UTC)


def clock() -> Iterator[datetime]:
    """Tick once a minute."""
    at = START
    while True:
        yield at
        at += timedelta(minutes=1)


def salts() -> Iterator[bytes]:
    """Count instead of drawing by chance."""
    number = 0
    while True:
        yield number.to_bytes(16, "big")
        number += 1


def layout(form: str, table: str) -> Layout:
    """Place every kind of field on two pages and a pass sheet."""
    counts = tuple(Option(n, Box(20 + 7.2 * n, 60, 5, 5), bound=n == 4) for n in range(5))
    signs = (Option("+", Box(8, 80, 5, 5)), Option("-", Box(15.2, 80, 5, 5)))
    first = (
        Tick("untouched", "OK, not touched", Box(8, 50, 5, 5)),
        Scale("count", "Count", "card", counts, Expectation(2, 0.6)),
        Choice("sign", "Sign", signs),
        Digits("tilt", "Tilt", "mm/m", tuple(Box(30 + 7 * n, 80, 6, 8) for n in range(3)), 2, 0, 9),
        Choice("technician", "Technician", (Option("AB", Box(8, 90, 5, 5)),)),
        Note("notes", "Notes", Box(8, 100, 170, 30)),
    )
    second = (Tick("locked", "Locked", Box(8, 50, 5, 5)),)
    third = (Tick("again", "Again", Box(8, 50, 5, 5)),)
    pages = enumerate((first, second, third), start=1)
    return Layout(form, "service", table, tuple(page(form, n, fields) for n, fields in pages))


def page(form: str, number: int, fields: tuple) -> Page:
    """Place fields on a page with its code and one mark."""
    code = Code(f"{form}/{number}", Box(180, 8, 24, 24))
    return Page(number, 215.9, 279.4, code, (Mark("4x4", 8, (8.0, 8.0), 10.0),), fields)


def photo(name: str, *pages: PageReading) -> tuple[PhotoReading, bytes]:
    """Stand in for a file; only its hash matters here."""
    content = b"\xff\xd8\xff" + name.encode()
    return PhotoReading(name, hashlib.sha256(content).hexdigest(), pages), content


def first_page(form: str, count: Reading) -> PageReading:
    """Read the first page, with one value that is different from photo to photo."""
    readings = {
        "untouched": Reading(Status.SURE, False, 0.9997),
        "count": count,
        "sign": Reading(Status.SURE, "-", 0.998),
        "tilt": Reading(Status.SURE, Decimal("0.40"), 0.991),
        "technician": Reading(Status.SURE, "AB", 0.997),
        "notes": Reading(Status.SURE, None, 0.999, crop="ab/note.png", ink=True),
    }
    return PageReading(form, 1, readings, 0.998, 0.12, "digits 1")


def locked(form: str, reading: Reading) -> PageReading:
    """Read the second page."""
    return PageReading(form, 2, {"locked": reading}, 1.001, 0.1, "digits 1")


def fill(store: Store) -> None:
    """Let everything happen that can happen to a store."""
    now = clock()
    fill_tables(store, now)
    fill_settled_form(store, now)
    fill_doubtful_form(store, now)
    store.add_layout(layout("EW01", "999999999"), next(now))
    store.print_form(layout("PR01", SHORT), date(2026, 11, 24), next(now))
    fill_forgotten(store, now)
    store.move(LONG, "Mill Hall", date(2026, 11, 25), Decision("A. Clerk", "sold"), next(now))
    store.paper_printed(LONG, TablePaper.PASSPORT, date(2026, 11, 25), next(now))


def fill_tables(store: Store, now: Iterator[datetime]) -> None:
    """Register two tables, change one, close an action, replace a care token."""
    store.register(LONG, {"name": "Long one", "length": "22 ft", "legs": 5}, next(now))
    short = {"name": "Short one", "length": "9 ft", "legs": 2, "build": "nine foot"}
    store.register(SHORT, short, next(now))
    store.describe(LONG, {"name": "Long one, hall", "length": "22 ft", "legs": 5}, next(now))
    store.close_action(LONG, "B3 inner nut", ActionResult.NOT_POSSIBLE, CLERK, next(now))
    store.close_action(LONG, "B3 inner nut", ActionResult.DONE, CLERK, next(now))
    store.issue_care_token(LONG, "AAAABBBBCCCCDDDD", next(now))
    store.issue_care_token(LONG, "EEEEFFFFGGGGHHHH", next(now))


def fill_settled_form(store: Store, now: Iterator[datetime]) -> None:
    """Print a form, take it in from two photos, correct an answer, close it."""
    store.print_form(layout("ST01", LONG), date(2026, 11, 20), next(now), optional_pages=(3,))
    faint = Reading(Status.DOUBTFUL, 3, 0.6, Why.FAINT)
    sure = Reading(Status.SURE, True, 0.999)
    store.record_photo(*photo("a", first_page("ST01", faint), locked("ST01", sure)), next(now))
    store.settle("ST01", "count", 4, CLERK, next(now))
    store.settle("ST01", "count", 2, CLERK, next(now))
    store.close_form("ST01", CLERK, next(now))


def fill_doubtful_form(store: Store, now: Iterator[datetime]) -> None:
    """Print a form, take in other ink twice, set one photo aside."""
    store.print_form(layout("CF01", LONG), date(2026, 11, 22), next(now), optional_pages=(3,))
    three, one, four = (Reading(Status.SURE, n, 0.99) for n in (3, 1, 4))
    outside = Reading(Status.OUTSIDE, None, 0.0)
    store.record_photo(*photo("b", first_page("CF01", three)), next(now))
    second = photo("c", first_page("CF01", one), locked("CF01", outside))
    store.record_photo(*second, next(now))
    store.record_photo(*photo("d", first_page("CF01", four)), next(now))
    store.set_aside("CF01", (second[0].sha256, 0), CLERK, next(now))


def fill_forgotten(store: Store, now: Iterator[datetime]) -> None:
    """Give contacts and forget one, print and take in a form and forget what is personal in it."""
    store.give_contact(LONG, Contact("Ann Invented", "555 0100"), next(now))
    store.give_contact(SHORT, Contact("Bob Invented", email="bob@example.org"), next(now))
    store.forget_customer(SHORT, CLERK, next(now))
    store.print_form(layout("FG01", SHORT), date(2026, 11, 23), next(now), optional_pages=(3,))
    two = Reading(Status.SURE, 2, 0.99)
    store.record_photo(*photo("e", first_page("FG01", two)), next(now))
    store.forget_form("FG01", CLERK, next(now))


def sql_text() -> str:
    """Make the store and write it as SQL text."""
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        with Store.open(home, salts=salts().__next__, personal=PERSONAL) as store:
            fill(store)
        with closing(sqlite3.connect(home / "store.sqlite")) as raw:
            return "\n".join(raw.iterdump()) + "\n"


if __name__ == "__main__":
    target = Path(__file__).with_name(f"v{int(HEAD_REVISION)}.sql")
    target.write_text(sql_text(), encoding="utf-8")
    print(f"{target.name}: {target.stat().st_size} bytes", file=sys.stderr)
