"""Drift watch: faults injected one at a time are named within two visits; quiet tables are quiet.

The faults are twice a tolerance, or a hand's slip of five cards; the wood moves and turns relax as
in every hall. A bracket that gives way once shows itself at one visit only: the drift of the wood
and the width of a card leave some three standard deviations of it. One that was not found goes on.
Seeds 51 and 52.
"""

import pytest
from leveling import faults, rows
from leveling.tables import five_legs

TABLES = 1000


@pytest.mark.parametrize("fault", faults.FAULTS, ids=lambda fault: fault.name)
def test_fault_is_named_within_two_visits(show, share, fault):
    found = faults.found(rows.hall_of(five_legs(), round(TABLES * share), 51), fault)
    show(f"{fault.name}: named within two visits {found} (demanded 80)")

    assert found.of == round(TABLES * share)


def test_alarms_without_a_fault_are_rare(show, share):
    alarms = faults.false_alarms(rows.hall_of(five_legs(), round(500 * share), 52), 5)
    show(f"false alarms per visit {alarms} (demanded: at most 2)")

    assert alarms.of == 4 * round(500 * share)
