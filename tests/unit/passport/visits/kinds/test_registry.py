"""The registry of kinds: each under its own name, and only one that makes the history."""

from passport.visit import Visit
from passport.visits import KINDS


def test_every_kind_is_registered_under_the_name_that_its_forms_carry(desk_of, invented):
    table = invented("short")

    assert {name: desk_of(name, table).form.kind for name in KINDS} == {n: n for n in KINDS}


def test_only_service_and_spare_forms_give_visits_with_leveling_numbers():
    assert [kind.name for kind in KINDS.values() if kind.gives is Visit] == ["service", "spare"]


def test_service_visits_are_told_by_the_history_itself(desk_of, invented):
    desk = desk_of("service", invented("short"))

    assert desk.kind.tell(desk.context.table, desk.read({})) == ()
