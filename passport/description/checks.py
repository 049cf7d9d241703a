"""What no table can be: sizes, places and roles that contradict each other.

Each check looks at values that could be read, and notes a problem in the section of the value.
"""

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from passport.description.errors import (
    BelowZero,
    BeyondBoard,
    NotPositive,
    RoleMisplaced,
    SamePlace,
    TooLarge,
)
from passport.description.section import Section
from passport.quantity import INCH_MM
from passport.table import Role

ONE_PLACE_MM = INCH_MM  # closer than this, two legs or two brackets would overlap

Known = Sequence[tuple[Section, Fraction]]  # sections from end A, with their distance from it [mm]


def check_positive(section: Section, key: str, value: Fraction | None) -> Fraction | None:
    """Give the value back, or None and a problem if it is zero or less."""
    if value is None or value > 0:
        return value
    section.wrong(NotPositive(section.path(key), section.found(key)))
    return None


def check_not_below_zero(section: Section, key: str, value: Fraction | None) -> Fraction | None:
    """Give the value back, or None and a problem if it is less than zero."""
    if value is None or value >= 0:
        return value
    section.wrong(BelowZero(section.path(key), section.found(key)))
    return None


def check_limit(
    section: Section, key: str, pair: tuple[Fraction | None, Fraction | None], limit: str
) -> None:
    """Hold a value against its limit, which the message calls ``limit``."""
    value, most = pair
    if value is not None and most is not None and value > most:
        section.wrong(TooLarge(section.path(key), section.found(key), limit))


def check_at_most(
    small: tuple[Section, str, Fraction | None], large: tuple[Section, str, Fraction | None]
) -> None:
    """Hold one of a description's values against another: (section, key, value) of each."""
    section, key, value = small
    holder, holder_key, most = large
    limit = f"{holder.path(holder_key)}, {holder.quoted(holder_key)}"
    check_limit(section, key, (value, most), limit)


def check_on_board(known: Known, board: Section, length: Fraction | None) -> None:
    """See that legs and brackets stand between the board's ends."""
    for section, x in known:
        if length is not None and not 0 <= x <= length:
            section.wrong(
                BeyondBoard(section.path("at"), section.found("at"), board.found("length"))
            )
        elif x < 0:
            section.wrong(BelowZero(section.path("at"), section.found("at")))


def check_apart(known: Known) -> None:
    """See that no two are in one place."""
    for (one, x), (other, other_x) in pairwise(known):
        if other_x - x < ONE_PLACE_MM:
            other.wrong(
                SamePlace(other.path("at"), other.found("at"), one.path("at"), one.found("at"))
            )


def check_roles(sections: Sequence[Section], roles: Sequence[Role | None]) -> None:
    """See that end legs are outside, others between, one centre leg at most."""
    last = len(roles) - 1
    for place, (section, role) in enumerate(zip(sections, roles, strict=True)):
        if role is not None and (role is Role.END) != (place in (0, last)):
            fitting = "end" if place in (0, last) else "supporting"
            section.wrong(RoleMisplaced(section.path("role"), role, fitting))
    centres = [s for s, role in zip(sections, roles, strict=True) if role is Role.CENTRE]
    for section in centres[1:]:
        section.wrong(RoleMisplaced(section.path("role"), Role.CENTRE, "supporting"))
