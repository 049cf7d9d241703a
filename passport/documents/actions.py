"""The sheet of next actions: a page to work from, with boxes to say how each went."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import TYPE_CHECKING

from forms.numbers import grouped
from forms.paper import Paper
from passport.documents import house, wording
from passport.documents.action import STEP_NAMES, Action, Step
from passport.documents.texts import Caution
from passport.documents.worklist import action_json, action_list
from passport.quantity_text import FINE, Units, length_text
from passport.table import Bracket, Leg, Steps, Table

if TYPE_CHECKING:
    from forms.engine import LaidOut

__all__ = ["Action", "Step", "action_json", "action_list", "actions_pdf"]

_ARITHMETIC = (*(f"A {by.one}" for by in Steps), "Chance of", "What counts")


@dataclass(frozen=True)
class Group:
    """Actions of one step and the cautions that stand beside it."""

    name: str
    cautions: tuple[str, ...]
    actions: tuple[Action, ...]


class Density(StrEnum):
    """How closely the page is set."""

    ROOMY = "roomy"
    DENSE = "dense"  # reasons without the arithmetic, which advise tells
    PACKED = "dense packed"  # and turn, direction and reason in one row


def actions_pdf(story: house.Story, paper: Paper, printed: datetime) -> bytes:
    """Print the next actions: one page, set as closely as that needs.

    Parameters
    ----------
    story : Story
        Table, visits, advice and the record's head.
    paper : Paper
        Sheet size.
    printed : datetime
        The clock; the same story and clock give the same bytes.

    Returns
    -------
    bytes
        A PDF of one page as long as it holds them; more actions go on over the leaf, set roomily.
    """
    actions = action_list(story.table, story.visits, story.advice, story.stopped_by)
    roomy = _laid(story, paper, printed, actions, Density.ROOMY)
    if roomy.pages == 1:
        return roomy.pdf()
    packed = _laid(story, paper, printed, actions, Density.PACKED)
    if packed.pages > 1:
        return roomy.pdf()
    dense = _laid(story, paper, printed, actions, Density.DENSE)
    return (dense if dense.pages == 1 else packed).pdf()


def _laid(
    story: house.Story,
    paper: Paper,
    printed: datetime,
    actions: Sequence[Action],
    density: Density,
) -> "LaidOut":
    return house.laid(
        "actions.html",
        printed,
        paper=paper,
        density=density.value,
        title=f"Next actions, table {grouped(story.table.number)}",
        story=story,
        groups=_groups(actions),
        quiet=not any(Step.LEGS <= action.step <= Step.RISE for action in actions),
        why=_whole_reason if density is Density.ROOMY else _short_reason,
        kit=to_bring(story.table, actions),
        people=_people(actions),
        area=Caution.AREA,
    )


def _whole_reason(action: Action) -> str:
    return action.why


def _short_reason(action: Action) -> str:
    """Leave out the arithmetic of a reason: what is left decides what the hand does."""
    told = re.split(r"(?<=\.) (?=[A-Z0-9])", action.why)
    return " ".join(one for one in told if not one.startswith(_ARITHMETIC))


def _groups(actions: Sequence[Action]) -> list[Group]:
    """Gather the actions of each step; a caution that stood before is pointed at."""
    groups: list[Group] = []
    stood: dict[Caution, int] = {}
    for number, step in enumerate(sorted({action.step for action in actions}), 1):
        of_step = tuple(action for action in actions if action.step is step)
        cautions = dict.fromkeys(caution for action in of_step for caution in action.cautions)
        said = tuple(
            f"{wording.first_words(one)} … as at {stood[one]}." if one in stood else str(one)
            for one in cautions
        )
        stood = dict.fromkeys(cautions, number) | stood
        groups.append(Group(STEP_NAMES[step], said, of_step))
    return groups


def _people(actions: Sequence[Action]) -> str:
    """Say how many people the work takes; common practice, no source."""
    steps = {action.step for action in actions}
    if steps & {Step.CLEAR, Step.LEGS, Step.LEGS_AGAIN, Step.RISE, Step.TOUCH_DOWN}:
        return (
            "Two where feet are turned: one turns, one watches the level and keeps the area closed "
            "(common practice). Crew and aids come from your employer's lifting assessment."
        )
    return "One, if nothing is lifted. Crew and aids come from your employer's lifting assessment."


def to_bring(table: Table, actions: Sequence[Action]) -> list[str]:
    """List what the work of these actions needs."""
    steps = {action.step for action in actions}
    kit = [
        "this sheet",
        "a fresh service form with its pass sheets",
        f"{table.kit.name} (card {length_text(table.kit.card_mm, Units(table.units), FINE)}"
        f"{', feelers' if table.kit.feelers_mm else ''})",
        "torch, eye protection, strip of card for the feet",
        "weights, tape measure, watch, hygrometer",
        "soft brush, cloths, wax; silicone with its label and safety data sheet",
    ]
    if steps & {Step.LEGS, Step.RISE, Step.CLEAR}:
        kit.append(f"spanners for feet and jam nuts ({_threads(table.legs)})")
    if Step.BRACKETS in steps:
        kit.append(f"two spanners for bracket nuts ({_threads(table.brackets)})")
    return kit


def _threads(parts: Sequence[Leg | Bracket]) -> str:
    found = dict.fromkeys(part.thread.designation for part in parts if part.thread)
    return ", ".join(found) or "thread not known: bring several sizes"
