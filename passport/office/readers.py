"""Reading files in several processes: in order, a few ahead, one bad file harming none."""

from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import suppress
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path

from forms.errors import UserError
from forms.layout import Layout
from forms.numbers import FormNumber
from passport.errors import PassportError
from passport.office import open_store
from scan.read import read_photo
from scan.reading import PhotoReading

_AHEAD = 3  # files for each worker that are read but not yet recorded, at most


class FileNotRead(PassportError):
    """A file on which reading itself failed, or that went away."""

    def __init__(self, path: Path, cause: str):
        self.path, self.cause = path, cause
        super().__init__(
            f"{path.name} could not be read: {cause}. The other files are not affected. Take the "
            "picture anew, or save it as JPEG and take that in."
        )

    def __reduce__(self) -> tuple[type["FileNotRead"], tuple[Path, str]]:
        """Travel between processes."""
        return type(self), (self.path, self.cause)


@dataclass(frozen=True)
class Job:
    """One file to read, where its cut-outs go, and whose layouts to ask."""

    path: Path
    home: Path
    crops: Path
    typed: FormNumber | None


Found = PhotoReading | FileNotRead
LayoutOf = Callable[[str], Layout | None]


def read_all(jobs: Iterable[Job], layout_of: LayoutOf, workers: int) -> Iterator[Found]:
    """Read files, results in their order.

    Parameters
    ----------
    jobs : iterable of Job
        Drawn only a few ahead of the results.
    workers : int
        With one, files are read here; with more, each in a process. Results don't depend on it.
    """
    if workers == 1:
        return (read_one(job, layout_of) for job in jobs)
    return _in_processes(iter(jobs), workers)


def read_one(job: Job, layout_of: LayoutOf) -> Found:
    """Read one file; what nobody foresaw becomes this file's own trouble."""
    job.crops.mkdir(parents=True, exist_ok=True)
    try:
        return read_photo(job.path, layout_of, crops=job.crops, typed=job.typed)
    except UserError:
        raise
    except Exception as unforeseen:
        return FileNotRead(job.path, f"{type(unforeseen).__name__} {unforeseen}".strip())


def _in_process(job: Job) -> Found:
    with open_store(job.home) as store:
        return read_one(job, store.layout_of)


def _in_processes(jobs: Iterator[Job], workers: int) -> Iterator[Found]:
    """Go on with new processes where a file has taken one along."""
    waiting: deque[Job] = deque()
    while True:
        with _pool(workers) as pool:
            yield from _until_broken(pool, waiting, jobs, workers * _AHEAD)
        if not waiting:
            return
        yield _alone(waiting.popleft())


def _until_broken(
    pool: ProcessPoolExecutor, waiting: deque[Job], jobs: Iterator[Job], ahead: int
) -> Iterator[Found]:
    """Give results in order; at the end ``waiting`` holds what has none."""
    with suppress(BrokenProcessPool):
        reads: deque[Future[Found]] = deque(pool.submit(_in_process, job) for job in waiting)
        while _top_up(pool, (waiting, reads), jobs, ahead):
            found = reads.popleft().result()
            waiting.popleft()
            yield found


def _top_up(
    pool: ProcessPoolExecutor,
    queues: tuple[deque[Job], deque[Future[Found]]],
    jobs: Iterator[Job],
    ahead: int,
) -> bool:
    """Hand out files until enough are on their way; False when there are none."""
    waiting, reads = queues
    while len(reads) < ahead and (job := next(jobs, None)) is not None:
        waiting.append(job)
        reads.append(pool.submit(_in_process, job))
    return bool(reads)


def _alone(job: Job) -> Found:
    """Read the file that may have broken the others' processes in one of its own."""
    with _pool(1) as pool:
        try:
            return pool.submit(_in_process, job).result()
        except BrokenProcessPool:
            return FileNotRead(job.path, "the process that read it ended")


def _pool(workers: int) -> ProcessPoolExecutor:
    return ProcessPoolExecutor(workers, mp_context=get_context("spawn"))
