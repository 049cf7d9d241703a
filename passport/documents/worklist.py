"""The work list: what to do at the next visit, in the order of the trade.

Plain data, so that the desk, ``--json`` and the sheet say the same.
"""

from collections.abc import Collection, Sequence
from dataclasses import asdict, replace
from typing import Any

from passport.documents import wording
from passport.documents.action import STEP_NAMES, Action, Step
from passport.documents.texts import Caution
from passport.documents.turning import turning
from passport.leveling.advice import Advice
from passport.table import Table
from passport.visit import Visit
from passport.visits.kind import LookFirst
from passport.visits.service.closing import SURFACE


def action_list(
    table: Table, visits: Sequence[Visit], advice: Advice, stopped_by: str | None = None
) -> tuple[Action, ...]:
    """Work list for the next visit, in the order of the trade.

    Parameters
    ----------
    table : Table
        The table.
    visits : sequence of Visit
        Its visits in the order of their dates; may be empty.
    advice : Advice
        What the calculator says after them.
    stopped_by : str, optional
        A paper beside the visits that forbids the table's use: its kind and date.

    Returns
    -------
    tuple of Action
        Ids start with the newest visit's form number, or ``new`` before the first visit.
    """
    origin = visits[-1].form if visits else "new"
    actions = [
        *_out_of_use(visits, stopped_by),
        *_look_again(advice),
        *turning(table, advice),
        *_proof(visits),
    ]
    return tuple(
        replace(action, id=f"{origin}/{action.id}")
        for action in sorted(actions, key=lambda a: a.step)
    )


def look_first(actions: Sequence[Action], closed: Collection[str] = ()) -> LookFirst:
    """Say what the next form should look at first: turns, readings and damage still open.

    Where, and why it is open; not how far to turn, nor what was found: what the technician finds
    decides that, by the look-ups. Count and condition stand on the next actions.

    Parameters
    ----------
    actions : sequence of Action
        The work list, see ``action_list``.
    closed : collection of str
        Ids of the actions that were done, not needed or not possible.

    Returns
    -------
    LookFirst
        One line for each reason, in working order; what ends every visit is left out.
    """
    still_open = [(action, _why_open(action)) for action in actions if action.id not in closed]
    places: dict[str, list[str]] = {}
    for action, why in still_open:
        if why:
            places.setdefault(why, []).extend(action.stations)
    lines = (_first_line(why, tuple(dict.fromkeys(names))) for why, names in places.items())
    return LookFirst(tuple(lines), frozenset(name for names in places.values() for name in names))


_WHY_OPEN = {
    "use": "OUT OF USE: check what the last visit noted before anything else",
    "look-again": "turned last time, read as found",
    "read": "no value yet",
    "out": "outside as left",
    "settle": "undecided as left",
    "surface/damaged": f"surface: {SURFACE['damaged']} noted",
    "surface/worn": f"surface: {SURFACE['worn']} noted",
}


def _why_open(action: Action) -> str:
    """Say why an action comes first; nothing for what goes with turns or ends every visit."""
    if action.turns is not None:
        return "turn planned"
    name = action.id.partition("/")[2]
    return _WHY_OPEN.get(name) or _WHY_OPEN.get(name.partition("/")[0], "")


def _first_line(why: str, names: tuple[str, ...]) -> str:
    said = tuple(f"end {name}" if name in "AB" else name for name in names)
    return f"{why}: {wording.stations(said)}" if said else why


def action_json(action: Action) -> dict[str, Any]:
    """Turn an action into plain values for ``--json``; the step by its name."""
    return asdict(action) | {
        "step": STEP_NAMES[action.step],
        "cautions": [str(caution) for caution in action.cautions],
    }


def _out_of_use(visits: Sequence[Visit], stopped_by: str | None) -> list[Action]:
    if visits and visits[-1].unsafe:
        stopped_by = f"form of {wording.day(visits[-1].date)}"
    if stopped_by is None:
        return []
    return [
        Action(
            id="use",
            step=Step.USE,
            station="",
            where="whole table",
            condition="",
            what="Read the note of the last visit and check what it says.",
            why=f"Unsafe was ticked on the {stopped_by}.",
            cautions=(Caution.UNSAFE,),
        )
    ]


def _look_again(advice: Advice) -> list[Action]:
    if not advice.look_again:
        return []
    return [
        Action(
            id="look-again",
            step=Step.LOOK_AGAIN,
            station=wording.stations(advice.look_again),
            stations=advice.look_again,
            where="turned at the last visit",
            condition="before anything is turned",
            what="Read these as found.",
            why="Wood answers slowly: what was turned may have moved since.",
        )
    ]


def _proof(visits: Sequence[Visit]) -> list[Action]:
    """Test shots and surface, which end every visit."""
    shots = Action(
        id="shots",
        step=Step.PROVE,
        station="",
        where="three lanes, both directions",
        condition="when all else is within",
        what="Shoot three times each, write the middle one; time one glide each way.",
        why="The proof of the leveling is where the weights come to rest.",
    )
    return [shots, *_damage(visits), _surface(visits)]


def _damage(visits: Sequence[Visit]) -> list[Action]:
    noted = [key for key in ("damaged", "worn") if visits and visits[-1].surface.get(key)]
    return [
        Action(
            id=f"surface/{key}",
            step=Step.SURFACE,
            station="",
            where="whole board",
            condition="before it is cleaned",
            what=f"Look at what was noted: {SURFACE[key]}.",
            why=f"Marked on the form of {wording.day(visits[-1].date)}.",
        )
        for key in noted
    ]


def _surface(visits: Sequence[Visit]) -> Action:
    renewed = [visit.date for visit in visits if visit.surface.get("silicone")]
    last = f"Last renewed on {wording.day(renewed[-1])}" if renewed else "No renewal on record"
    return Action(
        id="surface",
        step=Step.SURFACE,
        station="",
        where="whole board",
        condition="when the leveling is done",
        what="Clean, silicone mist if it is due, wipe lightly, wax twice.",
        why=f"Silicone is due after two to three months of average use. {last}.",
        cautions=(Caution.AEROSOL,),
    )
