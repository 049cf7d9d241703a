"""Measuring kit, targets and room out of a description."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from passport.description import practice
from passport.description.checks import check_at_most, check_positive
from passport.description.errors import (
    BothSensitivities,
    CardTooThick,
    KitBeyondUse,
    StepUnknown,
    UnknownChoice,
    WrongType,
)
from passport.description.feelers import read_feelers
from passport.description.findings import in_mm
from passport.description.months import MONTHS, month_number
from passport.description.parts import Plank
from passport.description.rise import RISE_KEYS, read_rise
from passport.description.section import Parse, Section
from passport.errors import PassportError
from passport.quantity import parse_angle, parse_length, parse_slope
from passport.table import Kit, Own, Reads, Room, Target, Ways

TARGET_KEYS = ("hollow", "hollow_tolerance", "cross", "cross_tolerance", "rise", "rise_tolerance")
KIT_KEYS = (
    "name",
    "level_length",
    "bearing_length",
    "sensitivity",
    "display_step",
    "cross_by",
    "cross_read",
    "card",
    "card_uncertainty",
    "feelers",
    "feeler_uncertainty",
    "level_zero",
    "level_zero_uncertainty",
    "edge_bow",
    "edge_bow_uncertainty",
    "checked",
    *RISE_KEYS,
)
ROOM_KEYS = ("heated", "dry_months", "damp_months", "visit_within_weeks")
CARD_MOST_MM = Fraction(3)  # a card; anything thicker is a wrong unit
OWN_MOST = Fraction(5)  # mm/m or mm; a level beyond is a wrong unit, or wants adjusting first


@dataclass(frozen=True)
class Aims:
    """Targets as read; ``rise`` and its tolerance may be None: not written (mm, mm/m)."""

    section: Section
    hollow: Target | None
    cross: Target | None
    rise: Fraction | None
    rise_tolerance: Fraction | None


def read_kit(
    document: Mapping[str, object], plank: Plank, problems: list[PassportError]
) -> tuple[Section, Kit | None]:
    """Read the measuring kit. The card's thickness is needed; the rest may be left out."""
    section = Section("kit", document.get("kit", {}), KIT_KEYS, problems)
    section.needed(
        "card",
        "the thickness of one card of this kit: measure a stack of ten with a micrometer and "
        'divide by ten, like "0.0078 in"',
    )
    name = section.text_or("name", practice.KIT)
    level, bearing = _lengths(section, plank)
    card, uncertainty = _card(section)
    sensitivity, step = _sensitivity(section)
    cross_by, checked = _cross_by(section), _checked(section)
    zero = _own(section, "level_zero", parse_slope, checked)
    bow, rise = _own(section, "edge_bow", parse_length, checked), read_rise(section)
    if level is None or bearing is None or card is None or uncertainty is None:
        return section, None
    return section, Kit(
        name,
        in_mm(level),
        in_mm(bearing),
        sensitivity,
        step,
        in_mm(card),
        in_mm(uncertainty),
        cross_by,
        checked,
        zero,
        bow,
        section.choice("cross_read", Ways) or Ways.ONE,
        *rise,
        *read_feelers(section),
    )


def _cross_by(section: Section) -> Reads:
    """How the cross level is read; cards where nothing is said. What is counted must be known."""
    by = section.choice("cross_by", Reads) or Reads.CARDS
    needed = {Reads.DIVISIONS: "sensitivity", Reads.DISPLAY: "display_step"}.get(by)
    if needed and needed not in section.values:
        section.wrong(StepUnknown(section.path("cross_by"), by.value, section.path(needed)))
    return by


def _checked(section: Section) -> date | None:
    """Day of the kit's check; None where nothing is said."""
    found = section.values.get("checked")
    if found is None or type(found) is date:
        return found
    section.wrong(WrongType(section.path("checked"), found, "a day without quotes: 2026-05-04"))
    return None


def _own(section: Section, key: str, parse: Parse, checked: date | None) -> Own | None:
    """Read a number of the kit's own; it counts only with its uncertainty."""
    named = f"{key}_uncertainty"
    if not {key, named} & section.values.keys():
        return None
    section.needed(key, f"what {section.path(named)} is the uncertainty of")
    section.needed(named, f"the standard uncertainty of {section.path(key)}")
    value = section.quantity(key, parse)
    u = check_positive(section, named, section.quantity(named, parse))
    if value is not None and abs(value) > OWN_MOST:
        section.wrong(KitBeyondUse(section.path(key), section.found(key)))
    if value is None or u is None:
        return None
    exact = in_mm if parse is parse_length else float
    return Own(exact(value), exact(u), checked)


