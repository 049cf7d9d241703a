"""The store: events, projections, files, migrations.

An office's whole memory is a chain of events that can only be added to. ``Store`` is the way in.
"""

from passport.records.archive import Manifest, restore
from passport.records.bare import Keeping
from passport.records.build_book import Taught
from passport.records.canonical import Private
from passport.records.drafts import Contact, Decision
from passport.records.event import Event, EventKind
from passport.records.export import export_csv, export_events_csv, export_json
from passport.records.forgetting import Forgotten, Photos
from passport.records.form_state import Answer, FormRecord, FormState, OpenDoubt, PagePhoto
from passport.records.intake import Outcome
from passport.records.ledger import Head, Verified
from passport.records.store import Store
from passport.records.table_book import Outlook, TableRow
from passport.records.table_state import (
    ActionResult,
    ClosedAction,
    Move,
    Print,
    TablePaper,
    TableRecord,
)

__all__ = [
    "ActionResult",
    "Answer",
    "ClosedAction",
    "Contact",
    "Decision",
    "Event",
    "EventKind",
    "Forgotten",
    "FormRecord",
    "FormState",
    "Head",
    "Keeping",
    "Manifest",
    "Move",
    "OpenDoubt",
    "Outcome",
    "Outlook",
    "PagePhoto",
    "Photos",
    "Print",
    "Private",
    "Store",
    "TablePaper",
    "TableRecord",
    "TableRow",
    "Taught",
    "Verified",
    "export_csv",
    "export_events_csv",
    "export_json",
    "restore",
]
