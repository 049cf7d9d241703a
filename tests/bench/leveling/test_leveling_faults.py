"""Drift watch: faults injected one at a time are named within two visits; quiet tables are quiet.

The faults are twice a tolerance, a bracket's whole hollow, or a hand's slip of five cards; the wood
moves and turns relax as in every hall. A bracket that gives back twice the tolerance once shows
itself at one visit only, by some three standard deviations of what cards and the wood's own drift
leave (3 thou of drift, 2.2 thou of a card's width at each of two readings, a tenth of it relaxed
away: 13.5 / 4.3): with eight brackets that is not told from chance in 80 of 100 tables at one false
alarm in 50 visits, by whatever rule, so that row is printed only. Seeds 51 and 52.
"""

import pytest
from leveling import faults, rows
from leveling.tables import five_legs

TABLES = 1000
ALLOWED = 2  # visits of 100 with a false alarm


@pytest.mark.parametrize("fault", faults.FAULTS, ids=lambda fault: fault.name)
def test_fault_is_named_within_two_visits(show, share, fault):
    found = faults.found(rows.halls_of(five_legs(), round(TABLES * share), 51), fault)
    asked = "only printed" if fault.demanded is None else f"demanded {fault.demanded}"
    show(f"{fault.name}: named within two visits {found}, {asked}")

    assert fault.demanded is None or 100 * _end(found, share) >= fault.demanded


def _end(found, share):
    """Take the lower end of the whole count; of a tenth the upper: whether it is not refuted."""
    return found.low if share == 1.0 else found.high


def test_alarms_without_a_fault_are_rare(show, share):
    alarms = faults.false_alarms(rows.halls_of(five_legs(), round(500 * share), 52), 5)
    show(f"false alarms per visit {alarms}, demanded at most 2")

    assert 100 * alarms.low <= ALLOWED
