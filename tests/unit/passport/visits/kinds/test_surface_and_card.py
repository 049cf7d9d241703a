"""Surface care alone and the owner's check card: meaning, inverse, cautions, words."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from passport.visits.card import CheckCard
from passport.visits.card.form import PLACES
from passport.visits.service.closing import SURFACE
from passport.visits.surface import SurfaceCare

DATED = {"date.month": 12, "date.day": Decimal(5)}
DAYS = st.dates(date(2026, 11, 2), date(2027, 1, 31))
SPEED = settings(max_examples=30, deadline=None, suppress_health_check=list(HealthCheck))


@pytest.fixture(scope="session")
def surface(long_table, desk_of):
    return desk_of("surface", long_table)


@pytest.fixture(scope="session")
def card(long_table, desk_of):
    return desk_of("card", long_table)


def head(desk):
    layout = desk.context.layout
    return {"form": layout.form, "kind": layout.kind, "table": layout.table}


@given(data=st.data())
@SPEED
def test_answers_of_surface_care_are_interpreted_as_that_care(surface, data):
    glides = st.sampled_from(("even", "slow", "stops"))
    care = SurfaceCare(
        **head(surface),
        date=data.draw(DAYS),
        technician=data.draw(st.sampled_from(("A. Reed", None))),
        surface=data.draw(
            st.dictionaries(st.sampled_from(list(SURFACE)), st.just(True), min_size=1)
        ),
        glide=data.draw(st.dictionaries(st.sampled_from(("before", "after")), glides)),
        unsafe=data.draw(st.booleans()),
        notes=data.draw(st.dictionaries(st.just("used.text"), st.just("crop.png"))),
    )

    given = surface.kind.answers(care, printed_on=date(2026, 11, 2))
    assert surface.read(given) == care


@given(data=st.data())
@SPEED
def test_answers_of_a_card_are_interpreted_as_that_card(card, data):
    seen = CheckCard(
        **head(card),
        date=data.draw(DAYS),
        drift=data.draw(st.sampled_from(("straight", "left", "right", None))),
        noise=data.draw(st.sampled_from(("none", "rattles", "cracks", None))),
        bare=data.draw(st.frozensets(st.sampled_from(list(PLACES)))),
        air_humidity_pct=data.draw(st.one_of(st.none(), st.integers(1, 99).map(float))),
        unsafe=data.draw(st.booleans()),
        notes=data.draw(st.dictionaries(st.just("drift.side"), st.just("crop.png"))),
    )

    assert card.read(card.kind.answers(seen, printed_on=date(2026, 11, 2))) == seen


def test_surface_care_without_a_mark_about_the_surface_is_doubted(surface):
    assert surface.whys(DATED) == {"surface.cleaned": "nothing about the surface is marked"}


def test_card_without_marks_but_the_day_has_no_doubts(card):
    assert card.whys(DATED) == {}


@pytest.mark.parametrize(
    ("block", "caution"),
    [
        ("area", "Close the area first: children, guests and pets out until"),
        ("area", "Nothing is turned on this visit: no nut, no foot."),
        ("glide", "Nobody at the far end with hands on the board or in the gutter."),
        ("surface", "the label and the safety data sheet decide. Air the room; no flame, pilot"),
        ("surface", "very slippery. Don’t breathe wax dust. Cans away from heat and children."),
        ("used", "as printed there: name, batch and hazard statements. Container without a"),
        ("notes", "Unsafe: close the table, tell the customer now; the office telephones today."),
    ],
)
def test_caution_of_surface_care_stands_in_the_block_of_its_step(surface, block, caution):
    assert caution in surface.said(block)


@pytest.mark.parametrize(
    ("block", "caution"),
    [
        ("stop", "a wire is bare: stop playing, keep everybody off it and call, telephone 555-"),
        ("stop", "Never lift, move, jack or lean on the table; never undo a nut or foot."),
        ("stop", "No climbing, sitting or crawling under it, above all by children."),
        ("drift", "Nobody at the far end with hands on the board or in the gutter."),
        ("photo", "What happens with the photo: a computer at the office reads the marks"),
        ("photo", "No names, no people, no signature: leave them out of writing and picture."),
        ("care", "Sweep the wax up from the floor: very slippery."),
        ("care", "Sprays and wax locked away from children and heat."),
        ("care", "Fingers off its end and the gutter during play."),
    ],
)
def test_caution_of_the_card_stands_in_the_block_of_its_step(card, block, caution):
    assert caution in card.said(block)


def test_card_without_an_office_telephone_says_call_the_office(desk_of, long_table):
    desk = desk_of("card", replace(long_table, office_phone=None))

    assert "keep everybody off it and call the office." in desk.said("stop")


def test_card_asks_for_no_name_and_no_level_reading(card):
    ids = {field.id for page in card.context.layout.pages for field in page.fields}

    assert ids == {
        "notes.unsafe", "drift", "drift.side", "noise", "bare.label", "bare.middle", "bare.far",
        "air.humidity", "date.month", "date.day", "date.next_year",
    }  # fmt: skip


def test_card_tells_what_stopped_play_first(card):
    seen = CheckCard(
        form="F", kind="card", table="T", unsafe=True, drift="left", noise="rattles",
        bare=frozenset({"middle"}), air_humidity_pct=40.0,
    )  # fmt: skip

    assert card.kind.tell(card.context.table, seen) == (
        "OUT OF USE until checked: the people at the table stopped playing",
        "a weight drifts to the left",
        "noise: rattles",
        "bare spots: in the middle",
        "relative humidity: 40 %",
    )


def test_surface_care_tells_what_was_done(surface):
    care = SurfaceCare(
        form="F", kind="surface", table="T", surface={"cleaned": True, "worn": True},
        glide={"after": "even"}, unsafe=True,
    )  # fmt: skip

    assert surface.kind.tell(surface.context.table, care) == (
        "OUT OF USE until checked",
        "surface: cleaned, worn or patchy",
        "glide after: even",
    )
