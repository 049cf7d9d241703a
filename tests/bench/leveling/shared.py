"""Means of readings that share an error: one pack of cards 7 % off, one level not reversed."""

from dataclasses import replace

import numpy as np
from leveling.hall import Hall
from leveling.inside import mean_interval
from leveling.rows import Share
from leveling.tables import five_legs
from leveling.walk import Log, read_once

from passport.table import Role, Table


def table() -> Table:
    """Describe a table on which five legs and eight brackets are read."""
    plain = five_legs()
    legs = tuple(
        replace(leg, role=Role.CENTRE) if leg.role is Role.SUPPORTING else leg for leg in plain.legs
    )
    targets = replace(plain.targets, rise_mm=None)
    return replace(plain, legs=legs, targets=targets)


def means(hall: Hall, kind: str) -> Share:
    """Read every station once; count the tables whose mean lies in its stated 95 % interval."""
    hall.cross *= 0.3  # within the scale, so that every reading is closed
    hall.hollow = hall.hollow / 3 + hall.table.targets.hollow_mm.value
    hall.begin_visit()
    log = Log([[read_once(hall)]])
    truth = {"hollow": hall.hollow, "slope": hall.cross}[kind].mean(axis=1)
    held = []
    for number in range(hall.count):
        interval = mean_interval(hall, log, number, kind)
        if interval is not None:
            held.append(interval[0] <= truth[number] <= interval[1])
    return Share(int(np.sum(held)), len(held))
