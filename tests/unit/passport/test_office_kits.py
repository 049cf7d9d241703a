"""A kit's measured card is used from then on, by every table that the kit looks after."""

import sqlite3
from contextlib import closing
from datetime import UTC, date, datetime
from decimal import Decimal
from hashlib import sha256
from random import Random

import pytest

from passport.demo.tour import INVENTED
from passport.office import Office, open_store, printing
from passport.office.kits import adopt, write_back
from passport.office.registering import register, table
from passport.settings import Settings
from passport.table import Own
from passport.table_plain import from_plain
from passport.visit import Count
from passport.visits import KINDS
from passport.visits.kit import KitCheck
from passport.visits.kit.numbers import Gap
from passport.visits.kit.record import Pair
from passport.visits.service import legs
from scan.reading import PageReading, PhotoReading
from tests.filled import read

DAY = date(2026, 3, 2)
STACKS = (1.3208, 1.3462, 1.3208)


@pytest.fixture
def office(tmp_path):
    made = Office(
        open_store(tmp_path / "home"), Settings(technicians=("AB",)),
        lambda: datetime(2026, 3, 2, 9, tzinfo=UTC), Random(3).getrandbits,
    )  # fmt: skip
    yield made
    made.store.close()


@pytest.fixture
def twins(office, tmp_path):
    text = (INVENTED / "short.toml").read_text()
    other = tmp_path / "other.toml"
    other.write_text(text.replace("Nook Table", "Other Table"))
    files = (INVENTED / "short.toml", other, INVENTED / "middle.toml")
    return [register(office, path).table for path in files]


def take(office, owner, stacks=STACKS, day=DAY, zero_shown=True, **more):
    printed = printing.print_form(office, "kit", owner.number)
    form = printed.layout.form
    check = KitCheck(form, "kit", owner.number, day, owner.kit, "AB", stacks_mm=stacks,
                     micrometer_step_mm=0.0254 if stacks else None, zero_shown=zero_shown,
                     **more)  # fmt: skip
    given = KINDS["kit"].answers(check, printed_on=DAY)
    pages = tuple(
        PageReading(form, page.page, {one.id: read(one, given.get(one.id)) for one in page.fields})
        for page in printed.layout.pages
    )
    content = form.encode()
    photo = PhotoReading("kit.pdf", sha256(content).hexdigest(), pages)
    office.store.record_photo(photo, content, office.now())
    return check, write_back(office, form)


def test_measured_card_is_written_to_every_table_of_the_kit_and_to_no_other(office, twins):
    check, changed = take(office, twins[0])

    now = [table(office, one.number).kit for one in twins]
    assert set(changed) == {twins[0].number, twins[1].number}
    assert {(kit.card_mm, kit.card_u_mm) for kit in now[:2]} == {(check.card.value, check.card.u)}
    assert now[2] == twins[2].kit


def test_card_without_a_closed_zero_changes_nothing(office, twins):
    _, changed = take(office, twins[0], zero_shown=False)

    assert (changed, table(office, twins[0].number)) == ((), twins[0])


def test_form_printed_after_the_check_names_the_measured_card(office, twins):
    take(office, twins[0])
    printed = printing.print_form(office, "service", twins[1].number)

    described = office.store.description_of(printed.layout.form)
    assert Decimal(str(described["kit"]["card_mm"])).quantize(Decimal("0.0001")) == Decimal(
        "0.1329"
    )


LEVEL = {
    "reversals": ((Count(3), Count(-1)),) * 3,
    "gaps": {Pair.TWIN: Gap(0.0254, 0.0508), Pair.THIRD: Gap(0.0254, 0.0508),
             Pair.OTHERS: Gap(0.0, 0.0254)},
}  # fmt: skip


def test_zero_and_bow_are_written_with_uncertainty_and_day(office, twins):
    check, _ = take(office, twins[0], **LEVEL)

    kit = table(office, twins[1].number).kit
    assert (kit.card_on, kit.zero, kit.bow) == (
        DAY,
        Own(check.zero.value, check.zero.u, DAY),
        Own(check.bow.value, check.bow.u, DAY),
    )


