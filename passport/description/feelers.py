"""Feelers of a kit's description: the blades that make the scale of the hollow."""

from fractions import Fraction
from itertools import pairwise

from passport.description import practice
from passport.description.checks import check_positive
from passport.description.errors import FeelersUnordered, WrongType
from passport.description.findings import in_mm
from passport.description.section import Section
from passport.errors import PassportError
from passport.quantity import parse_length

FEWEST, MOST = 3, 8  # boxes of the scale above nought
_WANTED = 'lengths in quotes, thinnest first: ["0.05 mm", "0.10 mm", "0.15 mm"]'


def read_feelers(section: Section) -> tuple[tuple[float, ...], float]:
    """Read the thicknesses and the standard uncertainty of each; none where cards do. [mm]."""
    listed = section.values.get("feelers")
    if listed is None:
        if "feeler_uncertainty" in section.values:
            section.needed("feelers", "what kit.feeler_uncertainty is the uncertainty of")
        return (), 0.0
    if not isinstance(listed, list):
        section.wrong(WrongType(section.path("feelers"), listed, _WANTED))
        return (), 0.0
    blades = _blades(section, listed)
    u = section.quantity_or("feeler_uncertainty", parse_length, practice.FEELER_UNCERTAINTY)
    if not blades or check_positive(section, "feeler_uncertainty", u) is None or u is None:
        return (), 0.0
    return tuple(map(in_mm, blades)), in_mm(u)


def _blades(section: Section, listed: list[object]) -> list[Fraction]:
    """Read each thickness; none where one is wrong or they make no scale."""
    path, blades, texts = section.path("feelers"), list[Fraction](), list[str]()
    for one in listed:
        if not isinstance(one, str):
            section.wrong(WrongType(path, one, _WANTED))
            return []
        try:
            written = parse_length(one, path)
        except PassportError as problem:
            section.problems.append(problem)
            return []
        blades.append(written.value)
        texts.append(written.text)
    section.written["feelers"] = ", ".join(texts)
    rising = all(thin < thick for thin, thick in pairwise([Fraction(0), *blades]))
    if not rising or not FEWEST <= len(blades) <= MOST:
        section.wrong(FeelersUnordered(path, section.quoted("feelers"), FEWEST, MOST))
        return []
    return blades
