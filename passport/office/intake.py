"""Photos and scans into the store: each file ends in a clear state."""

from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from tempfile import TemporaryDirectory

from forms.errors import UserError
from forms.numbers import FormNumber
from passport.errors import PassportError
from passport.office import Office
from passport.office.due import reckon
from passport.office.following import follow
from passport.office.reading import Source, Task, read_task, reader_version
from passport.office.wire import Read
from passport.records.errors import PhotoChanged
from passport.records.files import sha256
from passport.records.intake import Outcome
from scan.errors import FileUnreadable
from scan.reading import PhotoReading

READ_AHEAD, SENT_AHEAD = 3, 64  # files for each reader here, and in all to a cluster
PICTURES = (".jpg", ".jpeg", ".png", ".webp", ".tif", ".tiff", ".pdf", ".heic", ".heif")


class PathUnknown(PassportError):
    """A name that is neither a file nor a folder."""

    def __init__(self, path: Path):
        super().__init__(f"There is no file or folder {path}. Check the name.")


class DatabaseNeeded(PassportError):
    """A cluster was asked to read from a home folder."""

    exit_code = 2

    def __init__(self) -> None:
        super().__init__(
            "Other machines read from a database that offices share, and this store stands in its "
            "home folder. Name the database with --database or in the settings."
        )


class State(StrEnum):
    """How a file ended."""

    RECORDED = "recorded"
    NEEDS_A_LOOK = "needs a look"
    SEEN_BEFORE = "seen before"
    CANNOT_BE_USED = "can't be used"


@dataclass(frozen=True)
class Taken:
    """What became of one file. ``pages`` names form, page and outcome of each page in it."""

    file: str
    state: State
    pages: tuple[tuple[str, int, Outcome], ...] = ()
    messages: tuple[str, ...] = ()


def files_in(paths: Iterable[Path]) -> tuple[list[Path], list[PathUnknown]]:
    """List the pictures among files and folders, and the names that are neither.

    Folders are searched by name, in order.
    """
    found: list[Path] = []
    absent: list[PathUnknown] = []
    for path in paths:
        if path.is_dir():
            found += sorted(
                one for one in path.rglob("*") if one.suffix.lower() in PICTURES and one.is_file()
            )
        elif path.is_file():
            found.append(path)
        else:
            absent.append(PathUnknown(path))
    return found, absent


def intake(
    office: Office,
    paths: Sequence[Path],
    *,
    workers: int = 1,
    typed: FormNumber | None = None,
    cluster: Executor | None = None,
) -> Iterator[Taken]:
    """Read files and record what they show, one result per file, in their order.

    Parameters
    ----------
    office : Office
        Whose forms they are.
    paths : sequence of Path
        The files. One that was recorded before is not read again; one that can't be used harms no
        other.
    workers : int
        How many are read at once on this machine.
    typed : FormNumber, optional
        The number printed beside the code, for pages whose code can't be read.
    cluster : Executor, optional
        Whoever reads instead of this machine, from the database that both know.

    Raises
    ------
    DatabaseNeeded
        A cluster can't see into a home folder.
    """
    if cluster is not None:
        yield from _taken(office, paths, _Desk(cluster, SENT_AHEAD, typed, _sent(office)))
        return
    with ThreadPoolExecutor(workers) as pool:
        ahead = workers * READ_AHEAD
        yield from _taken(office, paths, _Desk(pool, ahead, typed, _kept_here(office)))


@dataclass(frozen=True)
class _Desk:
    """Who reads, how many files ahead, the form number typed in, how a file is made ready."""

    readers: Executor
    ahead: int
    typed: FormNumber | None
    source_of: Callable[[Path, bytes], Source]


def _kept_here(office: Office) -> Callable[[Path, bytes], Source]:
    database, home = office.settings.database, office.store.home
    return lambda path, _content: Source(database, home, path)


def _sent(office: Office) -> Callable[[Path, bytes], Source]:
    """Let photos wait in the shared database until somebody reads them."""
    database = office.settings.database
    if database is None:
        raise DatabaseNeeded

    def send(_path: Path, content: bytes) -> Source:
        office.store.bring_in(content)
        return Source(database)

    return send


