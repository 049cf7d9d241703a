"""What a store of any size costs: ``records_size.py HOME TABLES VISITS_PER_TABLE``.

``100000 20`` gives 100,000 tables and 2,000,000 visits of 40 readings each, as ``records_made``
writes them. One more table lives among them as an office's own: registered, its forms printed and
taken in by the office's own steps, as many visits as the others. Its page is what is timed.

``records_size.py FOLDER VISITS TABLES TABLES…`` makes one store after the other in a folder, takes
each away again, and prints how every figure grows.
"""

import json
import random
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from importlib import resources
from pathlib import Path

from records_made import make

from forms.field import Choice, Digits, Field, Note, Scale, Tick
from forms.layout import Layout
from passport.office import Office, open_store, printing
from passport.office.due import due_list, reckon
from passport.office.history import story
from passport.office.registering import register
from passport.records.files import sha256
from passport.settings import Settings
from passport.visits.service import ids
from scan.reading import PageReading, PhotoReading, Reading, Status, Value

PAGES = {
    "due list": "/due",
    "search": "/tables?q=plover+976",
    "a table's page": "/tables/{}",
    "first page": "/",
    "forms": "/forms",
    "doubts": "/doubts",
    "notes": "/notes",
}
INVENTED = resources.files("passport") / "invented"


class Clock:
    """The office's clock: one visit every twenty days, at last one a day."""

    def __init__(self, visits: int):
        self.now = datetime.now(UTC) - timedelta(days=20 * visits + 30)

    def __call__(self) -> datetime:
        """Tell the time."""
        return self.now


class Days:
    """An office's days: one table with its forms, taken in by the office's own steps."""

    def __init__(self, home: Path, visits: int):
        self.clock = Clock(visits)
        self.office = Office(open_store(home), Settings(), self.clock)
        self.table = register(self.office, Path(str(INVENTED / "short.toml"))).table.number
        self.chance, self.visits = random.Random(7), visits
        for _ in range(visits - len(self.office.store.tellings(self.table, ""))):
            self.visit()

    def print(self) -> Layout:
        """Print the next form."""
        self.clock.now += timedelta(
            days=20 if self.clock.now < datetime.now(UTC) - timedelta(days=31) else 1
        )
        return printing.print_form(self.office, "service", self.table).layout

    def take_in(self, layout: Layout) -> None:
        """Record all its pages, and reckon, as an intake ends."""
        pages = tuple(
            PageReading(
                layout.form, page.page, {one.id: self.reading(one) for one in page.fields},
                1.0, 0.1, "digits 1",
            )
            for page in layout.pages
        )  # fmt: skip
        content = b"%PDF-" + self.chance.randbytes(30)
        photo = PhotoReading("f.pdf", sha256(content), pages)
        self.office.store.record_photo(photo, content, self.clock())
        reckon(self.office)

    def visit(self) -> None:
        """Print a form and take it in."""
        self.take_in(self.print())

    def reading(self, field: Field) -> Reading:
        """Read a field as a technician fills it whose table is nearly right."""
        now = self.clock.now
        match field:
            case Choice(id=ids.MONTH):
                value: Value = now.month
            case Digits(id=ids.DAY):
                value = Decimal(now.day)
            case Tick():
                value = False
            case Scale():
                near = sorted((one.value for one in field.options), key=abs)[:3]
                value = self.chance.choice(near)
            case Note():
                return Reading(Status.SURE, None, 0.999, ink=False)
            case _:
                return Reading(Status.EMPTY, None, 0.999)
        return Reading(Status.SURE, value, 0.999)


def seconds(
    step: Callable[[], object], runs: int = 5, clock: Callable[[], float] = time.process_time
) -> float:
    """Take the least time of a step, the processor's: what else the machine does counts little."""
    took = []
    for _ in range(runs):
        start = clock()
        step()
        took.append(clock() - start)
    return min(took)


