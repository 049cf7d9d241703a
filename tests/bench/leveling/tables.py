"""The described tables of the halls, as any office would describe them."""

from dataclasses import replace

from passport.table import (
    Board,
    Bracket,
    FootType,
    Kit,
    Leg,
    Role,
    Side,
    Table,
    Target,
    Targets,
    Thread,
)

INCH = 25.4
FOOT = Thread("3/8-16 UNC", 1.5875)
END, CENTRE, SUPPORTING = Role.END, Role.CENTRE, Role.SUPPORTING


def kit(card_in: float = 0.0075) -> Kit:
    """Describe a 24 inch level with a vial of 0.1 mm/m, and a pack of cards known to 7 %."""
    card = card_in * INCH
    return Kit("invented kit", 609.6, 508.0, 0.1, None, card, 0.07 * card)


def five_legs(kit_: Kit | None = None) -> Table:
    """22 ft, five legs, eight brackets."""
    return _table(22 * 12 * INCH, (END, SUPPORTING, CENTRE, SUPPORTING, END), 8, kit_ or kit())


def three_legs(kit_: Kit | None = None) -> Table:
    """17 ft, three legs, five brackets: the longest whose rise is not capped in any way."""
    return _table(17 * 12 * INCH, (END, CENTRE, END), 5, kit_ or kit())


def two_legs(kit_: Kit | None = None) -> Table:
    """9 ft, two legs, three brackets: no rise by feet."""
    return _table(9 * 12 * INCH, (END, END), 3, kit_ or kit())


def _table(length: float, roles: tuple[Role, ...], brackets: int, kit_: Kit) -> Table:
    spread = (length - 600) / (len(roles) - 1)
    legs = tuple(
        Leg(f"L{i + 1}", 300 + spread * i, role, 20 * INCH, FootType.STUD_IN_LEG, FOOT, 40.0)
        for i, role in enumerate(roles)
    )
    apart = length / brackets
    nuts = tuple(Bracket(f"B{i + 1}", apart * (i + 0.5), FOOT, Side.LEFT) for i in range(brackets))
    rise = Target(0.125 * INCH, 0.25 * 0.125 * INCH) if CENTRE in roles else None
    targets = Targets(Target(0.020 * INCH, 0.0075 * INCH), Target(0.0, 0.8), rise)
    board = Board(length, 20 * INCH, 3 * INCH, "maple")
    number, name = "900000000", f"Invented {len(roles)} legs"
    return Table(number, name, "Invented hall", board, legs, nuts, targets, kit_, "imperial")


def tightened(table: Table, hollow_in: float | None = None, cross: float | None = None) -> Table:
    """Describe the same table with tighter tolerances."""
    targets = table.targets
    if hollow_in is not None:
        targets = replace(targets, hollow_mm=replace(targets.hollow_mm, tolerance=hollow_in * INCH))
    if cross is not None:
        targets = replace(targets, cross_mm_per_m=replace(targets.cross_mm_per_m, tolerance=cross))
    return replace(table, targets=targets)
