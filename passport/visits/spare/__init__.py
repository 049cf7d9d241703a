"""The spare form: a service form that is not bound to a table; its number goes in by hand."""

from passport.table import Table
from passport.visit import Visit
from passport.visits.kind import VisitKind, all_pages
from passport.visits.spare.form import KIND, TABLE, blank_table, form
from passport.visits.spare.interpret import answers, interpret, written_number

VISIT = VisitKind(KIND, Visit, form, interpret, answers, all_pages, lambda _table, _visit: ())

__all__ = [
    "KIND", "TABLE", "VISIT", "Table", "answers", "blank_table", "form", "interpret",
    "written_number",
]  # fmt: skip
