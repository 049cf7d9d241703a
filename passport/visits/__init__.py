"""The kinds of visit: each one room that says what its form asks and what the answers mean."""

from passport.visits import service
from passport.visits.kind import Context, VisitKind

KINDS = {
    service.KIND: VisitKind(
        service.KIND, service.form, service.interpret, service.answers, service.missing_pages
    ),
}

__all__ = ["KINDS", "Context", "VisitKind"]