def _lengths(section: Section, plank: Plank) -> tuple[Fraction | None, Fraction | None]:
    """Level and bearing length; a level bears on the board's width at most."""
    level = _positive_or(section, "level_length", parse_length, practice.LEVEL_LENGTH)
    shorter = section.found("level_length")
    if plank.width is not None and level is not None and level > plank.width:
        shorter = plank.section.found("width")
    bearing = _positive_or(section, "bearing_length", parse_length, shorter)
    check_at_most((section, "level_length", level), (plank.section, "length", plank.length))
    check_at_most((section, "bearing_length", bearing), (section, "level_length", level))
    check_at_most((section, "bearing_length", bearing), (plank.section, "width", plank.width))
    return level, bearing


def _card(section: Section) -> tuple[Fraction | None, Fraction | None]:
    """Thickness of a card and its standard uncertainty."""
    card = check_positive(section, "card", section.quantity("card", parse_length))
    if card is not None and card > CARD_MOST_MM:
        section.wrong(CardTooThick(section.path("card"), section.found("card")))
    uncertainty = _positive_or(section, "card_uncertainty", parse_length, practice.CARD_UNCERTAINTY)
    check_at_most((section, "card_uncertainty", uncertainty), (section, "card", card))
    return card, uncertainty


def _sensitivity(section: Section) -> tuple[float | None, float | None]:
    """Tilt of one division [mm/m], or a display's step [deg]; one of the two."""
    keys = section.values.keys() & {"sensitivity", "display_step"}
    if len(keys) == 2:
        both = (str(section.values[key]) for key in ("sensitivity", "display_step"))
        section.wrong(BothSensitivities(*both))
    if "display_step" in keys:
        step = check_positive(
            section, "display_step", section.quantity("display_step", parse_angle)
        )
        return None, None if step is None else float(step)
    tilt = _positive_or(section, "sensitivity", parse_slope, practice.SENSITIVITY)
    return None if tilt is None else float(tilt), None


def read_aims(document: Mapping[str, object], problems: list[PassportError]) -> Aims:
    """Read the targets; a rise that is left out is worked out from the whole table."""
    section = Section("targets", document.get("targets", {}), TARGET_KEYS, problems)
    hollow = _target(section, "hollow", parse_length, (practice.HOLLOW, practice.HOLLOW_TOLERANCE))
    cross = _target(section, "cross", parse_slope, (practice.CROSS, practice.CROSS_TOLERANCE))
    rise = check_positive(section, "rise", section.quantity("rise", parse_length))
    tolerance = section.quantity("rise_tolerance", parse_length)
    return Aims(section, hollow, cross, rise, check_positive(section, "rise_tolerance", tolerance))


def _target(section: Section, key: str, parse: Parse, usual: tuple[str, str]) -> Target | None:
    value = section.quantity_or(key, parse, usual[0])
    tolerance = _positive_or(section, f"{key}_tolerance", parse, usual[1])
    if value is None or tolerance is None:
        return None
    exact = in_mm if parse is parse_length else float
    return Target(exact(value), exact(tolerance))


def _positive_or(section: Section, key: str, parse: Parse, usual: str) -> Fraction | None:
    return check_positive(section, key, section.quantity_or(key, parse, usual))


def read_room(document: Mapping[str, object], problems: list[PassportError]) -> Room:
    """Read what is said about the room; all of it may be left out."""
    section = Section("room", document.get("room", {}), ROOM_KEYS, problems)
    heated = section.values.get("heated")
    if heated is not None and not isinstance(heated, bool):
        section.wrong(WrongType(section.path("heated"), heated, "true or false, without quotes"))
        heated = None
    return Room(
        heated, _months(section, "dry_months"), _months(section, "damp_months"), _weeks(section)
    )


def _weeks(section: Section) -> int | None:
    """Read the owner's longest time between visits."""
    key = "visit_within_weeks"
    found = section.values.get(key)
    if found is None:
        return None
    if isinstance(found, bool) or not isinstance(found, int) or not 1 <= found <= 52:
        section.wrong(
            WrongType(section.path(key), found, "a whole number of weeks from 1 to 52, like 26")
        )
        return None
    return found


def _months(section: Section, key: str) -> tuple[int, ...]:
    """Months by name, whole or by the first three letters, as 1 to 12 in order."""
    found = section.values.get(key, [])
    if not isinstance(found, list) or not all(isinstance(month, str) for month in found):
        section.wrong(WrongType(section.path(key), found, 'months, like ["January", "February"]'))
        return ()
    for month in found:
        if month_number(month) is None:
            section.wrong(UnknownChoice(section.path(key), month, MONTHS))
    return tuple(sorted({number for month in found if (number := month_number(month))}))
