"""What each guard is worth: sheets made to fool the reader, with every guard loosened alone."""

import pytest
from reading.provoked import CASES
from reading.worth import HELD, table, told

SEEDS = 3

pytestmark = pytest.mark.long


@pytest.fixture(scope="module")
def found():
    return list(told(SEEDS))


def test_what_each_guard_is_worth_is_told(found, show):
    for line in table(found):
        show(line)


@pytest.mark.parametrize("name", CASES)
def test_nothing_gets_past_all_guards(found, name):
    assert [one.silent for one in found if (one.case, one.guards) == (name, HELD)] == [0]
