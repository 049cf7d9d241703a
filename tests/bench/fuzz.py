"""Files changed at random, read whole: ``fuzz.py COUNT [SEED [FOLDER]]``; prints how they ended.

Each file of ``fuzz_files`` is changed in one to eight places (bits flipped, bytes written over, put
in, left out, doubled or brought in from another file, lengths turned to extremes), read in a
reader's process as an intake does and, if it opens, stripped of what a camera writes into it. It
must end as a photo with pages or as a problem. A process that was ended counts by what ended it;
so does an error that no step expected. The memory is the largest that any reader ever had.
After every fiftieth file the untouched one is read and must read as it did at first.
What ended a process is left in FOLDER.
"""

import json
import random
import resource
import sys
import time
from collections import Counter
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


def run(count: int, seed: int, folder: Path | None) -> dict[str, object]:
    """Read so many changed files."""
    chance = random.Random(seed)
    files, layout = seeds()
    reader, names = Reader(layout), list(files)
    whole = {name: reader.photo(files[name]) for name in names}
    ends: dict[str, Counter[str]] = {name: Counter() for name in names}
    started, slowest, spoiled = time.perf_counter(), 0.0, 0
    for number in range(count):
        name = names[number % len(names)]
        content = changed_file(name, files[name], chance, files[chance.choice(names)])
        begun = time.perf_counter()
        photo = reader.photo(content)
        slowest = max(slowest, time.perf_counter() - begun)
        how = ended(photo, whole[name])
        if how in OPENED and not strips(content):
            how = "not stripped"
        ends[name][how] += 1
        if folder and how not in HARMLESS:
            (folder / f"{number:05d} {how} {name}").write_bytes(content)
        if number % EVERY == 0:
            spoiled += seen(reader.photo(files["jpeg"])) != seen(whole["jpeg"])
            told(number, ends)
    readers._end_all()
    return {
        "files": count, "ends": dict(sum(ends.values(), Counter())),
        "by kind": {name: dict(one) for name, one in ends.items()},
        "pages of each untouched": {name: len(one.pages) for name, one in whole.items()},
        "untouched, read otherwise since": spoiled, "slowest_s": round(slowest, 1),
        "seconds": round(time.perf_counter() - started),
        "peak_mb": resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss // 1024,
    }  # fmt: skip


def told(number: int, ends: dict[str, Counter[str]]) -> None:
    """Say how far it is."""
    print(number, dict(sum(ends.values(), Counter())), file=sys.stderr, flush=True)


if __name__ == "__main__":
    how_many, first, where, *_ = (*sys.argv[1:], *("20261124", "")[len(sys.argv) - 2 :], "")
    print(json.dumps(run(int(how_many), int(first), Path(where) if where else None)))
