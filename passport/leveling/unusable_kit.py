"""What makes a measuring kit useless for the calculator, as one line that says what to do."""

from collections.abc import Iterator

from passport.table import Kit, Own, RiseBy

# Words, unit, least and most of each number: beyond them a unit is wrong, or a figure slipped.
Limits = tuple[str, float, str, float, float]
MOST_SLOPE = 100.0  # mm/m, of a level's zero or a laser's line


def kit_reasons(kit: Kit) -> Iterator[str]:
    """List what is wrong with a kit's numbers."""
    for words, value, unit, least, most in _numbers(kit):
        if not least <= value <= most:
            yield f"The kit's {words} is given as {value:g} {unit}. Measure it and correct it."
    if kit.rise_by is RiseBy.LINE and kit.line is None:
        yield "The kit reads the rise by a line that is not described. Describe the line."
    if kit.rise_by is RiseBy.LASER and kit.laser is None:
        yield "The kit reads the rise by a laser that is not described. Describe the laser."
    if list(kit.feelers_mm) != sorted(set(kit.feelers_mm)):
        yield "The kit's feelers are not from the thinnest to the thickest. Correct their order."


def _numbers(kit: Kit) -> Iterator[Limits]:
    yield "card", kit.card_mm, "mm", 0.001, 25.0
    yield "card's uncertainty", kit.card_u_mm, "mm", 0.0, max(0.0, kit.card_mm)
    yield "level, by its bearing length,", kit.bearing_length_mm, "mm", 10.0, 10_000.0
    yield "level, by its length,", kit.level_length_mm, "mm", 10.0, 10_000.0
    if kit.sensitivity_mm_per_m is not None:
        yield "bubble, by a division,", kit.sensitivity_mm_per_m, "mm/m", 1e-3, MOST_SLOPE
    if kit.display_step_deg is not None:
        yield "display's step", kit.display_step_deg, "degrees", 1e-4, 10.0
    if kit.zero is not None:
        yield from _own("level's zero", kit.zero, "mm/m", MOST_SLOPE)
    if kit.bow is not None:
        yield from _own("edge's bow", kit.bow, "mm", 25.0)
    for feeler in kit.feelers_mm:
        yield "feeler", feeler, "mm", 0.001, 25.0
        yield "feelers' uncertainty", kit.feeler_u_mm, "mm", 0.0, feeler
    yield from _rise(kit)


def _rise(kit: Kit) -> Iterator[Limits]:
    line, laser = kit.line, kit.laser
    if line is not None:
        yield "line, by its mass,", line.mass_g_per_m.value, "g/m", 1e-3, 1000.0
        yield "line, by its pull,", line.pull_n.value, "N", 0.1, 10_000.0
        yield from _own("line's blocks", line.block_mm, "mm", 1000.0)
        for words, own in (("mass", line.mass_g_per_m), ("pull", line.pull_n)):
            yield f"line's {words}, by its uncertainty,", own.u, "", 0.0, max(0.0, own.value)
    if laser is not None:
        yield from _own("laser's slope", laser.slope_mm_per_m, "mm/m", MOST_SLOPE)
    gauge = line or laser
    if gauge is not None:
        yield "step that a rise is read to", gauge.step_mm, "mm", 1e-3, 100.0
        yield "uncertainty of a reading of the rise", gauge.read_u_mm, "mm", 0.0, 100.0


def _own(words: str, own: Own, unit: str, most: float) -> Iterator[Limits]:
    yield words, own.value, unit, -most, most
    yield f"{words}, by its uncertainty,", own.u, unit, 0.0, most