def test_look_ups_of_the_next_form_follow_the_checked_kit(office, twins):
    leg, before = twins[1].legs[0], table(office, twins[1].number)
    take(office, twins[0], **LEVEL)

    after = table(office, twins[1].number)
    assert legs.counts(after, leg).lookups != legs.counts(before, leg).lookups


def test_earlier_check_that_comes_in_later_replaces_nothing(office, twins):
    take(office, twins[0], **LEVEL)
    known = table(office, twins[0].number)
    _, changed = take(office, twins[0], day=date(2026, 3, 1), reversals=((Count(0), Count(0)),))

    assert (changed, table(office, twins[0].number)) == ((), known)


def test_check_of_the_edge_alone_leaves_card_and_zero(office, twins):
    take(office, twins[0], **LEVEL)
    known = table(office, twins[0].number).kit
    take(office, twins[0], stacks=(), gaps={Pair.TWIN: Gap(0.0508, 0.0762)})

    now = table(office, twins[0].number).kit
    assert (now.card_mm, now.zero, now.bow != known.bow) == (known.card_mm, known.zero, True)


def test_description_without_a_day_does_not_undo_what_was_measured(office, twins):
    take(office, twins[0], **LEVEL)
    known = table(office, twins[0].number)

    assert register(office, INVENTED / "short.toml").table.kit == known.kit


def test_description_with_a_later_day_replaces_what_was_measured(office, twins, tmp_path):
    take(office, twins[0], **LEVEL)
    text = (INVENTED / "short.toml").read_text().replace(
        "[kit]", '[kit]\nchecked = 2026-04-01\nlevel_zero = "0.1 mm/m"\n'
        'level_zero_uncertainty = "0.05 mm/m"'
    )  # fmt: skip
    (tmp_path / "later.toml").write_text(text)

    kit = register(office, tmp_path / "later.toml").table.kit
    assert (kit.zero, kit.card_mm) == (Own(0.1, 0.05, date(2026, 4, 1)), twins[0].kit.card_mm)


def test_table_described_after_the_check_takes_the_kits_numbers(office, twins, tmp_path):
    take(office, twins[0], **LEVEL)
    (tmp_path / "new.toml").write_text(
        (INVENTED / "short.toml").read_text().replace("Nook Table", "New Table")
    )
    new = register(office, tmp_path / "new.toml").table

    adopt(office, [new.number])
    assert table(office, new.number).kit == table(office, twins[0].number).kit


def test_registering_reads_no_table_but_those_that_hold_the_newest(office, twins, monkeypatch):
    take(office, twins[0], **LEVEL)
    number, read, find = twins[1].number, [], office.store.table
    monkeypatch.setattr(office.store, "table", lambda one: read.append(one) or find(one))

    adopt(office, [number])

    assert set(read) <= {number, *office.store.last_measured(twins[1].kit.name)}
    assert len(office.store.last_measured(twins[1].kit.name)) == 1


def test_store_from_before_knows_its_kits_and_open_forms_once_it_is_opened(office, twins):
    take(office, twins[0], **LEVEL)
    printing.print_form(office, "service", twins[0].number)

    def known(store):
        name = twins[0].kit.name
        return store.of_kit(name), store.last_measured(name), store.open_forms()

    before, home = known(office.store), office.store.home
    office.store.close()
    with closing(sqlite3.connect(home / "store.sqlite")) as raw:
        raw.executescript(
            "DROP TABLE kits; DROP TABLE lessons; ALTER TABLE forms DROP COLUMN pages; "
            "ALTER TABLE forms DROP COLUMN missing; UPDATE alembic_version SET version_num = '0004'"
        )

    with open_store(home) as store:
        assert known(store) == before
    assert [len(one) for one in before] == [2, 1, 1]


def test_visit_on_a_form_from_before_the_check_keeps_its_kit(office, twins):
    printed = printing.print_form(office, "service", twins[0].number)
    take(office, twins[0], **LEVEL)

    described = from_plain(office.store.description_of(printed.layout.form))
    assert described.kit == twins[0].kit
