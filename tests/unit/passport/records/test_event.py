from datetime import datetime, timedelta, timezone

import pytest

from passport.records.event import Event, EventKind, SchemaNewer, read_up, utc_text

PRINTED = EventKind.FORM_PRINTED


def test_a_moment_is_written_in_utc():
    at = datetime(2026, 11, 24, 1, 30, tzinfo=timezone(timedelta(hours=2)))

    assert utc_text(at) == "2026-11-23T23:30:00.000000Z"


def test_a_moment_without_its_zone_is_a_mistake():
    with pytest.raises(ValueError, match=r"^a moment needs its time zone$"):
        utc_text(datetime(2026, 11, 24))


def test_an_old_event_is_read_up_step_by_step():
    old = Event(1, "", PRINTED, "F", {"schema": 1, "kind": "service"})
    steps = {
        (PRINTED, 1): lambda body: {"form_kind": body["kind"]},
        (PRINTED, 2): lambda body: {**body, "copies": 1},
    }

    new = read_up(old, {PRINTED: 3}, steps)

    assert new.body == {"schema": 3, "form_kind": "service", "copies": 1}
    assert old.body == {"schema": 1, "kind": "service"}


def test_an_event_of_a_later_schema_is_not_guessed_at():
    with pytest.raises(SchemaNewer, match=r"^form printed 2$"):
        read_up(Event(1, "", PRINTED, "F", {"schema": 2}))
