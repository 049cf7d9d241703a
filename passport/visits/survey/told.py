"""What a survey says in lines: gets in or not, the floor, lifting, what to settle first."""

import math

from passport.leveling.gravity import GRAVITY_M_PER_S2
from passport.leveling.loads.frame import STATED_FRAME
from passport.leveling.loads.wood import board_mass
from passport.quantity_text import Units, length_text
from passport.rounding import places_by
from passport.table import Table
from passport.visits.survey.ids import AID_WORDS
from passport.visits.survey.lifting import lifting_lines
from passport.visits.survey.passage import Longest, Passage, Place
from passport.visits.survey.record import Survey

WEIGHED = 1  # decimals of a kilogram that a reckoned weight is good for
FRAME_REL_U = 0.3  # a stated frame against the real one, half-frames alike; no source


def tell(table: Table, survey: Survey) -> tuple[str, ...]:
    """Say what to settle first, whether the board gets in, floor, weights, what to bring."""
    return (
        *_first(survey),
        *_ways(table, survey),
        *_floor(table, survey),
        *_weights(table),
        *_room(survey),
        f"bring: {'; '.join(bring(table, survey))}",
    )


def _first(survey: Survey) -> list[str]:
    lines = ["OUT OF USE until checked"] if survey.unsafe else []
    if survey.load_doubtful:
        lines.append("floor load in doubt: a qualified person decides before delivery")
    if survey.sockets == "nobody":
        lines.append("sockets: nobody has looked; a licensed electrician before installation")
    return lines


def _ways(table: Table, survey: Survey) -> list[str]:
    found = survey.ways(table)
    if not found:
        return ["way in: not measured"]
    return [f"tightest spot: {found[0].place.value}", *(_way(table, one) for one in found)]


def _way(table: Table, one: Longest) -> str:
    passage = one.passage(table.board.length_mm)
    said = f"{one.place.value}: the board {passage.value}"
    if math.isinf(one.high_mm) or one.high_mm == 0:
        return said
    units = Units(table.units)
    low, high = (length_text(mm, units) for mm in (one.low_mm, one.high_mm))
    said += f" (longest {low} to {high} by the tape)"
    turned = "; whether it turns in through the door, a lath must tell"
    return said + (turned if one.place.name == "LIFT" and passage is not Passage.STUCK else "")


def _floor(table: Table, survey: Survey) -> list[str]:
    if survey.reach_mm is None:
        return []
    units = Units(table.units)
    reach, off = (length_text(mm, units) for mm in survey.reach_mm)
    return [f"floor: feet must differ by {reach} ± {off}; {_thread(table, survey)}"]


def _thread(table: Table, survey: Survey) -> str:
    """Hold the reach of the feet against the thread that the description leaves them."""
    left = [leg.thread_left_mm for leg in table.legs if leg.thread_left_mm is not None]
    if len(left) < len(table.legs):
        return "compare with the thread they have left, which nobody described"
    said = length_text(min(left), Units(table.units))
    return f"their threads have {said} left" + ("; shims" if _wants_shims(table, survey) else "")


def _wants_shims(table: Table, survey: Survey) -> bool:
    """Whether a foot may have to reach further than its thread does, by the tape."""
    if survey.reach_mm is None:
        return False
    left = [leg.thread_left_mm for leg in table.legs if leg.thread_left_mm is not None]
    return sum(survey.reach_mm) > min(left, default=0.0)


def bring(table: Table, survey: Survey) -> tuple[str, ...]:
    """List what a delivery after this survey needs; what is there already is left out.

    Common practice, no source; crew and aids come from the employer's lifting assessment.
    """
    ways = [one.passage(table.board.length_mm) for one in survey.ways(table)]
    aids = (word for key, word in AID_WORDS.items() if key not in survey.aids | {"stairs"})
    wanted = {
        "covers for floor, edges and rails": True,
        **dict.fromkeys(aids, True),
        AID_WORDS["stairs"]: Place.LANDING in survey.places and "stairs" not in survey.aids,
        "a lath of the board’s length and thickness, to try the way first": Passage.CLOSE in ways,
        "shims of hard wood or steel for the feet": _wants_shims(table, survey),
        "pads that spread a foot’s load, felt or cups": survey.floor in {"timber", "carpet"},
        "a hygrometer that stays": survey.air_humidity_pct is None or bool(survey.near),
    }
    return tuple(what for what, needed in wanted.items() if needed)


def _weights(table: Table) -> list[str]:
    board = board_mass(table.board)
    length = table.board.length_mm / 1000
    frame = STATED_FRAME.weight_n_per_m * length / GRAVITY_M_PER_S2
    name = board.wood.name
    return [
        f"board: {_kg(board.kg, 2 * board.u_kg)} as {name}, Wood Handbook Table 5-3",
        f"frame rails: {_kg(frame, 2 * FRAME_REL_U * frame)}, stated, not measured",
        *lifting_lines("Board in one piece", board.most_kg),
    ]


def _kg(mass: float, around: float) -> str:
    """Say a weight with its 95 % interval, both to the places that this deserves."""
    places = places_by(around, WEIGHED)
    return f"{mass:.{places}f} ± {around:.{places}f} kg"


def _room(survey: Survey) -> list[str]:
    if survey.helpers is None:
        return []
    return [f"help named: {survey.helpers} people"]
