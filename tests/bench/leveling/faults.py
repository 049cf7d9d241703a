"""Faults between two visits, one at a time, and whether they are named before anyone turns."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from leveling.bridge import papers, warned
from leveling.hall import THOU, Hall
from leveling.rows import Share, together
from leveling.walk import Log, paper_visit

BEFORE = 2  # recorded visits without a fault
CHANCES = 2  # visits in which it should be found

Places = np.ndarray  # (N,) station of the fault in each table


@dataclass(frozen=True)
class Fault:
    """What goes wrong: on the table or level before a visit, or on the record of it."""

    name: str
    stations: str  # "legs", "nuts" or "" for the level
    happens: Callable[[Hall, Places], None] = lambda hall, places: None
    lasts: Callable[[Hall], None] = lambda hall: None
    miswritten: Callable[[Log, Places], None] = lambda log, places: None
    times: int = 1  # before so many visits in a row
    demanded: int | None = 80  # of 100, named within two visits; None: only printed


def sinks(hall: Hall, legs: Places) -> None:
    """Let the left foot of a leg sink by 0.8 mm: twice the tolerance of a cross level."""
    rows = np.arange(hall.count)
    hall.cross[rows, legs] -= 0.8 / hall.legs[0].foot_spacing_mm * 1000
    for end, leg in enumerate(hall.ends):
        hall.rise[legs == leg, end] -= 0.4


def loosens(hall: Hall, nuts: Places) -> None:
    """Let a bracket come loose: it gives its whole hollow back, 20 thou."""
    _gives_back(hall, nuts, 20 * THOU)


def slips(hall: Hall, nuts: Places) -> None:
    """Let a bracket give 15 thou of its hollow back: twice the tolerance."""
    _gives_back(hall, nuts, 15 * THOU)


def _gives_back(hall: Hall, nuts: Places, by_mm: float) -> None:
    rows = np.arange(hall.count)
    hall.hollow[rows, nuts] -= by_mm
    hall.play[rows, nuts] = 0.0


def loses_zero(hall: Hall) -> None:
    """Let the level show 0.8 mm/m on level ground."""
    hall.zero = hall.zero + 0.8


def miswrites(log: Log, nuts: Places) -> None:
    """Write five cards more than were found, as a hand does in the wrong row."""
    found = log.visits[-1][0].nuts.found
    rows = np.arange(len(found))
    found[rows, nuts] = np.clip(found[rows, nuts] + 5, None, 8)


FAULTS = (
    Fault("a foot sinks", "legs", happens=sinks),
    Fault("a bracket loosens", "nuts", happens=loosens),
    Fault("a bracket slips, and again", "nuts", happens=slips, times=2),
    Fault("a bracket slips once", "nuts", happens=slips, demanded=None),
    Fault("the level loses its zero", "", lasts=loses_zero),
    Fault("a count that cannot be", "nuts", miswritten=miswrites),
)
NOTHING = Fault("nothing", "")


def found(halls: Sequence[Hall], fault: Fault) -> Share:
    """Count the tables whose fault is named at one of the visits after it."""
    return together(_found(hall, fault) for hall in halls)


def _found(hall: Hall, fault: Fault) -> Share:
    log, named = Log(), np.zeros(hall.count, np.bool_)
    names = {"legs": [leg.name for leg in hall.legs]}
    names["nuts"] = [nut.name for nut in hall.table.brackets]
    known = names.get(fault.stations, ["evel"])
    places = hall.draw.integers(0, len(known), hall.count)
    for number in range(BEFORE + CHANCES):
        if BEFORE <= number < BEFORE + fault.times:
            fault.happens(hall, places)
        _visit(hall, log, fault.lasts if number >= BEFORE else NOTHING.lasts)
        if number == BEFORE:
            fault.miswritten(log, places)
        if number >= BEFORE:
            lines = [" ".join(warned(hall, log, table)) for table in range(hall.count)]
            named |= [known[place] in line for place, line in zip(places, lines, strict=True)]
    return Share(int(named.sum()), named.size)


def false_alarms(halls: Sequence[Hall], visits: int) -> Share:
    """Count the visits, from the second on, that warn of anything though nothing is wrong."""
    return together(_false_alarms(hall, visits) for hall in halls)


def _false_alarms(hall: Hall, visits: int) -> Share:
    log, alarms = Log(), []
    for number in range(visits):
        _visit(hall, log, NOTHING.lasts)
        if number:
            alarms += [bool(warned(hall, log, table)) for table in range(hall.count)]
    return Share(sum(alarms), len(alarms))


def _visit(hall: Hall, log: Log, lasts: Callable[[Hall], None]) -> None:
    paper = papers(hall, log)
    hall.begin_visit()
    lasts(hall)
    log.checks[len(log.visits)] = hall.check_level()
    log.visits.append(paper_visit(hall, paper, 2))
