"""Loads as printed lines: readings, numbers, conclusion; cautions beside the figures.

Every ± is a 95 % interval.
"""

from collections.abc import Iterable, Iterator

from passport.leveling.gravity import GRAVITY_M_PER_S2
from passport.leveling.lines import COVERAGE_FACTOR
from passport.leveling.loads.answers import Band, Bearing, Follow, FootLoad, LegLoad, Loads, NoLoads
from passport.leveling.loads.floor import CAUTION, Floor, Pressure, pressures
from passport.leveling.loads.frame import Frame
from passport.table import Table

INCH_MM = 25.4  # exactly; international yard and pound agreement, 1959
POUND_KG = 0.45359237  # exactly; the same agreement
PSI_KPA = POUND_KG * GRAVITY_M_PER_S2 / INCH_MM**2 * 1000

LIFTING = "Crew and aids come from the employer's lifting assessment; short of either: stop."


def load_lines(table: Table, found: Loads | NoLoads, floor: Floor | None = None) -> tuple[str, ...]:
    """Say what is known of the loads, one printed line each.

    Parameters
    ----------
    table : Table
        Its units; board.
    found : Loads or NoLoads
        The answer of ``loads``.
    floor : Floor or None
        What the user entered for the floor.

    Returns
    -------
    tuple of str
        Weight; a line a leg; how far each foot may go; rise that the weight follows; floor; what
        was assumed.
    """
    if isinstance(found, NoLoads):
        return (f"No loads: {found.why}",)
    say = _Words(table.units == "metric")
    return (
        _weight(say, table, found),
        *(_leg(say, leg) for leg in found.legs),
        *_ways(say, found),
        *_follow(say, found.follow),
        *_floor(say, found, floor or Floor()),
        _assumed(say, found),
    )


class _Words:
    """Numbers in a table's units."""

    def __init__(self, metric: bool) -> None:
        self.metric = metric

    def mass(self, kg: float) -> str:
        return f"{kg:.0f} kg" if self.metric else f"{kg / POUND_KG:.0f} lb"

    def load(self, band: Band) -> str:
        """Say a force as the mass that it would weigh: bathroom scales are what people know."""
        low, high, u = (max(0.0, n / GRAVITY_M_PER_S2) for n in (band.low, band.high, band.u))
        span = f"{self._number(low)} to {self.mass(high)}"
        return f"{span} (each ± {self.mass(COVERAGE_FACTOR * u)})"

    def _number(self, kg: float) -> str:
        return self.mass(kg).split()[0]

    def way(self, mm: float) -> str:
        return f"{mm:.1f} mm" if self.metric else f"{mm / INCH_MM:.3f} in"

    def ways(self, band: Band) -> str:
        low, high, u = self.way(band.low), self.way(band.high), self.way(COVERAGE_FACTOR * band.u)
        span = high.split()[0] if low == high else f"{low.split()[0]} to {high.split()[0]}"
        return f"{span} ± {u}"

    def sizes(self, sides_mm: Iterable[float]) -> str:
        """Say lengths as a tape shows them: "264 × 20 × 3 in"."""
        per, unit = (1.0, "mm") if self.metric else (INCH_MM, "in")
        return " × ".join(f"{round(mm / per, 2):g}" for mm in sides_mm) + f" {unit}"

    def pressure(self, kpa: float) -> str:
        return f"{kpa:.0f} kPa" if self.metric else f"{kpa / PSI_KPA:.0f} lbf/in²"


def _weight(say: _Words, table: Table, found: Loads) -> str:
    mass, board = found.mass, table.board
    sides = (board.length_mm, board.width_mm, board.thickness_mm)
    around = say.mass(COVERAGE_FACTOR * mass.u_kg)
    return (
        f"Board: {say.sizes(sides)} of {mass.wood.name}, {mass.route.value} (Wood Handbook 2010, "
        f"Table 5-3): {say.mass(mass.kg)} ± {around}; plan its lift with "
        f"{say.mass(mass.most_kg)}. {LIFTING}"
    )


