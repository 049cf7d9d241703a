"""The sheet of next actions: a page to work from, with boxes to say how each went."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from forms.numbers import grouped
from forms.paper import Paper
from passport.documents import house
from passport.documents.action import STEP_NAMES, Action, Step
from passport.documents.texts import Caution
from passport.documents.worklist import action_json, action_list
from passport.table import Bracket, Leg, Table

__all__ = ["Action", "Step", "action_json", "action_list", "actions_pdf"]


@dataclass(frozen=True)
class Group:
    """Actions of one step and the cautions that stand beside it."""

    name: str
    cautions: tuple[Caution, ...]
    actions: tuple[Action, ...]


def actions_pdf(story: house.Story, paper: Paper, printed: datetime) -> bytes:
    """Print the next actions: one page, a second one if the list is long.

    Parameters
    ----------
    story : Story
        Table, visits, advice and the record's head.
    paper : Paper
        Sheet size.
    printed : datetime
        The clock; the same story and clock give the same bytes.
    """
    actions = action_list(story.table, story.visits, story.advice, story.stopped_by)
    return house.pdf(
        "actions.html",
        printed,
        paper=paper,
        title=f"Next actions, table {grouped(story.table.number)}",
        story=story,
        groups=_groups(actions),
        quiet=not any(Step.LEGS <= action.step <= Step.RISE for action in actions),
        kit=_to_bring(story.table, actions),
        area=Caution.AREA,
    )


def _groups(actions: Sequence[Action]) -> list[Group]:
    return [
        _group(step, tuple(action for action in actions if action.step is step))
        for step in sorted({action.step for action in actions})
    ]


def _group(step: Step, actions: tuple[Action, ...]) -> Group:
    cautions = dict.fromkeys(caution for action in actions for caution in action.cautions)
    return Group(STEP_NAMES[step], tuple(cautions), actions)


def _to_bring(table: Table, actions: Sequence[Action]) -> list[str]:
    steps = {action.step for action in actions}
    kit = [
        "this sheet",
        "a fresh service form with its pass sheets",
        f"{table.kit.name} with its cards of {table.kit.card_mm:.3f} mm",
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
