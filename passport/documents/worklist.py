"""Next actions: what to do at the next visit, in the order of the trade.

Plain data, so that the desk, ``--json`` and the sheet say the same.
"""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from enum import IntEnum
from typing import Any

from passport.documents import wording
from passport.documents.texts import Caution
from passport.leveling.advice import Advice, Move, Quantity
from passport.table import Role, Table
from passport.visit import Visit
from passport.visits.service.closing import SURFACE


class Step(IntEnum):
    """The order of the work: common practice, no source."""

    USE = 1  # out of use until checked
    LOOK_AGAIN = 2  # stations turned last time, read before anything is touched
    CLEAR = 3  # supporting feet off the floor
    LEGS = 4
    BRACKETS = 5
    LEGS_AGAIN = 6
    RISE = 7
    TOUCH_DOWN = 8  # supporting feet back to touch
    PROVE = 9
    SURFACE = 10


_STEP_OF = {
    Quantity.CROSS: Step.LEGS,
    Quantity.HOLLOW: Step.BRACKETS,
    Quantity.RISE: Step.RISE,
}
STEP_NAMES = {
    Step.USE: "Before anything else",
    Step.LOOK_AGAIN: "Look again first",
    Step.CLEAR: "Supporting feet clear",
    Step.LEGS: "Legs",
    Step.BRACKETS: "Hollow",
    Step.LEGS_AGAIN: "Legs again",
    Step.RISE: "Rise of the ends",
    Step.TOUCH_DOWN: "Supporting feet down",
    Step.PROVE: "Test shots",
    Step.SURFACE: "Surface",
}
_MOST_AT_ONCE = 4  # quarter turns of one foot before the rise is read again


@dataclass(frozen=True)
class Action:
    """One line of the work list.

    ``id`` stays the same however often the list is made from the same visits. ``quarters`` is
    None where nothing is turned; positive: the board goes up, or hollower. ``value`` and ``u`` are
    the expected result and its standard uncertainty. [mm or mm/m]
    """

    id: str
    step: Step
    station: str
    where: str
    condition: str
    what: str
    why: str
    quarters: int | None = None
    direction: str = ""
    expected: str = ""
    value: float | None = None
    u: float | None = None
    cautions: tuple[Caution, ...] = ()


def action_list(table: Table, visits: Sequence[Visit], advice: Advice) -> tuple[Action, ...]:
    """Work list for the next visit, in the order of the trade.

    Parameters
    ----------
    table : Table
        The table.
    visits : sequence of Visit
        Its visits in the order of their dates; may be empty.
    advice : Advice
        What the calculator says after them.

    Returns
    -------
    tuple of Action
        Ids start with the newest visit's form number, or ``new`` before the first visit.
    """
    origin = visits[-1].form if visits else "new"
    actions = [
        *_out_of_use(visits),
        *_look_again(advice),
        *_turns(table, advice),
        *_proof(visits),
    ]
    return tuple(_named(origin, action) for action in sorted(actions, key=lambda a: a.step))


def action_json(action: Action) -> dict[str, Any]:
    """Turn an action into plain values for ``--json``; the step by its name."""
    return asdict(action) | {
        "step": STEP_NAMES[action.step],
        "cautions": [str(caution) for caution in action.cautions],
    }


def _named(origin: str, action: Action) -> Action:
    return Action(**(vars(action) | {"id": f"{origin}/{action.id}"}))


def _out_of_use(visits: Sequence[Visit]) -> list[Action]:
    if not visits or not visits[-1].unsafe:
        return []
    return [
        Action(
            id="use",
            step=Step.USE,
            station="",
            where="whole table",
            condition="",
            what="Read the note of the last visit and check what it says.",
            why=f"Unsafe was ticked on the form of {wording.day(visits[-1].date)}.",
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
            station=wording.named(advice.look_again),
            where="turned at the last visit",
            condition="before anything is turned",
            what="Read these as found.",
            why="Wood answers slowly: what was turned may have moved since.",
        )
    ]


