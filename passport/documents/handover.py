"""The hand-over sheet: what was set, how to look after it, signed by both sides on one page."""

from dataclasses import dataclass
from datetime import datetime

from forms.numbers import grouped
from forms.paper import Paper
from passport.documents import house, texts, wording
from passport.documents.care import bow_words
from passport.documents.codes import code_svg
from passport.leveling.advice import Quantity, StationState
from passport.table import Table

CODE_SIDE_MM = 32.0
SHOWN = (
    "sweeping and waxing shown",
    "hygrometer shown",
    "cautions gone through",
    "passport left at the table",
)


@dataclass(frozen=True)
class Set:
    """How the stations of one quantity were left, in one row."""

    name: str
    asked: str
    left: str
    stands: str


def handover_pdf(story: house.Story, paper: Paper, printed: datetime) -> bytes:
    """Print the hand-over sheet for the people at the table, on one page.

    Parameters
    ----------
    story : Story
        Table, visits and advice.
    paper : Paper
        Sheet size.
    printed : datetime
        The clock; the same story and clock give the same bytes.
    """
    return house.pdf(
        "handover.html",
        printed,
        paper=paper,
        title=f"Hand-over of table {grouped(story.table.number)}",
        story=story,
        code=house.picture(code_svg(story.code, CODE_SIDE_MM)),
        sets=sets(story.table, story.advice.state),
        turned=_turned(story),
        bow=bow_words(story.table),
        shown=SHOWN,
        texts=texts,
    )


def sets(table: Table, states: tuple[StationState, ...]) -> tuple[Set, ...]:
    """Sum up each quantity: what was asked for, between what it was left, how it stands."""
    groups = {
        quantity: [state for state in states if state.quantity is quantity] for quantity in Quantity
    }
    return tuple(_set(table, quantity, group) for quantity, group in groups.items() if group)


def _turned(story: house.Story) -> str:
    """Name the feet and nuts that the newest visit turned."""
    walks = story.visits[-1].passes if story.visits else ()
    legs = [
        n for walk in walks for n, leg in walk.legs.items() if leg.turns_left or leg.turns_right
    ]
    nuts = [n for walk in walks for n, bracket in walk.brackets.items() if bracket.turns]
    ends = [n for walk in walks for n, count in walk.rise_turns.items() if count]
    parts = (("feet at", legs), ("feet at end", ends), ("nuts at", nuts))
    said = [
        f"{what} {wording.stations(tuple(sorted(set(names))))}" for what, names in parts if names
    ]
    return "; ".join(said)


def _set(table: Table, quantity: Quantity, states: list[StationState]) -> Set:
    target = wording.band(table, states[0])
    return Set(
        wording.QUANTITIES[quantity],
        f"{target} {wording.unit(table, quantity)}",
        _between(table, states),
        ", ".join(wording.standing(tuple(states))),
    )


def _between(table: Table, states: list[StationState]) -> str:
    """Say the least and the greatest value, each with its 95 % uncertainty."""
    known = sorted((s for s in states if s.value is not None), key=lambda s: s.value or 0.0)
    if not known:
        return "not measured"
    ends = dict.fromkeys(wording.measured(table, state) for state in (known[0], known[-1]))
    return " to ".join(ends)