def _taken(office: Office, paths: Sequence[Path], desk: _Desk) -> Iterator[Taken]:
    waiting: deque[tuple[Path, _Pending | Taken]] = deque()
    rest = iter(paths)
    try:
        while _top_up(office, waiting, rest, desk):
            path, one = waiting[0]
            taken = one if isinstance(one, Taken) else _finished(office, path, one)
            _let_go(office, waiting.popleft()[1])
            yield taken
        reckon(office)  # so that nobody waits for it at a list or a table's page
    finally:
        for _, one in waiting:
            _let_go(office, one)


def _top_up(
    office: Office,
    waiting: "deque[tuple[Path, _Pending | Taken]]",
    rest: Iterator[Path],
    desk: _Desk,
) -> bool:
    """Have files read until enough are on their way; False when there are none."""
    while len(waiting) < desk.ahead and (path := next(rest, None)) is not None:
        waiting.append((path, _Pending.of(office, path, desk)))
    return bool(waiting)


def _let_go(office: Office, one: "_Pending | Taken") -> None:
    """Leave nothing of a file where it waited for another machine."""
    if isinstance(one, _Pending) and one.task.source.file is None:
        one.future.cancel()
        office.store.let_go(one.task.photo)


def _finished(office: Office, path: Path, one: "_Pending") -> Taken:
    if office.store.has_photo(one.task.photo):  # the same file again, in the same go
        return Taken(path.name, State.SEEN_BEFORE)
    read = one.read()
    try:
        return _record(office, path, read)
    except (OSError, PhotoChanged) as error:
        return Taken(path.name, State.CANNOT_BE_USED, (), (str(error),))


@dataclass(frozen=True)
class _Pending:
    """A file that is being read."""

    task: Task
    future: "Future[Read]"

    @classmethod
    def of(cls, office: Office, path: Path, desk: _Desk) -> "_Pending | Taken":
        """Have a file read, unless it was recorded before or can't be opened."""
        try:
            content = path.read_bytes()
        except OSError as error:
            lost = FileUnreadable(path.name, error.strerror or "it may not be read")
            return Taken(path.name, State.CANNOT_BE_USED, (), (str(lost),))
        digest = sha256(content)
        if office.store.has_photo(digest):
            return Taken(path.name, State.SEEN_BEFORE)
        typed = None if desk.typed is None else desk.typed.code
        source = desk.source_of(path, content)
        task = Task(path.name, digest, typed, reader_version(), source)
        return cls(task, desk.readers.submit(read_task, task))

    def read(self) -> Read:
        """Wait for what was read; a reader that is lost spoils this file only."""
        try:
            return self.future.result()
        except UserError:
            raise
        except Exception as error:
            if self.task.source.file is not None:
                raise
            lost = FileUnreadable(self.task.name, f"no machine read it ({type(error).__name__})")
            return Read(PhotoReading(self.task.name, self.task.photo, (), (lost.problem(),)), {})


def _record(office: Office, path: Path, read: Read) -> Taken:
    with TemporaryDirectory() as folder:
        for name, crop in read.crops.items():
            (Path(folder) / name).write_bytes(crop)
        outcomes = office.store.record_photo(
            read.photo, path.read_bytes(), office.now(), Path(folder)
        )
    known = zip(read.photo.pages, outcomes, strict=True)
    for form in {page.form for page, outcome in known if outcome is not Outcome.UNKNOWN_FORM}:
        if form is not None:
            follow(office, form)
    pages = tuple(
        (page.form, page.page, outcome)
        for page, outcome in zip(read.photo.pages, outcomes, strict=True)
        if page.form is not None and page.page is not None
    )
    messages = tuple(problem.message for problem in read.photo.problems)
    state = _state(office, pages, messages)
    if state is State.SEEN_BEFORE:  # by another process, as if it had been known from the start
        return Taken(path.name, state)
    return Taken(path.name, state, pages, messages)


def _state(
    office: Office, pages: Sequence[tuple[str, int, Outcome]], messages: Sequence[str]
) -> State:
    outcomes = {outcome for _, _, outcome in pages}
    if not outcomes or outcomes == {Outcome.UNKNOWN_FORM}:
        return State.CANNOT_BE_USED
    if outcomes == {Outcome.SEEN_BEFORE}:
        return State.SEEN_BEFORE
    waits = {
        (doubt.form, doubt.page)
        for form in {form for form, _, outcome in pages if outcome is not Outcome.UNKNOWN_FORM}
        for doubt in office.store.form(form).doubts
    }
    if messages or any((form, page) in waits for form, page, _ in pages):
        return State.NEEDS_A_LOOK
    return State.RECORDED
