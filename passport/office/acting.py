"""Next actions and what became of each: done, not needed, not possible."""

from dataclasses import dataclass

from passport.documents.action import STEP_NAMES, Action
from passport.documents.house import Story
from passport.documents.worklist import action_list, look_first
from passport.errors import PassportError
from passport.office import Office
from passport.office.history import story
from passport.records import ActionResult, ClosedAction
from passport.records.drafts import Decision
from passport.records.form_state import FormRecord, FormState
from passport.visits.kind import NOTHING_OPEN, LookFirst

WAITING = "a page of an earlier form is missing: what it asks for is not known yet"


class ActionUnknown(PassportError):
    """An action that is not on the table's list any more."""

    def __init__(self, action: str):
        self.action = action
        super().__init__(
            f"There is no action {action!r} on this table's list now: more is known of the table "
            "since. Load the page anew and look at the new list."
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


def still_open(office: Office, number: str) -> LookFirst:
    """Say what the next form of a table looks at first.

    Next actions rest on whole forms: while a page is missing, the form says that instead.
    """
    if incomplete(office, number):
        return LookFirst((WAITING,))
    told = story(office, number)
    if not told.visits:
        return NOTHING_OPEN
    acts = acting(office, told)
    return look_first(
        [one.action for one in acts], {one.action.id for one in acts if one.closed is not None}
    )


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
    rows = office.store.form_rows(number)
    return tuple(office.store.form(row.number) for row in rows if row.state is FormState.PARTLY_IN)
