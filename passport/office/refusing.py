"""Values that are sure, but that the form's own rules refuse: asked until a person confirms them.

Who confirms has seen what the rule says; then the value stays as the paper has it, and is left out
of what it can't be part of.
"""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from passport.office import Office
from passport.office.filed import filed, record_of
from passport.office.registering import table as find_table
from passport.records.drafts import Decision
from passport.records.form_state import FormRecord
from passport.table import Table
from passport.visit import Doubt
from passport.visits import KINDS
from scan.reading import Value

LOOKED_AGAIN = "looked again: "


def refused(form: FormRecord, doubts: Iterable[Doubt]) -> dict[str, str]:
    """Say which sure values a person must look at again, and why; by field.

    Parameters
    ----------
    form : FormRecord
        The form with its readings and answers.
    doubts : iterable of Doubt
        What the meaning of the form leaves in doubt.
    """
    if form.closed:
        return {}
    waits = {one.field for one in form.doubts}
    said = {one.field: one.why for one in form.answers}  # the last one counts
    return {
        one.field: one.why
        for one in doubts
        if one.field in form.readings and one.field not in waits
        if not said.get(one.field, "").startswith(LOOKED_AGAIN + one.why)
    }


def refused_on(office: Office, form: FormRecord) -> dict[str, str]:
    """Say the same of a form in the store; nothing of one that is bound to no table."""
    if not form.table or not form.pages_in:
        return {}
    return refused(form, record_of(office, find_table(office, form.table), form).doubts)


def refused_of(office: Office, table: Table) -> tuple[str, ...]:
    """Name the forms of a table that hold such values, once for each value."""
    doubtful = [one.record for one in filed(office, table, KINDS.values()) if one.record.doubts]
    found = ((one, refused(office.store.form(one.form), one.doubts)) for one in doubtful)
    return tuple(record.form for record, fields in found for _ in fields)


def confirming(
    form: FormRecord, refusals: Mapping[str, str], answer: tuple[str, Value], decision: Decision
) -> Decision:
    """Write into a decision that it confirms a refused value, where it does."""
    field, value = answer
    if field not in refusals or form.readings[field].value != value:
        return decision
    said = f"{LOOKED_AGAIN}{refusals[field]}; {decision.why}"
    return replace(decision, why=said)
