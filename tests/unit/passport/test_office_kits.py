"""A kit's measured card is used from then on, by every table that the kit looks after."""

from datetime import UTC, date, datetime
from decimal import Decimal
from hashlib import sha256
from random import Random

import pytest

from forms.field import Note, Tick
from passport.demo.tour import INVENTED
from passport.office import Office, open_store, printing
from passport.office.kits import write_back
from passport.office.registering import register, table
from passport.settings import Settings
from passport.visits import KINDS
from passport.visits.kit import KitCheck
from scan.reading import PageReading, PhotoReading, Reading, Status

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


def read(field, value):
    if isinstance(field, Note):
        return Reading(Status.SURE, None, 1.0, ink=False)
    if isinstance(field, Tick):
        return Reading(Status.SURE, value is True, 1.0)
    return Reading(Status.EMPTY if value is None else Status.SURE, value, 1.0)


def take(office, owner, stacks=STACKS, day=DAY, zero_shown=True):
    printed = printing.print_form(office, "kit", owner.number)
    form = printed.layout.form
    check = KitCheck(form, "kit", owner.number, day, owner.kit, "AB", stacks_mm=stacks,
                     micrometer_step_mm=0.0254, zero_shown=zero_shown)  # fmt: skip
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
