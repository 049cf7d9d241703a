"""What the records of a form and of a decision say, before they have a number."""

import json
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from forms.layout import Layout, to_json
from passport.records.canonical import Private
from passport.records.event import EventKind
from passport.records.ledger import Draft


@dataclass(frozen=True)
class Decision:
    """Who decided, and why. The name is kept beside the chain."""

    who: str
    why: str

    def body(self) -> dict[str, Any]:
        """Write what a record says of the decision."""
        return {"who": Private(self.who), "why": self.why}


def layout_text(layout: Layout) -> str:
    """Write a layout file's object without blanks."""
    return json.dumps(to_json(layout), ensure_ascii=False, separators=(",", ":"))


def form_draft(
    kind: EventKind, layout: Layout, optional_pages: tuple[int, ...], at: datetime
) -> Draft:
    """Say of a form what must be known without its layout; the layout itself is a private text.

    It may name people (the boxes of technicians), and the chain stays small.
    """
    body = {
        "form_kind": layout.kind,
        "table": layout.table,
        "layout": Private(layout_text(layout)),
        "pages": [page.page for page in layout.pages if page.page not in optional_pages],
        "optional_pages": sorted(optional_pages),
    }
    return Draft(kind, layout.form, body, at)
