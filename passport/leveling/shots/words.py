"""Test shots as printed lines: readings, numbers, conclusion. Every ± is a 95 % interval."""

from collections.abc import Iterator

from passport.leveling.advice import Quantity
from passport.leveling.lines import COVERAGE_FACTOR, INCH_MM, sense_words
from passport.leveling.shots.agree import Agreement, Slope, differ
from passport.leveling.shots.drift import CHANCE, STEEP, Drift, Row, Value
from passport.leveling.shots.friction import Friction, Run
from passport.leveling.shots.tested import Tested
from passport.rounding import places_by
from passport.table import Table
from passport.visit import Shot

BEYOND = "more than chance makes"
_FOOT_M = 0.3048  # exactly; international yard and pound agreement, 1959


def shot_lines(table: Table, found: Tested | None) -> tuple[str, ...]:
    """Say what the test shots of a visit mean, one printed line each.

    Parameters
    ----------
    table : Table
        Its units and board.
    found : Tested or None
        The answer of ``read_shots``.

    Returns
    -------
    tuple of str
        Friction, lengthwise slope, drifts, player's curve, levels beside shots, slope at each leg.
    """
    if found is None:
        return ()
    return (
        _friction(table, found.friction),
        *_lengthwise(table, found),
        *_drift(table, found),
        *_curve(table, found.drift),
        *_levels(table, found),
        *_along(table, found),
    )


def shot_warnings(table: Table, found: Tested | None) -> tuple[str, ...]:
    """Say what stands out before anyone turns: disagreements beyond chance, one line each.

    Parameters
    ----------
    table : Table
        Its units and board.
    found : Tested or None
        The answer of ``read_shots``.

    Returns
    -------
    tuple of str
        The same lines as in ``shot_lines``; none where all agree.
    """
    if found is None:
        return ()
    lines = (*_lengthwise(table, found), *_drift(table, found), *_levels(table, found))
    return tuple(line for line in lines if BEYOND in line)


def _friction(table: Table, day: Friction) -> str:
    refused = f" Not used: {'; '.join(day.refused)}." if day.refused else ""
    u = COVERAGE_FACTOR * day.u
    places = places_by(u, 3)
    value = f"friction {day.value:.{places}f} ± {u:.{places}f}"
    if not day.runs:
        return f"No usable glide: {value}, assumed; time one to rest each way.{refused}"
    runs = ", ".join(_run(table, run) for run in day.runs)
    return f"Glides {runs}: 2 d / (g t²) gives {value}.{refused}"


def _run(table: Table, run: Run) -> str:
    covered = _distance(table, run.distance_m)
    return f"from {run.from_end} {covered} in {run.seconds:g} s ({run.drag:.3f})"


def _distance(table: Table, metres: float) -> str:
    return f"{metres:.1f} m" if table.units == "metric" else f"{metres / _FOOT_M:.1f} ft"


def _lengthwise(table: Table, found: Tested) -> Iterator[str]:
    day = found.friction
    if day.slope_mm_per_m is None or day.slope_u is None:
        return
    glides = Value(day.slope_mm_per_m, day.slope_u)
    said = f"Lengthwise, half of what the glides differ by: {_ends(table, glides)}"
    if found.tilt_mm_per_m is None:
        yield f"{said}."
        return
    chance = differ(glides, found.tilt_mm_per_m)
    end = (
        f"{BEYOND} ({_odds(chance)}): look for uneven wax, or supporting legs."
        if chance < CHANCE
        else "as chance allows."
    )
    yield f"{said}; by the level {_ends(table, found.tilt_mm_per_m)}: they differ {end}"


def _ends(table: Table, value: Value) -> str:
    """Say a lengthwise slope: "0.40 ± 0.20 mm/m, end B high"."""
    said = sense_words(table, Quantity.CROSS, value.value, COVERAGE_FACTOR * value.u)
    return said.replace(" left high", ", end B high").replace(" right high", ", end A high")


