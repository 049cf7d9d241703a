"""Tables that name one build learn from each other; what was learned stands on their forms."""

from datetime import UTC, date, datetime
from random import Random

import pypdfium2
import pytest

from passport.demo.tour import INVENTED
from passport.leveling.advise import undated
from passport.leveling.standing import standing
from passport.office import Office, builds, open_store, printing, resumed
from passport.office.builds import taught_by_build
from passport.office.history import advice_for, reckon_by_build, stands_of, story
from passport.office.reasons import why_of
from passport.office.registering import register
from passport.records import Decision
from passport.settings import Settings
from passport.visit import BracketPass, Count, LegPass, Pass, Visit
from tests.filled import take_in

DAY = date(2026, 3, 2)


@pytest.fixture
def office(tmp_path):
    now = datetime(2026, 3, 2, 9, tzinfo=UTC)
    made = Office(
        open_store(tmp_path / "home"),
        Settings(technicians=("AB",)),
        lambda: now,
        Random(3).getrandbits,
    )
    yield made
    made.store.close()


@pytest.fixture
def described(office, tmp_path):
    def describe(name, build="Nine foot, 2019"):
        text = (INVENTED / "short.toml").read_text().splitlines()
        text = [f'name = "{name}"' if line.startswith("name =") else line for line in text]
        file = tmp_path / f"{name}.toml"
        file.write_text("\n".join([f'build = "{build}"' if build else "", *text]))
        return register(office, file).table

    return describe


def leveled(office, table, strong=3):
    """Take in a visit whose nuts did so many cards a turn."""
    printed = printing.print_form(office, "service", table.number)
    nuts = {name: BracketPass(Count(1), 4, Count(1 + strong)) for name in ("B1", "B2", "B3")}
    legs = {name: LegPass(Count(0)) for name in ("L1", "L2")}
    walk = (Pass(legs, nuts),)
    visit = Visit(printed.layout.form, "service", table.number, DAY, table.kit, passes=walk)
    take_in(office, printed, visit)


@pytest.fixture
def halfway(office, described, monkeypatch):
    """Level two tables of a build, the second after the first was reckoned; nobody reckons now."""
    first, second = described("One"), described("Two")
    leveled(office, first)
    story(office, first.number)
    leveled(office, second)
    monkeypatch.setattr(resumed, "standing", lambda *_: pytest.fail("somebody waits"))
    return first


def footer(office, table):
    """Read the table's next service form as it is printed, without its line ends."""
    with pypdfium2.PdfDocument(printing.print_form(office, "service", table.number).pdf) as pdf:
        return " ".join(pdf[0].get_textpage().get_text_bounded().split())


def test_who_does_not_wait_is_told_by_what_the_build_had_taught_before(office, halfway):
    told = story(office, halfway.number, waits=False)

    assert (len(told.visits), told.table.build_nuts) == (1, None)
    assert told.standing == standing(told.table, told.visits)


def test_once_it_was_reckoned_everybody_is_told_what_the_build_taught_since(
    office, halfway, monkeypatch
):
    monkeypatch.setattr(resumed, "standing", standing)
    reckon_by_build(office, halfway.number)
    at_once, exact = (story(office, halfway.number, waits=waits) for waits in (False, True))

    assert at_once.table.build_nuts == taught_by_build(office, halfway)
    assert (at_once.advice, at_once.standing) == (exact.advice, exact.standing)


def test_what_a_table_itself_says_counts_at_once(office, halfway, monkeypatch):
    monkeypatch.setattr(resumed, "standing", standing)
    leveled(office, halfway)
    told = story(office, halfway.number, waits=False)

    assert (len(told.visits), told.table.build_nuts) == (2, taught_by_build(office, halfway))


def test_description_names_a_build(described):
    assert described("One").build == "Nine foot, 2019"


def test_a_fresh_table_learns_from_the_others_of_its_build_and_from_no_other(office, described):
    one, same, other = described("One"), described("Two"), described("Three", "Nine foot, 2021")
    leveled(office, one)

    taught = taught_by_build(office, same)

    assert (taught.tables, taught.as_of) == (1, office.store.head().seq)
    assert taught.median_mm > 0.0508  # 3 cards of 0.0075 in with a turn are more than usual
    assert taught_by_build(office, other) is None
    assert taught_by_build(office, described("Four", "")) is None


