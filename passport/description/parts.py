"""Board, legs and brackets out of a description."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from passport.description import practice
from passport.description.checks import (
    check_apart,
    check_at_most,
    check_limit,
    check_not_below_zero,
    check_on_board,
    check_positive,
    check_roles,
)
from passport.description.errors import HandWithoutThread, PlacesMissing, TooFewLegs
from passport.description.findings import Findings, in_mm
from passport.description.section import Section, sections_of
from passport.errors import PassportError
from passport.quantity import parse_length
from passport.quantity_text import Units, length_text
from passport.table import Board, Bracket, FootType, Hand, Leg, Role, Side, Thread
from passport.thread import parse_thread

BOARD_KEYS = ("length", "width", "thickness", "wood")
LEG_KEYS = ("at", "role", "foot_spacing", "foot_type", "thread", "hand", "thread_left")
BRACKET_KEYS = ("at", "thread", "hand", "working_side")

Places = Callable[[Fraction, int, Units], list[Fraction]]


@dataclass(frozen=True)
class Plank:
    """The board as read, exactly; None where it can't be (mm)."""

    section: Section
    length: Fraction | None
    width: Fraction | None
    thickness: Fraction | None
    wood: str

    def board(self) -> Board | None:
        """Make the board, if all of it could be read."""
        if self.length is None or self.width is None or self.thickness is None:
            return None
        return Board(in_mm(self.length), in_mm(self.width), in_mm(self.thickness), self.wood)


@dataclass(frozen=True)
class Placed:
    """A leg's or bracket's section with its distance from end A; None if it can't be read."""

    section: Section
    x: Fraction | None


def read_plank(document: Mapping[str, object], problems: list[PassportError]) -> Plank:
    """Read the board's section. Width, thickness and wood may be left out."""
    section = Section("board", document.get("board", {}), BOARD_KEYS, problems)
    section.needed("length", 'the length of the board, like "22 ft"')
    plank = Plank(
        section,
        check_positive(section, "length", section.quantity("length", parse_length)),
        check_positive(
            section, "width", section.quantity_or("width", parse_length, practice.WIDTH)
        ),
        check_positive(
            section, "thickness", section.quantity_or("thickness", parse_length, practice.THICKNESS)
        ),
        section.text_or("wood", practice.WOOD),
    )
    check_at_most((section, "width", plank.width), (section, "length", plank.length))
    check_at_most((section, "thickness", plank.thickness), (section, "width", plank.width))
    return plank


def read_legs(
    document: Mapping[str, object], plank: Plank, units: Units, findings: Findings
) -> tuple[Leg, ...]:
    """Read all legs from end A, filling in what was left out; without those that can't be read."""
    count = practice.leg_count(plank.length or Fraction(0))
    sections = _sections("legs", document, (LEG_KEYS, count), findings)
    placed = _placed(sections, plank, units, practice.leg_places)
    if isinstance(document.get("legs"), list) and len(sections) < 2:
        findings.problems.append(TooFewLegs(len(sections)))
    roles = _roles([place.section for place in placed])
    legs = [
        _leg(f"L{number}", place, role, plank)
        for number, (place, role) in enumerate(zip(placed, roles, strict=True), start=1)
    ]
    _take("legs", document, placed, findings)
    return tuple(leg for leg in legs if leg)


def read_brackets(
    document: Mapping[str, object], plank: Plank, units: Units, findings: Findings
) -> tuple[Bracket, ...]:
    """Read all brackets from end A, likewise."""
    count = practice.bracket_count(plank.length or Fraction(0))
    sections = _sections("brackets", document, (BRACKET_KEYS, count), findings)
    placed = _placed(sections, plank, units, practice.bracket_places)
    brackets = [_bracket(f"B{number}", place) for number, place in enumerate(placed, start=1)]
    _take("brackets", document, placed, findings)
    return tuple(bracket for bracket in brackets if bracket)


