"""Photos and scans into the store: each file ends in a clear state."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from enum import StrEnum
from multiprocessing import get_context
from pathlib import Path
from tempfile import TemporaryDirectory

from forms.layout import Layout
from forms.numbers import FormNumber
from passport.errors import PassportError
from passport.office import Office, open_store
from passport.records.files import sha256
from passport.records.intake import Outcome
from scan.read import read_photo
from scan.reading import PhotoReading

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


@dataclass(frozen=True)
class _Job:
    """One file to read, where its cut-outs go, and whose layouts to ask."""

    path: Path
    home: Path
    crops: Path
    typed: FormNumber | None


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
    office: Office, paths: Sequence[Path], *, workers: int = 1, typed: FormNumber | None = None
) -> Iterator[Taken]:
    """Read files and record what they show, one result per file, in their order.

    ``typed`` is the number printed beside the code, for pages whose code can't be read. A file
    that was recorded before is not read again. One file that can't be used harms no other.
    """
    with TemporaryDirectory() as folder:
        fresh = [path for path in paths if not _seen(office, path)]
        jobs = [
            _Job(path, office.store.home, Path(folder) / str(position), typed)
            for position, path in enumerate(fresh)
        ]
        read = dict(zip(fresh, _readings(jobs, workers), strict=True)) if workers > 1 else {}
        for path in paths:
            if path not in fresh:
                yield Taken(path.name, State.SEEN_BEFORE)
                continue
            job = jobs[fresh.index(path)]
            photo = read.get(path) or _read(job, office.store.layout_of)
            yield _record(office, job, photo)


def _seen(office: Office, path: Path) -> bool:
    return office.store.has_photo(sha256(path.read_bytes()))


def _readings(jobs: Sequence[_Job], workers: int) -> list[PhotoReading]:
    """Read in several processes; the results do not depend on how many."""
    with ProcessPoolExecutor(workers, mp_context=get_context("spawn")) as pool:
        return list(pool.map(_read_alone, jobs))


def _read_alone(job: _Job) -> PhotoReading:
    with open_store(job.home) as store:
        return _read(job, store.layout_of)


def _read(job: _Job, layout_of: Callable[[str], Layout | None]) -> PhotoReading:
    job.crops.mkdir(parents=True, exist_ok=True)
    return read_photo(job.path, layout_of, crops=job.crops, typed=job.typed)


def _record(office: Office, job: _Job, photo: PhotoReading) -> Taken:
    content = job.path.read_bytes()
    outcomes = office.store.record_photo(photo, content, office.now(), job.crops)
    pages = tuple(
        (page.form, page.page, outcome)
        for page, outcome in zip(photo.pages, outcomes, strict=True)
        if page.form is not None and page.page is not None
    )
    messages = tuple(problem.message for problem in photo.problems)
    return Taken(job.path.name, _state(office, pages, messages), pages, messages)


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
