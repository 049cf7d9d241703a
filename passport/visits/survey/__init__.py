"""The delivery survey: does the board get in, what the floor asks, what must be settled first."""

from passport.visits.kind import VisitKind, all_pages
from passport.visits.survey.form import KIND, form
from passport.visits.survey.meaning import answers, interpret
from passport.visits.survey.record import Survey
from passport.visits.survey.told import tell

VISIT = VisitKind(KIND, Survey, form, interpret, answers, all_pages, tell)

__all__ = ["KIND", "VISIT", "Survey", "answers", "form", "interpret", "tell"]
