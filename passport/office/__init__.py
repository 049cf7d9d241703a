"""The office's work: each step of a visit, from registering a table to its next actions.

Every step is a function of an ``Office``; the command line and the desk call the same ones.
"""

import secrets
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from pathlib import Path

from forms.numbers import RandomBits
from forms.paper import Paper
from passport.office.readers import bare_limited
from passport.records.bare import Keeping
from passport.records.book import fresh_salt
from passport.records.store import Store
from passport.settings import Settings
from passport.visits.service import ids

__all__ = ["Office", "open_store"]

PERSONAL = frozenset({ids.TECHNICIAN})  # fields that name people: kept beside the chain


def open_store(
    home: Path, settings: Settings | None = None, salts: Callable[[], bytes] = fresh_salt
) -> Store:
    """Open the store as the settings say where and how; people's names stay outside its chain."""
    told = settings or Settings()
    return Store.open(
        home,
        salts=salts,
        personal=PERSONAL,
        keeping=Keeping(told.photos),
        bare=bare_limited,
        database=told.database,
    )


def _now() -> datetime:
    return datetime.now(UTC)


@dataclass(frozen=True)
class Office:
    """A store with its settings, clock and source of numbers."""

    store: Store
    settings: Settings = field(default_factory=Settings)
    now: Callable[[], datetime] = _now
    bits: RandomBits = secrets.randbits

    @property
    def today(self) -> date:
        """Today's date where the office is."""
        return self.now().astimezone().date()

    @property
    def paper(self) -> Paper:
        """The paper that the office prints on."""
        return Paper[self.settings.paper.upper()]