def _sections(
    name: str, document: Mapping[str, object], known: tuple[Sequence[str], int], findings: Findings
) -> list[Section]:
    """One section each; where the file has none, as many empty ones as practice has."""
    keys, count = known
    return sections_of(name, document.get(name, [{}] * count), keys, findings.problems)


def _placed(sections: list[Section], plank: Plank, units: Units, places: Places) -> list[Placed]:
    """Sections in their order from end A, with their distance from it."""
    if not any("at" in section.values for section in sections):
        spread = places(plank.length or Fraction(0), len(sections), units)
        return [_assumed_at(*pair, units) for pair in zip(sections, spread, strict=True)]
    placed = [Placed(section, _written_at(section)) for section in sections]
    placed.sort(key=lambda place: (place.x is None, place.x or Fraction(0)))
    known = [(place.section, place.x) for place in placed if place.x is not None]
    check_on_board(known, plank.section, plank.length)
    check_apart(known)
    return placed


def _assumed_at(section: Section, x: Fraction, units: Units) -> Placed:
    section.assumed.append("at")
    section.written["at"] = length_text(x, units)
    return Placed(section, x)


def _written_at(section: Section) -> Fraction | None:
    if "at" not in section.values:
        section.wrong(PlacesMissing(section.path("at")))
    return section.quantity("at", parse_length)


def _roles(sections: list[Section]) -> list[Role | None]:
    """Take roles as written, else by place; a centre leg elsewhere makes the middle supporting."""
    written = [section.choice("role", Role) for section in sections]
    fitting = practice.roles(len(sections))
    if Role.CENTRE in written:
        fitting = [Role.SUPPORTING if role is Role.CENTRE else role for role in fitting]
    roles: list[Role | None] = []
    for section, role, fits in zip(sections, written, fitting, strict=True):
        if "role" not in section.values:
            section.assumed.append("role")
            roles.append(fits)
        else:
            roles.append(role)
    check_roles(sections, roles)
    return roles


def _leg(name: str, place: Placed, role: Role | None, plank: Plank) -> Leg | None:
    section = place.section
    width = None if plank.width is None else plank.section.found("width")
    spacing = section.quantity_or("foot_spacing", parse_length, width)
    check_positive(section, "foot_spacing", spacing)
    if plank.width is not None:
        twice = f"twice board.width, {plank.section.quoted('width')}"
        check_limit(section, "foot_spacing", (spacing, 2 * plank.width), twice)
    left = check_not_below_zero(
        section, "thread_left", section.quantity("thread_left", parse_length)
    )
    thread, foot_type = _thread(section), section.choice("foot_type", FootType)
    if place.x is None or role is None or spacing is None:
        return None
    return Leg(
        name,
        in_mm(place.x),
        role,
        in_mm(spacing),
        foot_type or FootType.UNKNOWN,
        thread,
        None if left is None else in_mm(left),
    )


def _bracket(name: str, place: Placed) -> Bracket | None:
    thread, side = _thread(place.section), place.section.choice("working_side", Side)
    return None if place.x is None else Bracket(name, in_mm(place.x), thread, side)


def _thread(section: Section) -> Thread | None:
    """Thread and hand; None if the thread is unknown: a pitch is never guessed."""
    text, hand = section.text("thread"), section.choice("hand", Hand)
    if text is None:
        if hand and "thread" not in section.values:
            section.wrong(HandWithoutThread(section.path("hand"), hand))
        return None
    try:
        read = parse_thread(text, hand, section.path("thread"))
    except PassportError as problem:
        section.problems.append(problem)
        return None
    section.written["thread"] = text
    if read.pitch_assumed:
        section.assumed.append("thread.pitch")
    if read.hand_assumed:
        section.assumed.append("hand")
    return read.thread


def _take(
    name: str, document: Mapping[str, object], placed: list[Placed], findings: Findings
) -> None:
    """Note what was assumed and written, numbered from end A; left out whole, named whole."""
    if name not in document:
        findings.assumed.append(name)
        return
    for number, place in enumerate(placed, start=1):
        findings.take(place.section, f"{name}.{number}")
