"""Answers that are not accepted yet: they can be taken back, and survive a crash or a reload."""

import json
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from passport.desk.memory import Memory
from scan.reading import Value


@dataclass(frozen=True)
class Draft:
    """An answer to a field that waits for its sheet to be accepted.

    ``seen`` is how many photos of the form there were when it was given: what came later has not
    been seen.
    """

    form: str
    field: str
    value: Value
    who: str
    seen: int


@dataclass(frozen=True)
class Drafts:
    """All answers that are not accepted yet."""

    memory: Memory

    def keep(self, draft: Draft, at: datetime) -> None:
        """Keep an answer in place of the one before."""
        row = (draft.form, draft.field, _text(draft.value), draft.who, at.timestamp(), draft.seen)
        self.memory.change("INSERT OR REPLACE INTO drafts VALUES (?, ?, ?, ?, ?, ?)", *row)

    def of(self, form: str) -> dict[str, Draft]:
        """Give the answers of a form, by field."""
        found = self.memory.rows("SELECT * FROM drafts WHERE form = ?", form)
        return {
            row["field"]: Draft(form, row["field"], _value(row["value"]), row["who"], row["seen"])
            for row in found
        }

    def count(self) -> dict[str, int]:
        """Count the answers of each form."""
        found = self.memory.rows("SELECT form, COUNT(*) AS many FROM drafts GROUP BY form")
        return {row["form"]: row["many"] for row in found}

    def drop(self, form: str, field: str) -> None:
        """Take an answer back."""
        self.memory.change("DELETE FROM drafts WHERE form = ? AND field = ?", form, field)


def _text(value: Value) -> str:
    return json.dumps({"decimal": str(value)} if isinstance(value, Decimal) else value)


def _value(text: str) -> Value:
    found = json.loads(text)
    return Decimal(found["decimal"]) if isinstance(found, dict) else found
