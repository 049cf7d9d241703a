"""Files changed at random, read whole: ``fuzz.py COUNT [SEED [FOLDER]]``; prints how they ended.

With a folder a run goes on where it was stopped: every chunk of files follows from the seed and its
own number and leaves one line there, in ``lines-SEED.jsonl``; what ended a process is left beside.

Each file of ``fuzz_files`` is changed in one to eight places (bits flipped, bytes written over, put
in, left out, doubled or brought in from another file, lengths turned to extremes), read in a
reader's process as an intake does and, if it opens, stripped of what a camera writes into it. It
must end as a photo with pages or as a problem. A process that was ended counts by what ended it;
so does an error that no step expected. The memory is the largest that any reader ever had.
After every fiftieth file the untouched one is read and must read as it did at first.
"""

import json
import random
import resource
import sys
import time
from collections import Counter
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import NamedTuple

from fuzz_files import changed_file, seeds

from forms.layout import Layout
from passport.office import readers
from passport.office.readers import Order, read_limited
from passport.records.bare import bare, decodes
from scan.errors import ProblemCode
from scan.reading import PhotoReading

EVERY = 50
OPENED = frozenset({"as untouched", "otherwise", "no page"})
HARMLESS = OPENED | {"refused"}


class Reader(NamedTuple):
    """Reads as an intake does; knows the one layout."""

    layout: Layout

    def photo(self, content: bytes) -> PhotoReading:
        """Read a file."""
        return read_limited(Order("f", content), {self.layout.form: self.layout}.get).photo


def strips(content: bytes) -> bool:
    """Take a camera's notes out of a file, in a process where it must be decoded."""
    if decodes(content):
        return "stripped" in readers._answered(lambda child: readers._stripped(child, content))
    return len(bare(content)) > 0


def seen(photo: PhotoReading) -> list[tuple[object, ...]]:
    """Say all that was read, to the last digit of each confidence; not what cut-outs are called."""
    return [
        (page.form, page.residual_mm, name, one.status, one.value, one.confidence)
        for page in photo.pages
        for name, one in page.fields.items()
    ]


def ended(photo: PhotoReading, whole: PhotoReading) -> str:
    """Say how a file ended; of one that was opened, whether another picture came out of it."""
    first = photo.problems[0] if photo.problems else None
    if first is None or first.code != ProblemCode.FILE_UNREADABLE:
        if seen(photo) == seen(whole):
            return "as untouched"
        return "otherwise" if photo.pages else "no page"
    for sign, how in (
        ("stop (signal", "crash"),
        ("takes longer", "too long"),
        ("needs more", "too much memory"),
        ("is damaged (", "not expected"),
    ):
        if sign in first.message:
            return how
    return "refused"


@dataclass(frozen=True)
class Chunk:
    """How some files ended, by kind, and what it took."""

    number: int
    files: int
    ends: dict[str, dict[str, int]]
    spoiled: int
    slowest_s: float
    seconds: float
    peak_mb: int


@dataclass(frozen=True)
class Tried:
    """The untouched files, and how they read."""

    files: dict[str, bytes]
    whole: dict[str, PhotoReading]
    reader: Reader

    def end_of(self, name: str, content: bytes) -> str:
        how = ended(self.reader.photo(content), self.whole[name])
        return "not stripped" if how in OPENED and not strips(content) else how

    def is_spoiled(self) -> bool:
        return seen(self.reader.photo(self.files["jpeg"])) != seen(self.whole["jpeg"])


def untouched() -> Tried:
    """Read every kind of file as it is."""
    files, layout = seeds()
    reader = Reader(layout)
    return Tried(files, {name: reader.photo(content) for name, content in files.items()}, reader)


def chunk_of(tried: Tried, number: int, files: int, seed: int, folder: Path | None) -> Chunk:
    """Read some changed files; those of a number and seed are the same each time."""
    chance, names = random.Random(f"{seed} {number}"), list(tried.files)
    ends: dict[str, Counter[str]] = {name: Counter() for name in names}
    started, slowest = time.perf_counter(), 0.0
    for at in range(files):
        name = names[(number * EVERY + at) % len(names)]
        other = tried.files[chance.choice(names)]
        content = changed_file(name, tried.files[name], chance, other)
        begun = time.perf_counter()
        how = tried.end_of(name, content)
        slowest = max(slowest, time.perf_counter() - begun)
        ends[name][how] += 1
        if folder and how not in HARMLESS:
            (folder / f"{number:05d} {at:02d} {how} {name}").write_bytes(content)
    spoiled, seconds = int(tried.is_spoiled()), time.perf_counter() - started
    peak_mb = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss // 1024
    counts = {name: dict(one) for name, one in ends.items()}
    return Chunk(number, files, counts, spoiled, round(slowest, 1), round(seconds, 1), peak_mb)


def run(count: int, seed: int, folder: Path | None) -> dict[str, object]:
    """Read so many changed files, but those of chunks that were read before."""
    tried = untouched()
    lines = folder / f"lines-{seed}.jsonl" if folder else None
    chunks = lines_of(lines) if lines and lines.exists() else {}
    for number, first in enumerate(range(0, count, EVERY)):
        files = min(EVERY, count - first)
        if number not in chunks or chunks[number].files < files:
            chunks[number] = chunk_of(tried, number, files, seed, folder)
            told(chunks[number], lines)
    readers._end_all()
    return together(list(chunks.values())) | {
        "pages of each untouched": {name: len(one.pages) for name, one in tried.whole.items()}
    }


def lines_of(path: Path) -> dict[int, Chunk]:
    """Chunks that were read before; a line that was cut off by a stop is taken out."""
    whole = [line for line in path.read_text().splitlines(keepends=True) if line.endswith("\n")]
    path.write_text("".join(whole))
    chunks = [Chunk(**json.loads(line)) for line in whole]
    return {chunk.number: chunk for chunk in chunks}


def together(chunks: Sequence[Chunk]) -> dict[str, object]:
    """Add chunks up."""
    kinds = dict.fromkeys(name for one in chunks for name in one.ends)
    by_kind = {
        name: dict(sum((Counter(one.ends.get(name, {})) for one in chunks), Counter()))
        for name in kinds
    }
    return {
        "files": sum(one.files for one in chunks),
        "ends": dict(sum((Counter(ends) for ends in by_kind.values()), Counter())),
        "by kind": by_kind,
        "untouched, read otherwise since": sum(one.spoiled for one in chunks),
        "slowest_s": max((one.slowest_s for one in chunks), default=0.0),
        "seconds": round(sum(one.seconds for one in chunks)),
        "peak_mb": max((one.peak_mb for one in chunks), default=0),
    }


def told(chunk: Chunk, lines: Path | None) -> None:
    """Say how a chunk ended, and leave its line."""
    ends = dict(sum((Counter(one) for one in chunk.ends.values()), Counter()))
    print(chunk.number, ends, file=sys.stderr, flush=True)
    if lines:
        with lines.open("a") as out:
            print(json.dumps(asdict(chunk)), file=out, flush=True)


if __name__ == "__main__":
    how_many, first, where, *_ = (*sys.argv[1:], *("20261124", "")[len(sys.argv) - 2 :], "")
    print(json.dumps(run(int(how_many), int(first), Path(where) if where else None)))
