"""What a measuring kit's own check found, written into the tables that the kit looks after."""

from dataclasses import replace
from typing import cast

from passport.office import Office
from passport.office.history import record_of
from passport.office.registering import table as find_table
from passport.office.registering import tables
from passport.records.form_state import FormRecord, FormState
from passport.table import Kit, Table
from passport.table_plain import to_plain
from passport.visits import kit as kit_visit
from passport.visits.kit import KitCheck

WRITTEN = ("kit.card", "kit.card_uncertainty")  # keys of a description that a check replaces


def write_back(office: Office, number: str) -> tuple[str, ...]:
    """Use a kit's measured card, with its uncertainty, from now on for every table of that kit.

    A kit is known by its name. Only a settled check counts, and only the newest of its kit; forms
    that are out keep the kit that they were printed for.

    Returns
    -------
    tuple of str
        Numbers of the tables whose description changed.
    """
    form = office.store.form(number)
    if form.kind != kit_visit.KIND or form.state is not FormState.SETTLED:
        return ()
    check = _check(office, form)
    if check.card is None or check.doubts or _is_older(office, check):
        return ()
    kit = replace(check.kit, card_mm=check.card.value, card_u_mm=check.card.u)
    changed = [one for one in tables(office) if one.kit.name == kit.name and _differs(one.kit, kit)]
    for one in changed:
        office.store.describe(one.number, to_plain(_with(one, kit)), office.now())
    return tuple(one.number for one in changed)


def _check(office: Office, form: FormRecord) -> KitCheck:
    return cast(KitCheck, record_of(office, find_table(office, form.table), form))


def _is_older(office: Office, check: KitCheck) -> bool:
    """Say whether another settled check of the same kit bears a later date."""
    forms = office.store.forms(FormState.SETTLED)
    others = (_check(office, one) for one in forms if one.kind == kit_visit.KIND)
    same = (one for one in others if one.kit.name == check.kit.name and one.card is not None)
    return any(one.date and check.date and one.date > check.date for one in same)


def _differs(one: Kit, other: Kit) -> bool:
    return (one.card_mm, one.card_u_mm) != (other.card_mm, other.card_u_mm)


def _with(table: Table, kit: Kit) -> Table:
    """Put the measured card in; what the description had said of it no longer stands."""
    measured = replace(table.kit, card_mm=kit.card_mm, card_u_mm=kit.card_u_mm)
    return replace(
        table,
        kit=measured,
        assumed=tuple(key for key in table.assumed if key not in WRITTEN),
        written=tuple(pair for pair in table.written if pair[0] not in WRITTEN),
    )
