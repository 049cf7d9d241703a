"""What a person decided: answers of a whole sheet, photos set aside, corrections, closed forms."""

from collections.abc import Mapping

from passport.errors import PassportError
from passport.office import Office
from passport.office.following import follow
from passport.office.refusing import confirming, refused_on
from passport.records.drafts import Decision
from scan.reading import Value

LOOKED = "looked at the picture"


class ReasonMissing(PassportError):
    """A decision that needs its reason."""

    exit_code = 2

    def __init__(self, what: str):
        self.what = what
        super().__init__(
            f"To {what}, a reason is needed, and there is none. "
            "Write in a few words why, for whoever reads the history later."
        )


def accept(office: Office, form: str, answers: Mapping[str, Value], who: str) -> None:
    """Put a person's answers in the places of their fields.

    One that a rule of the form refuses is asked again; the same answer once more confirms it.
    """
    record = office.store.form(form)
    refusals = refused_on(office, record)
    for answer in answers.items():
        decision = confirming(record, refusals, answer, Decision(who, LOOKED))
        office.store.settle(form, *answer, decision, office.now())
    follow(office, form)


def correct(office: Office, form: str, answer: tuple[str, Value], decision: Decision) -> None:
    """Put another value in a field's place; the old one stays visible.

    Raises
    ------
    ReasonMissing
    """
    record, given = office.store.form(form), reasoned(decision, "correct a value")
    said = confirming(record, refused_on(office, record), answer, given)
    office.store.settle(form, *answer, said, office.now())
    follow(office, form)


def set_aside(office: Office, form: str, photo: tuple[str, int], decided: tuple[str, str]) -> None:
    """Say that a photo does not belong to this visit: kept, but not counted.

    Raises
    ------
    ReasonMissing
    """
    decision = reasoned(Decision(*decided), "set a photo aside")
    office.store.set_aside(form, photo, decision, office.now())


def close(office: Office, form: str, decided: tuple[str, str]) -> None:
    """Say that nothing more will come of a form.

    Raises
    ------
    ReasonMissing
    """
    office.store.close_form(form, reasoned(Decision(*decided), "close a form"), office.now())


def reasoned(decision: Decision, what: str) -> Decision:
    """Make sure that a decision says why.

    Raises
    ------
    ReasonMissing
    """
    if not decision.why.strip():
        raise ReasonMissing(what)
    return decision
