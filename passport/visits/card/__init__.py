"""The owner's check card: a monthly look by the people at the table, sent back as a photo."""

from passport.visits.card.form import KIND, form
from passport.visits.card.meaning import CheckCard, answers, interpret, tell
from passport.visits.kind import VisitKind, all_pages

VISIT = VisitKind(KIND, CheckCard, form, interpret, answers, all_pages, tell)

__all__ = ["KIND", "VISIT", "CheckCard", "answers", "form", "interpret", "tell"]
