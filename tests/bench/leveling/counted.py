"""Counted rows of any length, hall by hall; a run goes on where it was stopped.

    cd tests/bench
    PYTHONPATH=../..:. ../../.venv/bin/python -m leveling.counted known lines.jsonl 4000

makes the tables that are still missing, appends a line a hall, and says what stands so far. The
same seeds as the tests: a whole run of either counts the same tables. Rows of the halls beside are
named ``"fresh: stranger"``, ``"known: stranger"``, ``"paper: stranger"``, by ``variants.py``.
"""

import json
import sys
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

from leveling import coverage, rows
from leveling.hall import Hall, World
from leveling.inside import belief
from leveling.rows import Share
from leveling.tables import five_legs, two_legs
from leveling.variants import FRESH_SEED, KNOWN_SEED, PAPER_SEED, VARIANTS

from passport.table import Table

VISITS = (1, 2, 10)
Counts = dict[str, list[int]]  # name of a row to hits and tables, or intervals


def _by_plan(visits: int) -> Callable[[Hall], Counts]:
    def count(hall: Hall) -> Counts:
        passes = enumerate(rows.planned([hall], visits), 1)
        return {f"in tolerance after {n}": [one.hits, one.of] for n, one in passes}

    return count


def _by_paper(hall: Hall) -> Counts:
    found = rows.by_paper([hall], 2)
    return {"in tolerance": [found.hits, found.of]}


def _intervals(hall: Hall) -> Counts:
    held = coverage.after_visits([hall], VISITS, belief)
    shares = {(n, kind): held[n].share(kind) for n in VISITS for kind in coverage.KINDS}
    return {f"{kind} after {n}": [one.hits, one.of] for (n, kind), one in shares.items()}


Rows = dict[str, tuple[Callable[[int], list[Hall]], Callable[[Hall], Counts]]]
ROWS: Rows = {
    "fresh": (lambda many: rows.halls_of(five_legs(), many, 21), _by_plan(0)),
    "known": (lambda many: rows.halls_of(five_legs(), many, 22), _by_plan(2)),
    "paper5": (lambda many: rows.halls_of(five_legs(), many, 24), _by_paper),
    "paper2": (lambda many: rows.halls_of(two_legs(), many, 26), _by_paper),
    "intervals": (lambda many: rows.halls_of(five_legs(), many, 31, each=15), _intervals),
}


def _variants() -> Rows:
    """Rows of the halls beside: ``"fresh: stranger"``, ``"known: stranger"``, ``"paper: …"``."""
    ways = {
        "fresh": (FRESH_SEED, _by_plan(0)),
        "known": (KNOWN_SEED, _by_plan(2)),
        "paper": (PAPER_SEED, _by_paper),
    }
    return {
        f"{way}: {name}": (partial(_halls, table, seed, world), count)
        for name, (table, world) in VARIANTS.items()
        for way, (seed, count) in ways.items()
    }


def _halls(table: Table, seed: int, world: World, many: int) -> list[Hall]:
    return rows.halls_of(table, many, seed, world)


ROWS |= _variants()


def go_on(name: str, lines: Path, many: int) -> None:
    """Make the halls of a row that are not in the file yet, and append each."""
    halls, count = ROWS[name]
    done = len(lines.read_text().splitlines()) if lines.exists() else 0
    for hall in halls(many)[done:]:
        with lines.open("a") as file:
            file.write(json.dumps(count(hall)) + "\n")


def said(lines: Path) -> Sequence[str]:
    """Say all counts of a file."""
    each = [json.loads(line) for line in lines.read_text().splitlines()]
    total = {name: [sum(column) for column in zip(*(one[name] for one in each), strict=True)]
             for name in each[0]}  # fmt: skip
    return [f"{name}: {Share(*found)}" for name, found in total.items()]


if __name__ == "__main__":
    go_on(sys.argv[1], Path(sys.argv[2]), int(sys.argv[3]))
    print("\n".join(said(Path(sys.argv[2]))))
