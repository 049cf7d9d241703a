"""The service form: leveling, hollow, rise, test shots, surface; asked, read and written here."""

from passport.visits.service.form import KIND, form
from passport.visits.service.interpret import interpret, missing_pages
from passport.visits.service.written import answers

__all__ = ["KIND", "answers", "form", "interpret", "missing_pages"]
