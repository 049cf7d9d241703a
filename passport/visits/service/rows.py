"""The rules of a station's row: which marks contradict each other, and what is left then.

A row with turns but no "after", or the other way round, is doubtful; so is "OK, as is"
beside turns. What was found before anything was turned is kept.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from passport.visit import Doubt
from passport.visits.answers import Answers

NO_AFTER = "turns are marked, but no reading after them"
NO_TURNS = "a reading after turning is marked, but no turns"
TOUCHED = "marked as not touched, yet turns or a reading after them are marked too"


@dataclass(frozen=True)
class Row:
    """The fields of one station in one pass. ``untouched`` stands in the first pass only.

    ``after_round`` is the reading after turning with the level turned round, where it is on paper.
    """

    found: str
    turns: tuple[str, ...]
    after: str
    untouched: str | None = None
    after_round: str | None = None


def row_doubts(answers: Answers, row: Row) -> list[Doubt]:
    """List what contradicts itself in a row."""
    marked = [field for field in row.turns if answers.number(field) is not None]
    turned = any(answers.number(field) for field in marked)
    after = answers.number(row.after) is not None
    if row.untouched and answers.ticked(row.untouched) and (turned or after):
        return [answers.doubt(row.untouched, TOUCHED)]
    if turned and answers.empty(row.after):
        return [answers.doubt(row.after, NO_AFTER)]
    if after and not marked and all(answers.empty(field) for field in row.turns):
        return [answers.doubt(field, NO_TURNS) for field in row.turns]
    return []


def settled(answers: Answers, row: Row, doubts: Iterable[Doubt]) -> Answers:
    """Take out of a contradictory row all but what was found."""
    if not list(doubts):
        return answers
    others = (field for field in (row.untouched, row.after_round) if field)
    return answers.without((*row.turns, row.after, *others))
