"""An invented table, its form on two pages, and photos of it; on both databases."""

import hashlib
import inspect
import runpy
from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
import sqlalchemy as sa

from forms.field import Box, Option, Scale, Tick
from forms.layout import Code, Layout, Mark, Page
from passport.records import Store
from passport.records.folder_shelf import FolderShelf
from passport.records.schema import kept_files
from passport.records.shelf import Shelf
from scan.reading import PageReading, PhotoReading, Reading

TABLE, FORM = "123456789", "8ZK3"
Photo = tuple[PhotoReading, bytes]
SERVER = runpy.run_path(str(Path(__file__).with_name("server.py")))
ON_BOTH = {"test_store", "test_intake", "test_book", "test_forgetting", "test_archive", "test_find"}
FILES_OWN = ("sqlite", "tamper(", "PRAGMA", "subprocess", "at_once", "everywhere(", "backup")


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Run the tests of the store on both databases, but for those about SQLite's own file."""
    text = inspect.getsource(metafunc.function) + str(metafunc.fixturenames)
    module = metafunc.module.__name__.rpartition(".")[2]
    if module in ON_BOTH and not any(word in text for word in FILES_OWN):
        metafunc.parametrize("database", ["sqlite", "postgresql"], indirect=True)


@pytest.fixture(scope="session")
def server() -> str:
    address = SERVER["started"]()
    if address is None:
        pytest.skip("only root may start a server here: the store was not tested on PostgreSQL")
    return address


@pytest.fixture(autouse=True)
def database(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    """Open every store of a test on one database or the other."""
    where = getattr(request, "param", "sqlite")
    if where == "sqlite":
        yield where
        return
    server, homes, opened = request.getfixturevalue("server"), set(), Store.open

    def open_there(home: Path, **options: object) -> Store:
        homes.add(home)
        return opened(home, database=SERVER["address_of"](home, server), **options)

    monkeypatch.setattr(Store, "open", open_there)
    yield where
    for home in homes:
        SERVER["dropped"](home, server)


@pytest.fixture
def spoil() -> Callable[[Shelf, str], None]:
    """Put other bytes in a kept file's place, wherever it stands."""

    def spoil(shelf: Shelf, digest: str) -> None:
        if isinstance(shelf, FolderShelf):
            shelf.path(digest).write_bytes(b"")
        else:
            mine = sa.update(kept_files).where(kept_files.c.hash == digest)
            shelf._do(mine.values(content=b""))

    return spoil


def page(number: int) -> Page:
    scale = tuple(Option(n, Box(20 + 7.2 * n, 60, 5, 5), bound=n == 4) for n in range(5))
    fields = (Tick("ok", "OK", Box(8, 50, 5, 5)), Scale("count", "Count", "card", scale))
    own = tuple(type(one)(f"{one.id}{number}", *list(vars(one).values())[1:]) for one in fields)
    marks = (Mark("4x4", 8, (8.0, 8.0), 10.0),)
    return Page(number, 215.9, 279.4, Code(f"{FORM}/{number}", Box(180, 8, 24, 24)), marks, own)


@pytest.fixture
def at() -> datetime:
    return datetime(2026, 11, 24, 12, 0, tzinfo=UTC)


@pytest.fixture
def home(tmp_path: Path) -> Path:
    return tmp_path / "home"


@pytest.fixture
def layout() -> Layout:
    return Layout(FORM, "service", TABLE, (page(1), page(2)))


@pytest.fixture
def store(home: Path, layout: Layout, at: datetime) -> Iterator[Store]:
    with Store.open(home) as store:
        store.register(TABLE, {"name": "Long one", "length": "22 ft"}, at)
        store.print_form(layout, date(2026, 11, 20), at)
        yield store


@pytest.fixture
def photo_of() -> Callable[..., Photo]:
    def photo_of(shot: str, number: int = 1, **readings: Reading) -> Photo:
        content = b"\xff\xd8\xff" + shot.encode()
        one = PageReading(FORM, number, readings, model="digits 1")
        return PhotoReading(f"{shot}.jpg", hashlib.sha256(content).hexdigest(), (one,)), content

    return photo_of
