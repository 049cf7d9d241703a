"""How a kit reads the rise of the ends, out of a description: by level, steps, line or laser."""

from fractions import Fraction

from passport.description.checks import check_positive
from passport.description.findings import in_mm
from passport.description.section import Parse, Section
from passport.quantity import parse_length, parse_slope
from passport.quantity_line import parse_mass_per_length, parse_pull
from passport.table import LineLaser, Own, RiseBy, TautLine

LINE_KEYS = {  # what is said of a taut line, each with its standard uncertainty
    "line_mass": 'the mass of the line per length, like "0.5 g/m"',
    "line_weight": 'the weight hung on the line, like "3 kg"',
    "line_blocks": 'the height of the blocks under the line, like "12.7 mm"',
}
READ_KEYS = {
    "rise_step": 'the step to which a gap or height is read, like "0.1 mm"',
    "rise_uncertainty": 'the standard uncertainty of one such reading, like "0.1 mm"',
}
RISE_KEYS = (
    "rise_by",
    *(key for name in LINE_KEYS for key in (name, f"{name}_uncertainty")),
    "laser_slope",
    "laser_slope_uncertainty",
    *READ_KEYS,
)


def read_rise(section: Section) -> tuple[RiseBy, TautLine | None, LineLaser | None]:
    """Read how the rise is read; a level laid over each end leg where nothing is said.

    A line or laser needs all its numbers, each with its uncertainty: none can be assumed.
    """
    by = section.choice("rise_by", RiseBy) or RiseBy.LEVEL
    if by is RiseBy.LINE:
        return by, _line(section), None
    return by, None, _laser(section) if by is RiseBy.LASER else None


def _line(section: Section) -> TautLine | None:
    parses: tuple[Parse, ...] = (parse_mass_per_length, parse_pull, parse_length)
    parts = [_own(section, key, parse) for key, parse in zip(LINE_KEYS, parses, strict=True)]
    step, u = _read(section)
    mass, pull, blocks = parts
    if not (mass and pull and blocks and step and u):
        return None
    return TautLine(mass, pull, blocks, in_mm(step), in_mm(u))


def _laser(section: Section) -> LineLaser | None:
    key = "laser_slope_uncertainty"
    section.needed(key, 'the standard uncertainty of the laser\'s slope, like "0.2 mm/m"')
    slope = section.quantity("laser_slope", parse_slope) or Fraction(0)
    slope_u = check_positive(section, key, section.quantity(key, parse_slope))
    step, u = _read(section)
    if not (slope_u and step and u):
        return None
    return LineLaser(Own(float(slope), float(slope_u)), in_mm(step), in_mm(u))


def _own(section: Section, key: str, parse: Parse) -> Own | None:
    named = f"{key}_uncertainty"
    section.needed(key, LINE_KEYS[key])
    section.needed(named, f"the standard uncertainty of {section.path(key)}")
    value = check_positive(section, key, section.quantity(key, parse))
    u = check_positive(section, named, section.quantity(named, parse))
    return Own(float(value), float(u)) if value and u else None


def _read(section: Section) -> tuple[Fraction | None, Fraction | None]:
    found = []
    for key, what in READ_KEYS.items():
        section.needed(key, what)
        found.append(check_positive(section, key, section.quantity(key, parse_length)))
    return found[0], found[1]
