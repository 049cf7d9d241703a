"""The service form: leveling, hollow, rise, test shots, surface; asked, read and written here."""

from passport.visits.service.form import KIND, form
from passport.visits.service.interpret import interpret
from passport.visits.service.written import answers

__all__ = ["KIND", "answers", "form", "interpret"]
