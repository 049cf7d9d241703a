"""Surface care alone: a short form for a visit that cleans and waxes and levels nothing."""

from passport.visits.kind import VisitKind, all_pages
from passport.visits.surface.form import KIND, form
from passport.visits.surface.meaning import SurfaceCare, answers, interpret, tell

VISIT = VisitKind(KIND, SurfaceCare, form, interpret, answers, all_pages, tell)

__all__ = ["KIND", "VISIT", "SurfaceCare", "answers", "form", "interpret", "tell"]
