"""What each guard is worth: sheets made to fool the reader, with every guard loosened alone."""

from collections import Counter

import pytest
from reading.provoked import CASES, LOOSENED, read

from scan.guards import GUARDS

SEEDS = 3

pytestmark = pytest.mark.long


@pytest.fixture(scope="module")
def silent(tmp_path_factory):
    """Silent errors and fields said sure for each case under each guard loosened, and under all."""
    folder, found = tmp_path_factory.mktemp("cases"), Counter()
    for name, make in CASES.items():
        for seed in range(SEEDS):
            case = make(seed)
            for guard, guards in {"all held": GUARDS, **LOOSENED}.items():
                outcomes = read(case, guards, folder)
                found[name, guard] += sum(one.silent for one in outcomes)
                found[name, "fields"] += len(outcomes) if guard == "all held" else 0
    return found


def test_what_each_guard_is_worth_is_told(silent, show):
    for name in CASES:
        worth = {guard: silent[name, guard] for guard in LOOSENED if silent[name, guard]}
        held, fields = silent[name, "all held"], silent[name, "fields"]
        show(f"{name}: {fields} fields; silent with all guards {held}; with one off {worth}")


@pytest.mark.parametrize("name", CASES)
def test_nothing_gets_past_all_guards(silent, name):
    assert silent[name, "all held"] == 0
