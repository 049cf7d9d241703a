"""What stands beside the counts: loads on the legs and test shots of the last visit.

Apart from ``advise`` because both take longer than the advice itself; ``advise --why`` prints them.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from passport.leveling.loads.answers import Loads, NoLoads
from passport.leveling.loads.carried import loads
from passport.leveling.loads.floor import Floor
from passport.leveling.loads.words import load_lines
from passport.leveling.shots.tested import Tested, read_shots
from passport.leveling.shots.words import shot_lines, shot_warnings
from passport.leveling.unusable import why_unusable
from passport.leveling.walks import in_order
from passport.table import Table
from passport.visit import Visit


@dataclass(frozen=True)
class Evidence:
    """Loads and shots after the last visit, and how they are printed.

    Attributes
    ----------
    loads : Loads or NoLoads
        By the heights as left; by the targets before any visit.
    shots : Tested or None
        Of the last visit; None where it has neither shots nor glides.
    load_lines, shot_lines : tuple of str
        One printed line each.
    warnings : tuple of str
        What a person should know before anyone turns a nut: a disagreement beyond chance.
    """

    loads: Loads | NoLoads
    shots: Tested | None
    load_lines: tuple[str, ...]
    shot_lines: tuple[str, ...]
    warnings: tuple[str, ...]


def evidence(table: Table, visits: Sequence[Visit], floor: Floor | None = None) -> Evidence:
    """Gather loads and shots.

    Parameters
    ----------
    table : Table
        Geometry, targets and kit.
    visits : sequence of Visit
        In any order; those without a sure date count as the newest.
    floor : Floor or None
        What the user entered for the floor.

    Returns
    -------
    Evidence
        Of the last visit.
    """
    last = next(reversed(in_order(visits)), None)
    carried = loads(table, last)
    usable = last is not None and not why_unusable(table, (last,))
    shots = read_shots(table, last) if last and usable else None
    return Evidence(
        carried,
        shots,
        load_lines(table, carried, floor),
        shot_lines(table, shots),
        shot_warnings(table, shots),
    )