def _turns(table: Table, advice: Advice) -> list[Action]:
    turns = [_turn(table, move) for move in advice.moves]
    steps = {action.step for action in turns}
    actions = turns + (_supporting(table) if steps & {Step.LEGS, Step.RISE} else [])
    if Step.BRACKETS in steps:
        actions.append(_legs_again(table))
    return actions


def _turn(table: Table, move: Move) -> Action:
    direction, cautions = _direction(table, move)
    return Action(
        id=f"{move.station}/{move.quantity.name.lower()}/{move.part.replace(' ', '-')}",
        step=_STEP_OF[move.quantity],
        station=move.station,
        where=wording.place(table, move.station),
        condition=move.condition,
        what=f"{move.part[:1].upper()}{move.part[1:]}",
        why=f"{move.why.rstrip('. ')}. {_thread_note(table, move)}".strip(),
        quarters=move.quarters,
        direction=direction,
        expected=wording.expected(table, move),
        value=move.expected,
        u=move.expected_u,
        cautions=cautions,
    )


def _direction(table: Table, move: Move) -> tuple[str, tuple[Caution, ...]]:
    bracket = wording.bracket_of(table, move.station)
    if bracket:
        return wording.nut_direction(bracket, move.quarters), (Caution.UNDER, Caution.NUT)
    leg = wording.leg_of(table, move.station)
    verb = "raise" if move.quarters > 0 else "lower"
    return wording.foot_direction(leg, move.quarters) if leg else verb, (Caution.FOOT,)


def _thread_note(table: Table, move: Move) -> str:
    """Say how far a foot may still be raised, or when to stop if nobody knows."""
    leg = wording.leg_of(table, move.station)
    if leg is None or move.quarters <= 0:
        return ""
    if leg.thread is None or leg.thread_left_mm is None:
        return "Stop when the foot gets loose or wobbles in its thread."
    rise = move.quarters / 4 * leg.thread.pitch_mm
    if rise > leg.thread_left_mm:
        return (
            f"Do not: it needs {rise:.1f} mm of thread and {leg.thread_left_mm:.1f} mm are left. "
            "Ask the office for a shim."
        )
    again = " After four quarters read the rise again." if move.quarters > _MOST_AT_ONCE else ""
    return f"{leg.thread_left_mm:.0f} mm of thread may still come out.{again}"


def _supporting(table: Table) -> list[Action]:
    """Clear supporting feet before the legs are turned, and bring them down again after."""
    legs = [leg for leg in table.legs if leg.role is Role.SUPPORTING]
    if not legs:
        return []
    names = wording.named(tuple(leg.name for leg in legs))
    clear = Action(
        id="supporting/clear",
        step=Step.CLEAR,
        station=names,
        where="supporting legs",
        condition="if a leg or the rise is to be turned",
        what="Raise these feet clear of the floor.",
        why="They carry load only; a foot that bears spoils the leveling of its neighbours.",
        cautions=(Caution.FOOT,),
    )
    down = Action(
        id="supporting/touch-down",
        step=Step.TOUCH_DOWN,
        station=names,
        where="supporting legs",
        condition="when all else is within",
        what="Bring these feet down to touch, then read the neighbouring legs once more.",
        why="Touching is enough: a strip of card under the foot just pinches.",
        cautions=(Caution.UNDER,),
    )
    return [clear, down]


def _legs_again(table: Table) -> Action:
    names = wording.named(tuple(leg.name for leg in table.adjusted_legs()))
    return Action(
        id="legs/again",
        step=Step.LEGS_AGAIN,
        station=names,
        where="end and centre legs" if len(table.legs) > 2 else "both legs",
        condition="if a bracket was turned",
        what="Read the cross level again and turn by the form's look-up.",
        why="A bracket that bends the board also moves it on its feet.",
    )


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
