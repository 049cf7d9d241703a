"""What the records of a form and of a decision say, before they have a number."""

import json
from collections.abc import Mapping
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


PERSONAL_KEYS = frozenset({"site"})  # of a table's description: where it stands may be a home


def described(description: Mapping[str, Any]) -> dict[str, Any]:
    """Write a table's description with what may tell of a person kept beside the chain."""
    return {
        key: Private(value) if key in PERSONAL_KEYS and isinstance(value, str) else value
        for key, value in description.items()
    }


@dataclass(frozen=True)
class Contact:
    """Whom to call about a table. All of it is kept beside the chain."""

    name: str = ""
    phone: str = ""
    email: str = ""
    note: str = ""

    def body(self) -> dict[str, Any]:
        """Write what a record says of the contact: nothing but hashes."""
        return {key: Private(value) for key, value in vars(self).items() if value}
