"""The service form: leveling, hollow, rise, test shots, surface; asked, read and written here."""

from passport.table import Table
from passport.visit import Visit
from passport.visits.kind import VisitKind
from passport.visits.service.form import KIND, form, with_third_pass
from passport.visits.service.interpret import interpret, missing_pages
from passport.visits.service.written import answers

__all__ = ["KIND", "VISIT", "answers", "form", "interpret", "missing_pages", "with_third_pass"]


def _tell(table: Table, visit: Visit) -> tuple[str, ...]:
    return ()


VISIT = VisitKind(KIND, Visit, form, interpret, answers, missing_pages, _tell)