def _drift(table: Table, found: Tested) -> Iterator[str]:
    bounds = ", ".join(_bound(table, shot) for shot in found.bounds)
    if found.drift is None:
        if bounds:
            yield f"Shots {bounds}: bounds, no values. Level by the counts, then shoot again."
        return
    drift = found.drift
    rows = "; ".join(_row(table, row) for row in drift.rows)
    unused = f" Bounds, not used: {bounds}." if bounds else ""
    yield (
        f"Shots {rows}. With the hollow's pull ({_hollow(table, found)}) and the day's friction: "
        f"cross slope {_cross(table, drift.cross_mm_per_m)} at the middle.{unused}"
    )
    if drift.at_odds < CHANCE:
        yield (
            f"The shots disagree among themselves {BEYOND} ({_odds(drift.at_odds)}); "
            "the ± is widened by it. Look for bare or waxed patches, and shoot again."
        )
    if abs(drift.cross_mm_per_m.value) / 1000 > STEEP * found.friction.value:
        yield "So steep for this friction that the figure is rough: level first, then shoot again."


def _hollow(table: Table, found: Tested) -> str:
    hollow = found.hollow_mm
    said = sense_words(table, Quantity.HOLLOW, hollow.value, COVERAGE_FACTOR * hollow.u)
    return said if found.hollow_read else f"{said}, its target: none was measured"


def _cross(table: Table, value: Value) -> str:
    return sense_words(table, Quantity.CROSS, value.value, COVERAGE_FACTOR * value.u)


def _row(table: Table, row: Row) -> str:
    repeats = f", mean of {row.shots}" if row.shots > 1 else ""
    seen, fitted = (_aside(table, metres) for metres in (row.seen_m, row.fitted_m))
    return f"from {row.from_end} {row.lane} {seen}{repeats} (fitted {fitted})"


def _bound(table: Table, shot: Shot) -> str:
    aside = _aside(table, shot.off_line_in * INCH_MM / 1000)
    return f"from {shot.from_end} {shot.lane} {aside} or farther"


def _aside(table: Table, metres: float) -> str:
    """Say a drift with its side: "2.0 in right"."""
    said = _length(table, abs(metres) * 1000)
    if said.split()[0].strip("0.") == "":
        return said
    return f"{said} {'left' if metres > 0 else 'right'}"


def _odds(chance: float) -> str:
    return "less than 1 in 1000" if chance < 0.001 else f"{chance * 100:.1f} %"


def _length(table: Table, mm: float) -> str:
    return f"{mm:.0f} mm" if table.units == "metric" else f"{mm / INCH_MM:.1f} in"


def _around(table: Table, mm: float, u: float) -> str:
    """Say a length beside the board with its 95 % interval: "12 ± 31 mm"."""
    unit, size, most = ("mm", 1.0, 0) if table.units == "metric" else ("in", INCH_MM, 1)
    places = places_by(u / size, most)
    return f"{mm / size:.{places}f} ± {u / size:.{places}f} {unit}"


def _curve(table: Table, drift: Drift | None) -> Iterator[str]:
    if drift is None:
        return
    if not drift.both_ways:
        yield (
            "Shots from one end only: the player's own curve can't be told from a slope, so the ± "
            "is wide. Shoot from both ends."
        )
        return
    curve = drift.curve_mm
    side = f" to the player's {'left' if curve.value > 0 else 'right'}"
    if abs(curve.value) < curve.u / 10:
        side = ""
    yield (
        f"Player's own curve: {_around(table, abs(curve.value), COVERAGE_FACTOR * curve.u)}{side} "
        "at rest, the same from both ends, so it is taken out."
    )


def _levels(table: Table, found: Tested) -> Iterator[str]:
    if found.both is None or found.levels is None or found.drift is None:
        return
    yield _beside(table, found.levels, found.drift, found.both)


def _along(table: Table, found: Tested) -> Iterator[str]:
    """Say the cross slope at every leg that leveling turns."""
    if found.slope is None:
        return
    at = "; ".join(
        f"{leg.name} {_cross(table, found.slope.at(leg.x_mm, table.board))}"
        for leg in table.adjusted_legs()
    )
    by = "shots alone" if found.both is None else "shots and levels"
    yield f"Cross slope along the board, by {by}: {at}."


def _beside(table: Table, levels: Slope, drift: Drift, both: Agreement) -> str:
    said = (
        f"Cross slope by levels {_cross(table, levels.middle)}, by shots "
        f"{_cross(table, drift.cross_mm_per_m)}"
    )
    if both.chance >= CHANCE:
        return f"{said}: they agree; together {_cross(table, both.both.middle)}."
    return (
        f"{said}: they differ {BEYOND} ({_odds(both.chance)}). Before turning, look "
        "for a level that lost its zero, uneven wax, a bare spot."
    )
