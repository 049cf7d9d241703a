"""The log of visits: when, who, and what was turned, newest first."""

from collections.abc import Sequence
from dataclasses import dataclass

from passport.documents import texts, wording
from passport.documents.house import Story
from passport.table import Steps
from passport.visit import BracketPass, LegPass, Pass, Visit
from passport.visits.service.closing import CHANGED, SURFACE


@dataclass(frozen=True)
class Entry:
    """One visit in the log."""

    date: str
    kind: str
    who: str
    air: str
    turned: tuple[str, ...]
    remarks: tuple[str, ...]
    new: bool


def log(story: Story) -> tuple[Entry, ...]:
    """Each visit, newest first."""
    entries = [_entry(visit, new=story.is_new(visit)) for visit in story.visits]
    return tuple(reversed(entries))


def _entry(visit: Visit, *, new: bool) -> Entry:
    return Entry(
        date=wording.day(visit.date),
        kind=visit.kind,
        who=visit.technician or "–",
        air=_air(visit),
        turned=turned(visit),
        remarks=_remarks(visit),
        new=new,
    )


def turned(visit: Visit) -> tuple[str, ...]:
    """Say what a visit turned, pass by pass."""
    lines = []
    for number, walk in enumerate(visit.passes, 1):
        parts = [*_leg_turns(walk), *_bracket_turns(walk, visit.nuts_by), *_rise_turns(walk)]
        if parts:
            head = f"Pass {number}: " if len(visit.passes) > 1 else ""
            lines.append(head + "; ".join(parts))
    return tuple(lines) or ("nothing turned",)


def _leg_turns(walk: Pass) -> list[str]:
    return [
        f"{name} {side} foot {'up' if count > 0 else 'down'} {wording.short_turns(count)}"
        for name, leg in walk.legs.items()
        for side, count in _feet_of(leg)
        if count
    ]


def _feet_of(leg: LegPass) -> Sequence[tuple[str, int | None]]:
    return (("left", leg.turns_left), ("right", leg.turns_right))


def _bracket_turns(walk: Pass, by: Steps) -> list[str]:
    return [
        _bracket_turn(name, bracket, by) for name, bracket in walk.brackets.items() if bracket.turns
    ]


def _bracket_turn(name: str, bracket: BracketPass, by: Steps) -> str:
    count = bracket.turns or 0
    return f"{name} {'hollower' if count > 0 else 'flatter'} {wording.short_turns(count, by)}"


def _rise_turns(walk: Pass) -> list[str]:
    return [
        f"end {end}, both feet {'up' if count > 0 else 'down'} {wording.short_turns(count)}"
        for end, count in walk.rise_turns.items()
        if count
    ]


def _air(visit: Visit) -> str:
    parts = []
    if visit.air_temperature_c is not None:
        parts.append(f"{visit.air_temperature_c:.0f} °C")
    if visit.air_humidity_pct is not None:
        parts.append(f"{visit.air_humidity_pct:.0f} %")
    return ", ".join(parts) or "–"


def words_of(key: str) -> str:
    """Say a mark of a form's closing in the form's own words."""
    return (CHANGED | SURFACE).get(key, key.replace("_", " ")).replace("\n", " ")


def _remarks(visit: Visit) -> tuple[str, ...]:
    remarks = [texts.OUT_OF_USE] if visit.unsafe else []
    remarks += [words_of(key) for key in CHANGED if key in visit.changed]
    remarks += [words_of(key) for key in sorted(visit.changed - CHANGED.keys())]
    remarks += [words_of(key) for key in visit.surface]
    remarks += [f"in doubt: {doubt.label}" for doubt in visit.doubts]
    if visit.missing_pages:
        pages = wording.named(tuple(str(page) for page in visit.missing_pages))
        remarks.append(f"not in yet: page {pages}")
    return tuple(remarks)