def test_a_tables_own_visits_teach_its_build_but_not_itself(office, described):
    one = described("One")
    described("Two")
    leveled(office, one)

    assert taught_by_build(office, one) is None


def test_each_further_table_counts_once(office, described):
    one, two, fresh = (described(name) for name in ("One", "Two", "Three"))
    leveled(office, one)
    first = taught_by_build(office, fresh)
    leveled(office, two)

    taught = taught_by_build(office, fresh)

    assert (first.tables, taught.tables) == (1, 2)
    assert taught.as_of > first.as_of
    assert taught.log_u < first.log_u


def test_what_a_table_teaches_is_reckoned_once(office, described, monkeypatch):
    leveled(office, described("One"))
    fresh = described("Two")
    taught = taught_by_build(office, fresh)
    monkeypatch.setattr(builds, "lesson", lambda *_: pytest.fail("reckoned again"))

    assert taught_by_build(office, fresh) == taught


def test_what_a_table_teaches_is_made_anew_after_the_projections_were(office, described):
    leveled(office, described("One"))
    fresh = described("Two")
    taught = taught_by_build(office, fresh)

    office.store.rebuild()

    assert taught_by_build(office, fresh) == taught


def test_a_table_that_names_another_build_now_teaches_the_old_one_no_more(office, described):
    leveled(office, described("One"))
    fresh = described("Two")
    described("One", "Nine foot, 2021")

    assert taught_by_build(office, fresh) is None


def test_how_a_table_stands_follows_its_build(office, described):
    """Its own records are the same; what is remembered of it is not."""
    one, two = described("One"), described("Two")
    leveled(office, two, strong=1)
    before = stands_of(office, two.number)[2]
    leveled(office, one)

    table, visits, after = stands_of(office, two.number)

    assert before.advice != after.advice
    assert after.advice == undated(table, visits)


def test_form_says_what_its_look_ups_learned_from_the_build(office, described):
    leveled(office, described("One"))
    fresh = described("Two")
    as_of = taught_by_build(office, fresh).as_of

    said = f" Printed 2026-03-02; nuts learned as of event {as_of}, from 1 table of this build."
    assert said in footer(office, fresh)


def test_form_says_both_where_the_table_has_visits_of_its_own(office, described):
    one, two = described("One"), described("Two")
    leveled(office, one)
    leveled(office, two)
    as_of = taught_by_build(office, two).as_of

    said = f"; learned up to 2026-03-02, and as of event {as_of}, from 1 table of this build."
    assert said in footer(office, two)


def test_why_says_what_the_build_taught_and_then_seasons_and_loads(office, described):
    one, two = described("One"), described("Two")
    leveled(office, one)
    leveled(office, two)

    lines = why_of(office, two.number, advice_for(office, two.number))

    assert [line for line in lines if line in {"Seasons:", "What the legs carry:"}] == [
        "Seasons:", "What the legs carry:",
    ]  # fmt: skip
    as_of = taught_by_build(office, two).as_of
    said = f"before: learned as of event {as_of}, from 1 table of this build)"
    assert [line.endswith(said) for line in lines if line.startswith("  B1: ")] == [True]


def test_why_of_a_fresh_table_says_what_its_nuts_are_taken_to_do(office, described):
    leveled(office, described("One"))
    fresh = described("Two")

    lines = why_of(office, fresh.number, advice_for(office, fresh.number))

    as_of = taught_by_build(office, fresh).as_of
    said = f" in (learned as of event {as_of}, from 1 table of this build)"
    assert [line[:6] for line in lines if line.endswith(said)] == ["  B1: ", "  B2: ", "  B3: "]


def test_a_lesson_reckoned_before_another_record_came_is_not_kept(office, described):
    one, two = described("One"), described("Two")
    leveled(office, one)
    old = office.store.of_build(one.build, "program", 9)
    mine = next(row for row in old if row.table == one.number)
    office.store.move(one.number, "Mill Hall", DAY, Decision("C", "sold"), office.now())

    office.store.teach(mine._replace(body=b"old"), "program")

    assert {row.body for row in office.store.of_build(two.build, "program", 9)} == {None}
