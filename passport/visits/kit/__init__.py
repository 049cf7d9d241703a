"""The measuring kit's own numbers: cards, level, edge; asked, read and computed here."""

from passport.visits.kind import VisitKind, all_pages
from passport.visits.kit.form import KIND, form
from passport.visits.kit.interpret import interpret
from passport.visits.kit.record import KitCheck
from passport.visits.kit.written import answers, tell

VISIT = VisitKind(KIND, KitCheck, form, interpret, answers, all_pages, tell)

__all__ = ["KIND", "VISIT", "KitCheck", "answers", "form", "interpret", "tell"]