def after_an_intake(days: Days, step: Callable[[], object], runs: int = 3) -> tuple[float, ...]:
    """Take in a form, then do a step for the first time since: the least of each.

    Processor time of the intake and of the step.
    """
    took = []
    for _ in range(runs):
        layout = days.print()
        took.append((seconds(lambda layout=layout: days.take_in(layout), 1), seconds(step, 1)))
    return tuple(map(min, zip(*took, strict=True)))


def costs(home: Path, visits: int) -> dict[str, float]:
    """Time everything that a day at the office does, in milliseconds; the file in megabytes."""
    found = {}
    days = Days(home, visits)
    for name, took in _costs(days, home.parent / "backup.zip"):
        found[name] = took * 1000
        print(f"{name} {found[name]:.1f} ms", file=sys.stderr)
    days.office.store.close()
    return found | {"MB": (home / "store.sqlite").stat().st_size / 1e6}


def _costs(days: Days, file: Path) -> Iterator[tuple[str, float]]:
    office, store = days.office, days.office.store
    due_list(office)
    intake, due = after_an_intake(days, lambda: due_list(office))
    *_, page = after_an_intake(days, lambda: story(office, days.table))
    yield "intake", intake
    yield "due list, first after an intake", due
    yield "due list", seconds(lambda: due_list(office))
    yield "what a table's page tells, first after an intake", page
    for name, took in pages(office.store.home, days.table):
        yield name, took / 1000
    yield "search", seconds(lambda: store.search("plover 976"))
    yield "search, nothing found", seconds(lambda: store.search("no such word"))
    yield from both("verify", store.verify)
    yield from both("backup", lambda: store.backup(file))
    file.unlink()


def both(name: str, step: Callable[[], object]) -> Iterator[tuple[str, float]]:
    """Time a step once: by the clock, and by the processor."""
    began = time.process_time()
    yield name, seconds(step, 1, time.perf_counter)
    yield f"{name}, processor", time.process_time() - began


def pages(home: Path, number: str) -> Iterator[tuple[str, float]]:
    """Time pages of the desk, each the first that a new process shows [ms]."""
    paths = {name: path.format(number) for name, path in PAGES.items()}
    for where in ("memory", "disk"):
        script = Path(__file__).with_name("desk_cold.py")
        words = [sys.executable, str(script), str(home), where, *paths.values()]
        done = subprocess.run(words, capture_output=True, text=True, check=True)
        took = json.loads(done.stdout)
        said = "in a new process" if where == "memory" else "from the disk"
        for name, path in paths.items():
            yield f"desk, {said}: {name}", took[path]["wall"]
            yield f"desk, {said}: {name}, processor", took[path]["processor"]


def grown(folder: Path, visits: int, sizes: list[int]) -> dict[int, dict[str, float]]:
    """Make a store of each size, in a process of its own, and give what everything costs there."""
    found = {}
    for size in sizes:
        home = folder / f"{size}"
        words = [sys.executable, __file__, str(home), str(size), str(visits)]
        done = subprocess.run(words, stdout=subprocess.PIPE, text=True, check=True)
        found[size] = json.loads(done.stdout)
        shutil.rmtree(home)
    return found


def table(found: dict[int, dict[str, float]]) -> Iterator[str]:
    """Write what everything costs at each size, a line each, and how much more at the largest."""
    first, *_, last = found.values()
    yield f"{'tables':48}" + "".join(f"{size:12,}" for size in found) + "      growth"
    for name in first:
        costs = "".join(f"{one[name]:12.1f}" for one in found.values())
        yield f"{name:48}{costs}{last[name] / max(first[name], 1e-9):12.2f}"


def main(words: list[str]) -> None:
    """Make one store and time it, or several and compare."""
    where, numbers = Path(words[0]), [int(one) for one in words[1:]]
    if len(numbers) > 2:
        visits, *sizes = numbers
        print("\n".join(table(grown(where, visits, sizes))))
        return
    started = time.perf_counter()
    if not where.exists():
        make(where, *numbers)
    made = time.perf_counter() - started
    print(json.dumps({"made_s": made, **costs(where, numbers[1])}))


if __name__ == "__main__":
    main(sys.argv[1:])
