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
    ("phone", "email", "photo"),
    [
        ("555-0100", None, "the office, telephone 555-0100"),
        ("555-0100", "office@a.test", "the office, telephone 555-0100 or e-mail office@a.test"),
        (None, "office@a.test", "the office, e-mail office@a.test"),
        (None, None, "the office that printed this card"),
        (None, "w" * 40 + "@a.test", "the office that printed this card"),  # wider than its column
    ],
)
def test_card_names_what_is_set_of_the_office(desk_of, long_table, phone, email, photo):
    desk = desk_of("card", replace(long_table, office_phone=phone, office_email=email))

    call = ", telephone 555-0100" if phone else " the office"
    assert f"keep everybody off it and call{call}." in desk.said("stop")
    assert f"all its black squares in view and send it to {photo}." in desk.said("back")


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
