"""The kinds of visit: each one room that says what its form asks and what the answers mean."""

from passport.visits import card, installation, kit, service, spare, surface, survey
from passport.visits.kind import AnyKind, Context, Record, VisitKind

KINDS: dict[str, AnyKind] = {
    room.VISIT.name: room.VISIT
    for room in (service, surface, card, kit, survey, installation, spare)
}

FOR_A_TABLE = tuple(sorted(KINDS.keys() - {spare.KIND}))  # kinds printed for one table

__all__ = ["FOR_A_TABLE", "KINDS", "AnyKind", "Context", "Record", "VisitKind"]
