"""Photos and scans into the store: each file ends in a clear state."""

from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from shutil import rmtree
from tempfile import TemporaryDirectory

from forms.numbers import FormNumber
from passport.errors import PassportError
from passport.office import Office
from passport.office.binding import bind
from passport.office.readers import FileNotRead, Found, Job, read_all
from passport.records.errors import PhotoChanged
from passport.records.files import sha256
from passport.records.intake import Outcome

PICTURES = (".jpg", ".jpeg", ".png", ".webp", ".tif", ".tiff", ".pdf", ".heic", ".heif")


class PathUnknown(PassportError):
    """A name that is neither a file nor a folder."""

    def __init__(self, path: Path):
        super().__init__(f"There is no file or folder {path}. Check the name.")


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


Read = Callable[[Job], Found]


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
    read: Read | None = None,
) -> Iterator[Taken]:
    """Read files and record what they show, one result per file, in their order.

    Each file is recorded before the next: whoever is interrupted starts the same again, and files
    that were recorded are not read again. One file that can't be used harms no other.

    Parameters
    ----------
    workers : int
        Processes that read. The results do not depend on how many.
    typed : FormNumber, optional
        The number printed beside the code, for pages whose code can't be read.
    read : callable, optional
        Reads one file elsewhere, in place of ``workers``.
    """
    with TemporaryDirectory() as folder:
        entries: deque[tuple[Path, Job | None]] = deque()
        jobs = _fresh(office, paths, _Desk(Path(folder), typed, entries))
        found = map(read, jobs) if read else read_all(jobs, office.store.layout_of, workers)
        for photo in found:
            while (entry := entries.popleft())[1] is None:
                yield Taken(entry[0].name, State.SEEN_BEFORE)
            yield _finished(office, entry[1], photo)
        yield from (Taken(path.name, State.SEEN_BEFORE) for path, _ in entries)


@dataclass(frozen=True)
class _Desk:
    """Where cut-outs lie for now, what was typed in, and the files so far, each with its job."""

    folder: Path
    typed: FormNumber | None
    entries: deque[tuple[Path, Job | None]]


def _fresh(office: Office, paths: Sequence[Path], desk: _Desk) -> Iterator[Job]:
    """Pick the files that were not recorded before; all are put on the desk."""
    for position, path in enumerate(paths):
        job = Job(path, office.store.home, desk.folder / str(position), desk.typed)
        seen = _seen(office, path)
        desk.entries.append((path, None if seen else job))
        if not seen:
            yield job


def _seen(office: Office, path: Path) -> bool:
    try:
        return office.store.has_photo(sha256(path.read_bytes()))
    except OSError:
        return False  # reading it will say why


def _finished(office: Office, job: Job, photo: Found) -> Taken:
    """Record what was found, and clear the cut-outs away."""
    try:
        return _record(office, job, photo)
    except PhotoChanged as changed:
        return Taken(job.path.name, State.CANNOT_BE_USED, (), (str(changed),))
    except OSError as gone:
        lost = FileNotRead(job.path, gone.strerror or str(gone))
        return Taken(job.path.name, State.CANNOT_BE_USED, (), (str(lost),))
    finally:
        rmtree(job.crops, ignore_errors=True)


def _record(office: Office, job: Job, photo: Found) -> Taken:
    if isinstance(photo, FileNotRead):
        return Taken(job.path.name, State.CANNOT_BE_USED, (), (str(photo),))
    content = job.path.read_bytes()
    outcomes = office.store.record_photo(photo, content, office.now(), job.crops)
    known = zip(photo.pages, outcomes, strict=True)
    for form in {page.form for page, outcome in known if outcome is not Outcome.UNKNOWN_FORM}:
        if form is not None:
            bind(office, form)
    pages = tuple(
        (page.form, page.page, outcome)
        for page, outcome in zip(photo.pages, outcomes, strict=True)
        if page.form is not None and page.page is not None
    )
    messages = tuple(problem.message for problem in photo.problems)
    state = _state(office, pages, messages)
    if state is State.SEEN_BEFORE:  # by another process, as if it had been known from the start
        return Taken(job.path.name, state)
    return Taken(job.path.name, state, pages, messages)


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