def _leg(say: _Words, leg: LegLoad) -> str:
    feet = _sides((foot.side.value, _foot(say, foot)) for foot in leg.feet)
    return f"{leg.leg} at {say.sizes((leg.x_mm,))} carries {say.load(leg.load_n)}: {feet}."


def _sides(said: Iterable[tuple[str, str]]) -> str:
    """Join what is said of left and right; once where it is the same."""
    pairs = list(said)
    if len(pairs) == 2 and pairs[0][1] == pairs[1][1]:
        return f"either foot {pairs[0][1]}"
    return "; ".join(f"{side} foot {words}" for side, words in pairs)


def _foot(say: _Words, foot: FootLoad) -> str:
    if foot.marked_slack:
        return "marked slack"
    said = say.load(foot.load_n)
    return said if foot.bearing is Bearing.CARRIES else f"{said}, {foot.bearing.value}"


def _ways(say: _Words, found: Loads) -> Iterator[str]:
    """Say how far each foot may go, one line a leg."""
    for leg in found.legs:
        feet = [foot for foot in leg.feet if not foot.marked_slack]
        said = _sides((f.side.value, f"{_down(say, f)}, {_up(say, f)}") for f in feet)
        if said:
            yield f"{leg.leg}, all legs down: {said}."


def _down(say: _Words, foot: FootLoad) -> str:
    if foot.down_mm is None:
        return "carries however low it is"
    if say.way(foot.down_mm.high) == say.way(0.0):
        return "carries nothing as it stands"
    return f"carries nothing once {say.ways(foot.down_mm)} lower"


def _up(say: _Words, foot: FootLoad) -> str:
    if foot.up_mm is None:
        return "no rise of it leaves another slack"
    return f"another foot is slack once it is {say.ways(foot.up_mm)} higher"


def _follow(say: _Words, follow: Follow | None) -> Iterator[str]:
    if follow is None:
        return
    ways = [f"{name} {say.way(mm)}" for name, mm in _named(follow) if mm is not None]
    if ways:
        around = COVERAGE_FACTOR * follow.rel_u * 100
        yield (
            "Mean end rise, supporting legs clear, that the weight follows before the centre leg "
            f"carries nothing: {', '.join(ways)}, each ± {around:.0f} %."
        )


def _named(follow: Follow) -> tuple[tuple[str, float | None], tuple[str, float | None]]:
    return ("bare board", follow.bare_mm), ("with the stated frame", follow.framed_mm)


def _floor(say: _Words, found: Loads, floor: Floor) -> Iterator[str]:
    under = pressures(found, floor)
    if not under:
        yield f"Floor: no foot's diameter entered, so no pressure. {CAUTION}"
        return
    worst = max(under, key=lambda pressure: pressure.kpa.high + 2 * pressure.kpa.u)
    yield f"Floor: {_worst(say, worst)}, {_beside(say, worst, floor)} {CAUTION}"


def _worst(say: _Words, worst: Pressure) -> str:
    most = say.pressure(worst.kpa.high)
    return (
        f"most under {worst.leg} {worst.side.value} foot, up to {most} ± "
        f"{say.pressure(COVERAGE_FACTOR * worst.kpa.u)}"
    )


def _beside(say: _Words, worst: Pressure, floor: Floor) -> str:
    if worst.share is None or floor.allowed_kpa is None:
        return "and nothing was entered that the floor bears."
    entered = say.pressure(floor.allowed_kpa)
    if worst.share > 1:
        return f"with its uncertainty more than the {entered} entered: stop and ask."
    share = f"{worst.share * 100:.0f} % of it, its uncertainty included"
    return f"beside {entered} entered ({share})."


def _assumed(say: _Words, found: Loads) -> str:
    legs = ("supporting legs between just touching and in line",) * found.supporting
    return f"Loads assume: {'; '.join((*found.assumed, _rails(say, found.frame), *legs))}."


def _rails(say: _Words, frame: Frame) -> str:
    return (
        f"from the bare board alone to a frame of two rails "
        f"{say.sizes((frame.depth_mm, frame.thickness_mm))}, {frame.modulus_gpa:g} GPa, "
        f"{frame.density_kg_per_m3:g} kg/m³ (common practice, no source)"
    )
