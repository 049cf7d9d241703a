"""What is to be turned, and what is to be read before anyone can say so."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from passport.documents import wording
from passport.documents.action import Action, Step
from passport.documents.texts import Caution
from passport.leveling.advice import Advice, Move, Quantity, StationState, Verdict
from passport.leveling.judge import SETTLED_BY
from passport.table import Role, Table

_STEP_OF = {
    Quantity.CROSS: Step.LEGS,
    Quantity.HOLLOW: Step.BRACKETS,
    Quantity.RISE: Step.RISE,
}
_CAUTIONS = {
    Quantity.CROSS: (Caution.FOOT,),
    Quantity.HOLLOW: (Caution.UNDER, Caution.NUT),
    Quantity.RISE: (Caution.FOOT,),
}
_MOST_AT_ONCE = 4  # quarter turns of one foot before the rise is read again


def turning(table: Table, advice: Advice) -> list[Action]:
    """List turns and readings, and what goes with them: feet clear, down again, legs again."""
    turns = [*_turns(table, advice.moves), *_readings(advice)]
    steps = {action.step for action in turns}
    actions = turns + (_supporting(table) if steps & {Step.LEGS, Step.RISE} else [])
    if Step.BRACKETS in steps:
        actions.append(_legs_again(table))
    return actions


@dataclass(frozen=True)
class _Reason:
    """Why stations without a planned turn are read again."""

    key: str
    condition: str
    why: str


_NO_VALUE = _Reason(
    "read", "whatever is found", "No value from the last visit says how these stand."
)
_STILL_OUT = _Reason(
    "out", "if still outside", "Outside as left, and no turn could be planned from that."
)
_UNDECIDED = _Reason(
    "settle", "if still undecided", "Undecided as left: the measurement could not tell."
)


def _readings(advice: Advice) -> list[Action]:
    """List stations that are to be read before anyone can say whether they need a turn."""
    turned = {(_state_of(move), move.quantity) for move in advice.moves}
    groups: dict[tuple[Quantity, _Reason], list[str]] = {}
    for state in advice.state:
        reason = _reason(state)
        if reason and (state.station, state.quantity) not in turned:
            groups.setdefault((state.quantity, reason), []).append(state.station)
    return [_reading(*key, tuple(stations)) for key, stations in groups.items()]


def _state_of(move: Move) -> str:
    """Name the station whose state a move changes: the rise is one state for both ends."""
    return "ends" if move.quantity is Quantity.RISE else move.station


def _reason(state: StationState) -> _Reason | None:
    if state.value is None:
        return _NO_VALUE
    return {Verdict.OUT: _STILL_OUT, Verdict.UNDECIDED: _UNDECIDED}.get(state.verdict)


def _reading(quantity: Quantity, reason: _Reason, stations: tuple[str, ...]) -> Action:
    look_up = "Read and turn by the form's look-up."
    return Action(
        id=f"{reason.key}/{quantity.name.lower()}",
        step=_STEP_OF[quantity],
        station=wording.stations(stations),
        stations=stations,
        where=wording.QUANTITIES[quantity].lower(),
        condition=reason.condition,
        what=SETTLED_BY[quantity] if reason is _UNDECIDED else look_up,
        why=reason.why,
        cautions=_CAUTIONS[quantity],
    )


def _turns(table: Table, moves: Sequence[Move]) -> list[Action]:
    """Name each turn for itself, also where one nut is turned more than once."""
    made: Counter[str] = Counter()
    turns = []
    for move in moves:
        name = f"{move.station}/{move.quantity.name.lower()}/{move.part.replace(' ', '-')}"
        made[name] += 1
        turns.append(_turn(table, move, name if made[name] == 1 else f"{name}/{made[name]}"))
    return turns


def _turn(table: Table, move: Move, name: str) -> Action:
    return Action(
        id=name,
        step=_STEP_OF[move.quantity],
        station=move.station,
        stations=(move.station,),
        where=wording.place(table, move.station),
        condition=move.condition,
        what=f"{move.part[:1].upper()}{move.part[1:]}",
        why=f"{move.why.rstrip('. ')}. {_thread_note(table, move)}".strip(),
        turns=move.steps,
        by=move.by,
        direction=_direction(table, move),
        expected=wording.expected(table, move),
        value=move.expected,
        u=move.expected_u,
        cautions=_CAUTIONS[move.quantity],
    )


def _direction(table: Table, move: Move) -> str:
    bracket, leg = wording.bracket_of(table, move.station), wording.leg_of(table, move.station)
    if bracket:
        return wording.nut_direction(bracket, move.steps)
    verb = "raise" if move.steps > 0 else "lower"
    return wording.foot_direction(leg, move.steps) if leg else verb


def _thread_note(table: Table, move: Move) -> str:
    """Say how far a foot may still be raised, or when to stop if nobody knows."""
    leg = wording.leg_of(table, move.station)
    if leg is None or move.steps <= 0:
        return ""
    if leg.thread is None or leg.thread_left_mm is None:
        return "Stop when the foot gets loose or wobbles in its thread."
    rise = move.steps / 4 * leg.thread.pitch_mm
    if rise > leg.thread_left_mm:
        return (
            f"Do not: it needs {rise:.1f} mm of thread and {leg.thread_left_mm:.1f} mm are left. "
            "Ask the office for a shim."
        )
    again = " After four quarters read the rise again." if move.steps > _MOST_AT_ONCE else ""
    return f"{leg.thread_left_mm:.0f} mm of thread may still come out.{again}"


def _supporting(table: Table) -> list[Action]:
    """Clear supporting feet before the legs are turned, and bring them down again after."""
    legs = [leg for leg in table.legs if leg.role is Role.SUPPORTING]
    if not legs:
        return []
    names = wording.stations(tuple(leg.name for leg in legs))
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
    names = wording.stations(tuple(leg.name for leg in table.adjusted_legs()))
    return Action(
        id="legs/again",
        step=Step.LEGS_AGAIN,
        station=names,
        where="end and centre legs" if len(table.legs) > 2 else "both legs",
        condition="if a bracket was turned",
        what="Read the cross level again and turn by the form's look-up.",
        why="A bracket that bends the board also moves it on its feet.",
    )
