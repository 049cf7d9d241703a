"""How values, places and turns are said on paper, in the table's own units first.

Signs become words here ("left high", "hollower"), so that nobody has to know them.
"""

import re
from datetime import date

from passport.leveling.advice import Move, Quantity, StationState, Verdict
from passport.quantity_text import Units, length_both, length_text
from passport.rounding import places_by, set_text
from passport.table import Bracket, FootType, Hand, Leg, Role, Steps, Table

MM_PER_INCH = 25.4  # exact: international yard and pound agreement, 1959
MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip

VERDICTS = {
    Verdict.IN: "within",
    Verdict.OUT: "outside",
    Verdict.UNDECIDED: "undecided",
    Verdict.UNKNOWN: "not measured",
}
QUANTITIES = {
    Quantity.CROSS: "Cross level at the legs",
    Quantity.HOLLOW: "Hollow at the brackets",
    Quantity.RISE: "Rise of the ends",
}
ROLES = {Role.END: "end leg", Role.CENTRE: "centre leg", Role.SUPPORTING: "supporting leg"}
FEET = {
    FootType.STUD_IN_LEG: "stud turning in the leg",
    FootType.NUT_ON_STUD: "nut on a fixed stud",
    FootType.UNKNOWN: "foot type not known",
}
_SENSES = {
    Quantity.CROSS: ("left high", "right high"),
    Quantity.HOLLOW: ("hollow", "crown"),
    Quantity.RISE: ("ends high", "ends low"),
}
_UNITS = {
    (Quantity.CROSS, "metric"): ("mm/m", 1.0, 2),
    (Quantity.CROSS, "imperial"): ("in/ft", 0.012, 3),  # 1 mm/m = 12/1000 in per foot
    (Quantity.HOLLOW, "metric"): ("mm", 1.0, 2),
    (Quantity.HOLLOW, "imperial"): ("in", 1 / MM_PER_INCH, 3),
    (Quantity.RISE, "metric"): ("mm", 1.0, 2),
    (Quantity.RISE, "imperial"): ("in", 1 / MM_PER_INCH, 3),
}


def day(when: date | None) -> str:
    """Say a date with its month by name, which reads the same everywhere."""
    return f"{when.day} {MONTHS[when.month - 1]} {when.year}" if when else "date in doubt"


def month(when: date) -> str:
    """Say a month."""
    return f"{MONTHS[when.month - 1]} {when.year}"


def first_words(text: str) -> str:
    """Take a text's first words, up to its first pause."""
    return re.split(r"[:;,.]", text)[0]


def short_month(when: date) -> str:
    """Say a month where room is scarce."""
    return f"{MONTHS[when.month - 1][:3]} {when.year}"


def length(table: Table, mm: float) -> str:
    """Say a length in the table's unit, the other one behind it."""
    return length_both(mm, Units(table.units))


def unit(table: Table, quantity: Quantity) -> str:
    """Name the unit that a quantity is printed in."""
    return _UNITS[quantity, table.units][0]


def number(table: Table, quantity: Quantity, value: float, half: float | None = None) -> str:
    """Print a magnitude in the quantity's unit, without its sign.

    It is rounded by ``half``, the half width of its 95 % interval [mm, mm/m], where that is known.
    """
    _, factor, decimals = _UNITS[quantity, table.units]
    places = decimals if half is None else places_by(half * factor, decimals)
    return f"{abs(value) * factor:.{places}f}"


def asked(table: Table, quantity: Quantity, value: float, tolerance: float) -> str:
    """Print a magnitude that was set, not measured, rounded by its tolerance [mm, mm/m]."""
    _, factor, decimals = _UNITS[quantity, table.units]
    return set_text(abs(value) * factor, tolerance * factor, decimals)


def scale(table: Table, quantity: Quantity, value: float, half: float | None = None) -> str:
    """Print a value beside a chart: below zero with its sign."""
    said = number(table, quantity, value, half)
    return f"\u2212{said}" if value < 0 and float(said) else said


def band(table: Table, state: StationState) -> str:
    """Say a target and its tolerance."""
    ends = (state.target, state.tolerance)
    return " ± ".join(asked(table, state.quantity, end, state.tolerance) for end in ends)


def signed(table: Table, quantity: Quantity, value: float, half: float | None = None) -> str:
    """Say a value with its uncertainty, unit and direction: ``0.6 ± 0.2 mm/m left high``.

    ``half`` is the half width of the 95 % interval, in mm or mm/m.
    """
    said = number(table, quantity, value, half)
    sense = f" {_SENSES[quantity][value < 0]}" if float(said) else ""
    around = "" if half is None else f" ± {number(table, quantity, half, half)}"
    return f"{said}{around} {unit(table, quantity)}{sense}"


def cell(table: Table, quantity: Quantity, value: float, half: float | None = None) -> str:
    """Say a value under a head that names quantity and unit: ``0.6 ± 0.2 left high``.

    Only a direction that is not the usual one is named: crown, ends low.
    """
    said = number(table, quantity, value, half)
    around = "" if half is None else f" ± {number(table, quantity, half, half)}"
    return f"{said}{around}{_unusual(quantity, value, said)}"


def short(table: Table, state: StationState) -> str:
    """Say a station's value rounded by its uncertainty, which is not said: ``0.6 left high``."""
    if state.value is None or state.low is None or state.high is None:
        return measured(table, state)
    said = number(table, state.quantity, state.value, (state.high - state.low) / 2)
    return said + _unusual(state.quantity, state.value, said)


def _unusual(quantity: Quantity, value: float, said: str) -> str:
    """Name a direction that is not the usual one."""
    named_ = quantity is Quantity.CROSS or value < 0
    return f" {_SENSES[quantity][value < 0]}" if float(said) and named_ else ""


