"""Next actions and what became of each: done, not needed, not possible."""

from dataclasses import dataclass

from passport.documents.action import STEP_NAMES, Action
from passport.documents.house import Story
from passport.documents.worklist import action_list
from passport.errors import PassportError
from passport.office import Office
from passport.records import ActionResult, ClosedAction
from passport.records.drafts import Decision
from passport.records.form_state import FormRecord, FormState


class ActionUnknown(PassportError):
    """An action that is not on the table's list any more."""

    def __init__(self, action: str):
        self.action = action
        super().__init__(
            f"There is no action {action!r} on this table's list now: a visit came in since. "
            "Load the page anew and look at the new list."
        )


@dataclass(frozen=True)
class Acting:
    """One next action, its step in words, and how it ended if it has."""

    action: Action
    step: str
    closed: ClosedAction | None


def acting(office: Office, story: Story) -> tuple[Acting, ...]:
    """List a table's next actions in the order of the trade."""
    record = office.store.table(story.table.number)
    closed = {one.action: one for one in record.closed_actions}
    actions = action_list(story.table, story.visits, story.advice, story.stopped_by)
    return tuple(Acting(one, STEP_NAMES[one.step], closed.get(one.id)) for one in actions)


def close_action(
    office: Office, story: Story, action: str, result: ActionResult, decision: Decision
) -> None:
    """Say how a next action ended.

    Raises
    ------
    ActionUnknown
        It is not on the list.
    """
    if action not in {one.action.id for one in acting(office, story)}:
        raise ActionUnknown(action)
    office.store.close_action(story.table.number, action, result, decision, office.now())


def incomplete(office: Office, number: str) -> tuple[FormRecord, ...]:
    """List the forms of a table whose pages are missing: next actions wait for them."""
    forms = office.store.forms_of(number)
    return tuple(one for one in forms if one.state is FormState.PARTLY_IN)
