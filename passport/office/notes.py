"""Notes to read: ink where a form leaves room for words; unsafe comes first, with a call."""

from collections.abc import Collection
from dataclasses import dataclass, field
from datetime import date

from passport.errors import PassportError
from passport.office import Office
from passport.office.filed import filed
from passport.office.settling import reasoned
from passport.records import Contact
from passport.records.drafts import Decision
from passport.records.form_state import FormRecord, Heard
from passport.table import Table
from passport.visits import KINDS
from passport.visits.service import ids

READ = "read at the desk"
_SIGNED = (ids.SIGNATURE, ids.NAME)


class CallIncomplete(PassportError):
    """A call to a customer without whom or when."""

    exit_code = 2

    def __init__(self, whom: str, when: str):
        self.whom, self.when = whom, when
        super().__init__(
            f"The call says whom: {whom or 'nobody'}, when: {when or 'no time'}. "
            "Write both: who picked up, and the day and time."
        )


@dataclass(frozen=True)
class Noted:
    """One form with something to read.

    ``fields`` are the note areas that hold ink, each with its page; ``told`` are the calls made.
    """

    form: str
    kind: str
    table: Table
    on: date
    unsafe: bool
    office_must_read: bool
    read: bool
    told: tuple[Heard, ...]
    fields: tuple[str, ...]
    record: FormRecord = field(repr=False)
    contact: Contact | None = None

    @property
    def waits(self) -> bool:
        """Whether somebody must still read it, or call."""
        return not self.read or (self.unsafe and not self.told)


def unread_of(office: Office, table: Table) -> tuple[Noted, ...]:
    """List a table's forms on which something waits to be read, or a call to be made."""
    return tuple(one for one in noted_of(office, table) if one.waits)


def noted_of(office: Office, table: Table) -> tuple[Noted, ...]:
    """List a table's forms that hold notes, in the order of their dates."""
    found = []
    for one in filed(office, table, KINDS.values()):
        fields = _with_words(getattr(one.record, "notes", ()))
        must_read = bool(getattr(one.record, "office_must_read", False))
        if fields or must_read or one.record.unsafe:
            form = office.store.form(one.record.form)
            found.append(
                Noted(
                    form=form.number,
                    kind=one.kind.name,
                    table=table,
                    on=one.on,
                    unsafe=one.record.unsafe,
                    office_must_read=must_read,
                    read=form.notes_are_read,
                    told=form.customer_told,
                    fields=fields,
                    record=form,
                    contact=office.store.table(table.number).contact,
                )
            )
    return tuple(found)


def in_order(noted: Collection[Noted]) -> tuple[Noted, ...]:
    """Put what is unsafe first, then what the office must read, then the oldest."""
    return tuple(sorted(noted, key=lambda one: (not one.unsafe, not one.office_must_read, one.on)))


def read(office: Office, form: str, who: str) -> None:
    """Say that somebody read the notes of a form."""
    office.store.read_notes(form, Decision(who, READ), office.now())


def tell(office: Office, form: str, call: tuple[str, str], decision: Decision) -> None:
    """Say whom somebody told by telephone that a table must not be used, and when.

    Raises
    ------
    CallIncomplete, ReasonMissing
    """
    whom, when = (part.strip() for part in call)
    if not whom or not when:
        raise CallIncomplete(whom, when)
    said = reasoned(decision, "note down a call")
    office.store.tell_customer(form, (whom, when), said, office.now())


def _with_words(notes: Collection[str]) -> tuple[str, ...]:
    signed = (name for name in notes if name in _SIGNED or name.endswith(".sign"))
    return tuple(sorted(set(notes) - set(signed)))
