"""Reading in a process of its own: a file that crashes or hangs the reader spoils only itself.

What decodes pictures is written in C and is given files from anywhere. So the desk reads each file
in a child whose processor time and memory are limited; a child that dies is replaced.

References
----------
POSIX.1-2017, ``setrlimit``: RLIMIT_AS ends an allocation, RLIMIT_CPU the process.
"""

import resource
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, field
from functools import cache
from multiprocessing import get_context
from pathlib import Path
from threading import Lock

from passport.office import open_store
from passport.office.readers import FileNotRead, Found, Job, read_one
from passport.records.store import Store
from passport.settings import Settings

WORKERS = 2
FILES_PER_CHILD = 200  # then a fresh one: what leaks does not add up
MEMORY_BYTES = 2**30  # beyond what the child takes before its first file
CPU_S = 60  # of one file; a page takes a fraction of a second
TOO_MUCH = "it takes more memory or time than this desk allows one file"


@dataclass
class Apart:
    """Children that read files for an office."""

    home: Path
    settings: Settings = field(default_factory=Settings)
    _lock: Lock = field(default_factory=Lock)
    _pool: ProcessPoolExecutor | None = None

    def __call__(self, job: Job) -> Found:
        """Read one file; one that ends its child, twice, is unreadable."""
        for _ in range(2):  # the first time another file may have ended the child
            pool = self._running()
            try:
                return pool.submit(_read, job, self.home, self.settings).result()
            except (BrokenProcessPool, MemoryError):
                self._replace(pool)
        return FileNotRead(job.path, TOO_MUCH)

    def close(self) -> None:
        """Let the children go."""
        with self._lock:
            if self._pool is not None:
                self._pool.shutdown(wait=True, cancel_futures=True)
            self._pool = None

    def _running(self) -> ProcessPoolExecutor:
        with self._lock:
            if self._pool is None:
                self._pool = ProcessPoolExecutor(
                    WORKERS,
                    mp_context=get_context("spawn"),
                    initializer=_limit_memory,
                    max_tasks_per_child=FILES_PER_CHILD,
                )
            return self._pool

    def _replace(self, broken: ProcessPoolExecutor) -> None:
        with self._lock:
            if self._pool is broken:
                broken.shutdown(wait=False, cancel_futures=True)
                self._pool = None


def _read(job: Job, home: Path, settings: Settings) -> Found:
    """Read one file in the child."""
    used = sum(resource.getrusage(resource.RUSAGE_SELF)[:2])
    _, most = resource.getrlimit(resource.RLIMIT_CPU)
    resource.setrlimit(resource.RLIMIT_CPU, (int(used) + CPU_S, most))
    return read_one(job, _store(home, settings).layout_of)


@cache
def _store(home: Path, settings: Settings) -> Store:
    return open_store(home, settings)


def _limit_memory() -> None:
    """Allow a child so much beyond what it takes with all its libraries loaded."""
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[0])
    most = pages * resource.getpagesize() + MEMORY_BYTES
    resource.setrlimit(resource.RLIMIT_AS, (most, most))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
