"""What every writer of the promise runs works on: one table, one form, any number of photos."""

import hashlib
import os
import runpy
import shutil
import tempfile
from datetime import UTC, date, datetime
from pathlib import Path

from forms.field import Box, Note, Tick
from forms.layout import Code, Layout, Page
from passport.records import Event, EventKind, Store
from passport.records.errors import PassportError
from scan.reading import PageReading, PhotoReading, Reading, Status

TABLE, FORM = "123456789", "8ZK3"
AT = datetime(2026, 11, 24, 12, 0, tzinfo=UTC)
FIELDS = (Tick("ok", "OK", Box(8, 50, 5, 5)), Note("notes", "Notes", Box(8, 60, 100, 30)))

SERVER = runpy.run_path(str(Path(__file__).parents[1] / "server.py"))
ADDRESS = os.environ.get("TABLE_PASSPORT_TEST_RUN_ON")  # a server, or nothing for SQLite
open_store = Store.open


def open_there(home: Path, **options: object) -> Store:
    """Open a home's store on the server that this run is for."""
    return open_store(home, database=SERVER["address_of"](home, ADDRESS), **options)


if ADDRESS:
    Store.open = open_there


def begin_like(template: Path, home: Path) -> None:
    """Make one more store that has its table and its form."""
    if ADDRESS:
        begin(home)
    else:
        shutil.copytree(template, home)


def layout() -> Layout:
    """Two pages with the same two kinds of field."""
    pages = []
    for number in (1, 2):
        own = tuple(type(one)(f"{one.id}{number}", *list(vars(one).values())[1:]) for one in FIELDS)
        code = Code(f"{FORM}/{number}", Box(180, 8, 24, 24))
        pages.append(Page(number, 215.9, 279.4, code, (), own))
    return Layout(FORM, "service", TABLE, tuple(pages))


def begin(home: Path) -> None:
    """Make the store, with its table and its form."""
    with Store.open(home) as store:
        store.register(TABLE, {"name": "Invented one", "length": "22 ft"}, AT)
        store.print_form(layout(), date(2026, 11, 20), AT)


def take_in(store: Store, name: str, at: datetime = AT) -> str:
    """Take in a file of two pages, with a cut-out each; acknowledged when this returns its hash."""
    content = b"%PDF-1.7 " + name.encode() * 500
    digest = hashlib.sha256(content).hexdigest()
    with tempfile.TemporaryDirectory() as folder:
        pages = tuple(_page(name, number, Path(folder)) for number in (1, 2))
        store.record_photo(PhotoReading(name, digest, pages), content, at, Path(folder))
    return digest


def _page(name: str, number: int, crops: Path) -> PageReading:
    (crops / f"{number}.png").write_bytes(f"\x89PNG note {number} of {name}".encode())
    note = Reading(Status.SURE, None, 0.99, crop=f"{number}.png", ink=True)
    readings = {f"ok{number}": Reading(Status.SURE, True, 0.999), f"notes{number}": note}
    return PageReading(FORM, number, readings)


def reads(store: Store, digest: str) -> list[Event]:
    """Find the records of one photo's pages."""
    return [
        one
        for one in store.events(FORM)
        if one.kind is EventKind.PAGE_READ and one.body["photo"] == digest
    ]


def broken_promises(home: Path, acknowledged: list[str], maybe: list[str]) -> list[str]:
    """Say which promises a store breaks after whatever was done to it.

    ``maybe`` are photos that were on their way: there whole, or not at all.
    """
    try:
        with Store.open(home) as store:
            found = [*_lost(store, acknowledged), *_torn(store, [*acknowledged, *maybe])]
            return [*found, *_files(store), *_projections(store)]
    except PassportError as error:
        return [f"damaged: {error}"]


def _lost(store: Store, acknowledged: list[str]) -> list[str]:
    return [f"lost: {one[:8]}" for one in acknowledged if not reads(store, one)]


def _torn(store: Store, named: list[str]) -> list[str]:
    counts = {one: len(reads(store, one)) for one in named}
    return [f"torn or doubled: {one[:8]} {n} pages" for one, n in counts.items() if n not in (0, 2)]


def _files(store: Store) -> list[str]:
    photos = [f"no photo: {one[:8]}" for one in store.lost_photos()]
    notes = [one for one in store.form(FORM).readings.values() if one.crop is not None]
    crops = [f"no cut-out: {one.crop}" for one in notes if one.crop not in store.crops.names()]
    altered = [*store.photos.altered(), *store.crops.altered()]
    return [*photos, *crops, *(f"altered: {one}" for one in altered)]


def _projections(store: Store) -> list[str]:
    store.verify()
    before = (store.forms(), store.doubts())
    store.rebuild()
    return [] if before == (store.forms(), store.doubts()) else ["projections differ"]
