"""Installation and commissioning: stages in order, each a gate that is signed."""

from passport.visits.installation.form import KIND, form
from passport.visits.installation.meaning import Installation, answers, interpret, tell
from passport.visits.kind import VisitKind, all_pages

VISIT = VisitKind(KIND, Installation, form, interpret, answers, all_pages, tell)

__all__ = ["KIND", "VISIT", "Installation", "answers", "form", "interpret", "tell"]
