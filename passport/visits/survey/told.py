"""What a survey says in lines: gets in or not, the floor, lifting, what to settle first."""

import math

from passport.leveling.gravity import GRAVITY_M_PER_S2
from passport.leveling.loads.frame import STATED_FRAME
from passport.leveling.loads.wood import board_mass
from passport.quantity_text import Units, length_text
from passport.table import Table
from passport.visits.survey.lifting import lifting_lines
from passport.visits.survey.passage import Longest, Passage
from passport.visits.survey.record import Survey

FRAME_REL_U = 0.3  # a stated frame against the real one, half-frames alike; no source


def tell(table: Table, survey: Survey) -> tuple[str, ...]:
    """Say what must be settled first, whether the board gets in, the floor, the weights."""
    return (
        *_first(survey),
        *_ways(table, survey),
        *_floor(table, survey),
        *_weights(table),
        *_room(survey),
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
    return [f"floor: feet must differ by {reach} ± {off}; compare with the thread they have left"]


def _weights(table: Table) -> list[str]:
    board = board_mass(table.board)
    length = table.board.length_mm / 1000
    frame = STATED_FRAME.weight_n_per_m * length / GRAVITY_M_PER_S2
    name = board.wood.name
    return [
        f"board: {board.kg:.0f} ± {2 * board.u_kg:.0f} kg as {name}, Wood Handbook Table 5-3",
        f"frame rails: {frame:.0f} ± {2 * FRAME_REL_U * frame:.0f} kg, stated, not measured",
        *lifting_lines("Board in one piece", board.most_kg),
    ]


def _room(survey: Survey) -> list[str]:
    if survey.helpers is None:
        return []
    return [f"help named: {survey.helpers} people"]