def standing(states: tuple[StationState, ...]) -> tuple[str, ...]:
    """Count stations by verdict: ``9 within``, ``2 outside``."""
    counts = {verdict: sum(s.verdict is verdict for s in states) for verdict in Verdict}
    return tuple(f"{n} {VERDICTS[verdict]}" for verdict, n in counts.items() if n)


def measured(table: Table, state: StationState) -> str:
    """Say what is known of a station: value and 95 % uncertainty, or the bound that is known."""
    if state.value is None or state.low is None or state.high is None:
        return _bound(table, state)
    return cell(table, state.quantity, state.value, (state.high - state.low) / 2)


def expected(table: Table, move: Move) -> str:
    """Say what a move should give, with its 95 % uncertainty (coverage factor 2)."""
    return signed(table, move.quantity, move.expected, 2 * move.expected_u)


def turns(count: int, by: Steps = Steps.QUARTERS) -> str:
    """Say how far a foot or nut is turned, counted in steps, without fraction glyphs."""
    whole, rest = divmod(abs(count), by.per_turn)
    parts = [f"{whole} turn{'s' if whole > 1 else ''}"] if whole else []
    parts += [f"{rest} {by.word}{'s' if rest > 1 else ''}"] if rest else []
    said = " + ".join(parts) or "no turn"
    if whole or not rest:
        return said
    return f"1 {by.one}" if rest == 1 else f"{said} of a turn"


def short_turns(count: int, by: Steps = Steps.QUARTERS) -> str:
    """Say a number of steps where a table's head says that they are turns."""
    return f"{abs(count)} {by.word}" + ("" if abs(count) == 1 else "s")


def foot_direction(leg: Leg, count: int) -> str:
    """Say which way a foot turns: raise or lower, and the sense seen from above if it is known."""
    verb = "raise" if count > 0 else "lower"
    if leg.foot_type is FootType.UNKNOWN or leg.thread is None:
        return verb
    clockwise = (count > 0) is (leg.foot_type is FootType.STUD_IN_LEG)
    if leg.thread.hand is Hand.LEFT:
        clockwise = not clockwise
    return f"{verb}: {_sense(clockwise)} from above"


def nut_direction(bracket: Bracket, count: int) -> str:
    """Say which way the working plate's inner nut turns, seen from the working side as on forms.

    A right-hand nut turned clockwise moves away from whoever looks at it; so outward, toward the
    one who stands at the working side, is anticlockwise.
    """
    verb = "hollower, outward" if count > 0 else "flatter, inward"
    if bracket.thread is None or bracket.working_side is None:
        return verb
    clockwise = (count > 0) is (bracket.thread.hand is Hand.LEFT)
    return f"{verb}: {_sense(clockwise)} from {bracket.working_side}"


def leg_place(table: Table, leg: Leg) -> str:
    """Say where a leg stands."""
    return f"{ROLES[leg.role]}, {_from_a(table, leg.x_mm)}"


def bracket_place(table: Table, bracket: Bracket) -> str:
    """Say where a bracket sits and where its counted nut is."""
    side = f", nut {bracket.working_side.value}" if bracket.working_side else ""
    return f"{_from_a(table, bracket.x_mm)}{side}"


def place(table: Table, station: str) -> str:
    """Say where a station is; nothing for what has no place of its own."""
    leg, bracket = leg_of(table, station), bracket_of(table, station)
    if leg:
        return leg_place(table, leg)
    return bracket_place(table, bracket) if bracket else ""


def short_place(table: Table, station: str) -> str:
    """Say where a station is under a head that says "from end A"."""
    leg, bracket = leg_of(table, station), bracket_of(table, station)
    units = Units(table.units)
    if leg:
        return f"{leg.role.value}, {length_text(leg.x_mm, units)}"
    if bracket is None:
        return ""
    side = f", nut {bracket.working_side.value}" if bracket.working_side else ""
    return f"{length_text(bracket.x_mm, units)}{side}"


def leg_of(table: Table, station: str) -> Leg | None:
    """Find the leg of a station; A and B are the legs at the ends."""
    legs = sorted(table.legs, key=lambda leg: leg.x_mm)
    name = {"A": legs[0].name, "B": legs[-1].name}.get(station, station)
    return next((leg for leg in legs if leg.name == name), None)


def bracket_of(table: Table, station: str) -> Bracket | None:
    """Find the bracket of a station."""
    return next((bracket for bracket in table.brackets if bracket.name == station), None)


def named(items: tuple[str, ...]) -> str:
    """Join names as people do: ``L1, L2 and L3``."""
    return " and ".join(filter(None, (", ".join(items[:-1]), *items[-1:])))


def stations(names: tuple[str, ...]) -> str:
    """Join stations, three or more in a row as a range: ``L1, B2 to B5 and B8``."""
    runs: list[list[str]] = []
    for name in names:
        if runs and name == _after(runs[-1][-1]):
            runs[-1].append(name)
        else:
            runs.append([name])
    parts = [(f"{run[0]} to {run[-1]}",) if len(run) > 2 else tuple(run) for run in runs]
    return named(tuple(part for run in parts for part in run))


def _after(name: str) -> str | None:
    """Name the station that follows: B2 after B1."""
    number = name[1:]
    return f"{name[:1]}{int(number) + 1}" if number.isdecimal() else None


def _sense(clockwise: bool) -> str:
    return "clockwise" if clockwise else "anticlockwise"


def _from_a(table: Table, x_mm: float) -> str:
    return f"{length_text(x_mm, Units(table.units))} from A"


def _bound(table: Table, state: StationState) -> str:
    known = state.high if state.low is None else state.low
    if known is None:
        return "–"
    outward = (known > 0) is (state.low is not None)
    return f"{cell(table, state.quantity, known)} or {'more' if outward else 'less'}"
