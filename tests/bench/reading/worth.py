"""What each guard is worth: sheets made to fool the reader, read with every guard loosened alone.

A guard whose loosening changes nothing has others behind it on these sheets; so some are loosened
together as well. As a program, with how many sheets of each case::

    python -m reading.worth SEEDS
"""

import sys
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import inf
from pathlib import Path
from tempfile import TemporaryDirectory

from reading.provoked import CASES, Case
from reading.sheets import ASSERTED, Outcome, outcomes_of

from scan.guards import GUARDS, Guards, Held
from scan.read import read_photo

HELD = "all held"
APART = next(one for one in Held if one is not GUARDS.codes)
ALONE: Mapping[str, Mapping[str, object]] = {
    "page residual": {"residual_mm": inf},
    "boxes astray": {"astray": inf},
    "outlines of numbers": {"outlines_mm": inf},
    "fiducial geometry": {"stray_mm": inf},
    "agreement of codes": {"codes": APART},
    "faint band": {"faint_band": 0.0},
    "second mark": {"second_mark": inf},
    "domain gate": {"domain": inf},
    "no digit at all": {"unlike": 1.0},
    "beyond the box": {"beyond": 1.0},
    "digit probability": {"digit_chance": 0.0},
    "confirmed by expectation": {"expected_chance": inf},
    "witness": {"witness": APART},
    "expectation": {"expectation": inf},
}
TOGETHER = (
    ("page residual", "outlines of numbers"),
    ("fiducial geometry", "page residual"),
    ("domain gate", "no digit at all"),
    ("domain gate", "no digit at all", "digit probability"),
)


def _loosened(*names: str) -> Guards:
    changes: dict[str, object] = {}
    for name in names:
        changes |= ALONE[name]
    return replace(GUARDS, **changes)  # type: ignore[arg-type]


LOOSENED: Mapping[str, Guards] = {
    HELD: GUARDS,
    **{name: _loosened(name) for name in ALONE},
    **{" + ".join(names): _loosened(*names) for names in TOGETHER},
}


@dataclass(frozen=True)
class Told:
    """Fields of one case under one set of guards: all, silent errors, and those that wait."""

    case: str
    guards: str
    fields: int
    silent: int
    doubts: int


def told(seeds: int) -> Iterator[Told]:
    """Read so many sheets of each case under all guards and with each loosened."""
    with TemporaryDirectory() as folder:
        for name, make in CASES.items():
            cases = [make(seed) for seed in range(seeds)]
            for words, guards in LOOSENED.items():
                fields = [one for case in cases for one in read(case, guards, Path(folder))]
                waits = sum(one.status not in ASSERTED for one in fields)
                yield Told(name, words, len(fields), sum(one.silent for one in fields), waits)


def read(case: Case, guards: Guards, folder: Path) -> tuple[Outcome, ...]:
    path = folder / "case.jpg"
    path.write_bytes(case.photo)
    found = read_photo(path, {case.layout.form: case.layout}.get, guards=guards)
    return outcomes_of(case.page, case.truth, found)[0]


def table(found: Sequence[Told]) -> Iterator[str]:
    """Say what each guard catches: silent errors and doubts without it, beside those with it."""
    for case in dict.fromkeys(one.case for one in found):
        mine = {one.guards: one for one in found if one.case == case}
        held = mine[HELD]
        yield f"{case}: {held.fields} fields; all held: silent {held.silent}, wait {held.doubts}"
        for one in mine.values():
            if (one.silent, one.doubts) != (held.silent, held.doubts):
                yield f"  without {one.guards}: silent {one.silent}, wait {one.doubts}"
    yield f"of no worth alone on these sheets: {', '.join(idle(found)) or 'none'}"


def idle(found: Sequence[Told]) -> list[str]:
    """Name the guards whose loosening alone lets no silent error through."""
    held = {one.case: one.silent for one in found if one.guards == HELD}
    caught = {one.guards for one in found if one.silent > held[one.case]}
    return [name for name in ALONE if name not in caught]


if __name__ == "__main__":
    lines = []
    for one in told(int(sys.argv[1])):
        print(one, file=sys.stderr, flush=True)
        lines.append(one)
    print(*table(lines), sep="\n")
