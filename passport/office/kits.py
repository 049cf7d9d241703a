"""What a measuring kit's own check found, written into the tables that the kit looks after."""

from collections.abc import Collection
from dataclasses import replace
from datetime import date
from typing import cast

from passport.office import Office
from passport.office.filed import record_of
from passport.office.registering import kept
from passport.office.registering import table as find_table
from passport.records.form_state import FormState
from passport.table import Own, Table
from passport.table_plain import to_plain
from passport.visits import kit as kit_visit
from passport.visits.kit import KitCheck

# Keys of a description that a check replaces, by what it measured.
WRITTEN = {
    "card": ("kit.card", "kit.card_uncertainty"),
    "zero": ("kit.level_zero", "kit.level_zero_uncertainty"),
    "bow": ("kit.edge_bow", "kit.edge_bow_uncertainty"),
}


def write_back(office: Office, number: str) -> tuple[str, ...]:
    """Use a kit's own numbers, with their uncertainty, from now on for every table of that kit.

    A kit is known by its name. Only a settled check counts, and each number gives way only to one
    measured later; forms that are out keep the kit that they were printed for.

    Returns
    -------
    tuple of str
        Numbers of the tables whose description changed.
    """
    form = office.store.form(number)
    if form.kind != kit_visit.KIND or form.state is not FormState.SETTLED:
        return ()
    check = cast(KitCheck, record_of(office, find_table(office, form.table), form))
    if check.doubts:
        return ()
    changed = list[str]()
    for mine in office.store.of_kit(check.kit.name):
        one = find_table(office, mine)
        if (now := checked(one, check)) != one:
            office.store.describe(one.number, to_plain(now), office.now())
            changed.append(one.number)
    return tuple(changed)


def checked(table: Table, check: KitCheck) -> Table:
    """Put a check's numbers into a table; what its description had said of them no longer stands.

    A number stays where the table has one that was measured later.
    """
    kit, given = table.kit, dict[str, object]()
    if check.card is not None and _is_new(check.date, kit.card_on):
        given = {"card_mm": check.card.value, "card_u_mm": check.card.u, "card_on": check.date}
    replaced = list(WRITTEN["card"] if given else ())
    for name, old, measured in (("zero", kit.zero, check.zero), ("bow", kit.bow, check.bow)):
        if measured is not None and _is_new(check.date, old.on if old else None):
            given[name] = Own(measured.value, measured.u, check.date)
            replaced += WRITTEN[name]
    return replace(
        table,
        kit=replace(kit, **given),  # type: ignore[arg-type]
        assumed=tuple(key for key in table.assumed if key not in replaced),
        written=tuple(pair for pair in table.written if pair[0] not in replaced),
    )


def adopt(office: Office, registered: Collection[str]) -> None:
    """Give newly described tables what was measured of their kits for other tables."""
    for number in registered:
        one = now = find_table(office, number)
        for known in sorted(office.store.last_measured(one.kit.name)):
            now = kept(find_table(office, known), now)
        if now != one:
            office.store.describe(number, to_plain(now), office.now())


def _is_new(day: date | None, known: date | None) -> bool:
    return known is None or day is None or day >= known
