"""Promise 10: a clock that is set back changes no order: records are numbered."""

import runpy
from datetime import timedelta
from pathlib import Path

import pytest

from passport.records import Decision, Store

ONE = runpy.run_path(str(Path(__file__).with_name("one_form.py")))
AT, FORM = ONE["AT"], ONE["FORM"]
CLERK = Decision("A. Clerk", "looked at the paper")


@pytest.fixture
def store(tmp_path):
    ONE["begin"](tmp_path)
    with Store.open(tmp_path) as store:
        yield store


def test_a_clock_set_back_leaves_the_chain_whole_and_the_last_word_last(store):
    store.settle(FORM, "ok1", True, CLERK, AT)
    store.settle(FORM, "ok1", False, CLERK, AT - timedelta(days=400))

    store.verify()
    assert store.readings(FORM)["ok1"].value is False
    assert [one.seq for one in store.events()] == [1, 2, 3, 4]


def test_in_the_order_of_the_clock_the_last_word_would_be_another(store):
    store.settle(FORM, "ok1", True, CLERK, AT)
    store.settle(FORM, "ok1", False, CLERK, AT - timedelta(days=400))

    by_clock = sorted(store.form(FORM).answers, key=lambda one: one.at)

    assert by_clock[-1].value is True  # the control


def test_photos_taken_in_while_the_clock_stands_still_or_goes_back_are_all_there(store, tmp_path):
    taken = [
        ONE["take_in"](store, f"photo {days}", AT - timedelta(days=days)) for days in (0, 0, 1, 9)
    ]

    assert ONE["broken_promises"](tmp_path, taken, []) == []
