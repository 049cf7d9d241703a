"""An invented office in the middle of its work: one form filled, one half in, one still out."""

import json
import shutil
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory

import numpy as np

from passport.booth.grades import GOOD
from passport.demo import paper, technician, truth
from passport.demo.technician import Round
from passport.desk.factors import STEP_S, Factors, code_at
from passport.office import Office, open_store, printing
from passport.office.registering import register
from passport.settings import load
from passport.visits import KINDS
from scan.read import read_photo
from scan.reading import Reading, Status, Value, Why

SETTINGS = """phone = "555-0100"
technicians = ["AB", "CD"]
second_factor = "administrators"
"""
INVENTED = Path(__file__).parents[1] / "passport" / "invented"
DAY = date(2026, 3, 2)
UNCLEAR = {
    "L1.pass1.jam_nuts.loosened": Why.FAINT,
    "L2.pass1.foot.right": Why.BESIDE,
    "B1.pass1.turns": Why.TWO_MARKS,
    "B2.pass1.found": Why.UNEXPECTED,
    "air.humidity": Why.DIGIT_UNCLEAR,
}


@dataclass(frozen=True)
class Hall:
    """Where the store is, the filled form's number, and photos of it outside the store."""

    home: Path
    form: str
    photos: tuple[Path, ...]

    def copied(self, folder: Path) -> "Hall":
        shutil.copytree(self.home, folder / "home")
        return Hall(folder / "home", self.form, self.photos)

    def hand(self) -> dict:
        """Say what the hand wrote, by field."""
        return json.loads((self.photos[0].parent / "hand.json").read_text())


def now() -> datetime:
    return datetime(2026, 3, 2, 12, tzinfo=UTC)


def build(folder: Path) -> Hall:
    """Print, fill and photograph one form of the shortest table, and take its photos in."""
    home = folder / "home"
    home.mkdir()
    (home / "settings.toml").write_text(SETTINGS)
    with open_store(home) as store:
        office = Office(store, load(home), now, Random(3).getrandbits)
        table = register(office, INVENTED / "short.toml").table
        register(office, INVENTED / "middle.toml")
        printed = printing.print_form(office, "service", table.number)
        order = Round(printed.layout.form, DAY, "CD", 21.0, 41.0, "CLOTH UNDER FOOT AT L2")
        stand = truth.invented(table, np.random.default_rng(20260302))
        visit, _ = technician.visit(table, stand, order)
        answers = KINDS["service"].answers(visit, printed_on=DAY)
        answers |= {"notes.text": order.note, "notes.office_must_read": True}
        paper.keep(folder / "photos" / "hand.json", answers)
        photos = paper.take(printed, answers, paper.Sitting(11, GOOD), folder / "photos" / "form")
        hand = paper.meant(printed.layout, answers)
        for photo in photos:
            _take_in(office, photo, hand)
        printing.print_form(office, "card", table.number)
    return Hall(home, printed.layout.form, tuple(photos))


def set_up(factors: Factors, name: str, at: datetime) -> tuple[str, ...]:
    """Set up the second factor of somebody who has a phone at hand."""
    return factors.set_up(name, code_at(factors.offered(name, at), step(at)), at)


def step(at: datetime) -> int:
    """Give the number of a half minute, as RFC 6238 counts them."""
    return int(at.timestamp()) // STEP_S


def _take_in(office: Office, photo: Path, hand: Mapping[str, Value]) -> None:
    """Record a photo as the hand wrote it, a few readings doubtful, however well it is read."""
    with TemporaryDirectory() as folder:
        read = read_photo(photo, office.store.layout_of, crops=Path(folder))
        pages = tuple(replace(page, fields=_told(page.fields, hand)) for page in read.pages)
        read = replace(read, pages=pages)
        office.store.record_photo(read, photo.read_bytes(), office.now(), Path(folder))


def _told(fields: Mapping[str, Reading], hand: Mapping[str, Value]) -> dict[str, Reading]:
    return {name: _one(name, reading, hand.get(name)) for name, reading in fields.items()}


def _one(name: str, reading: Reading, written: Value) -> Reading:
    value = bool(written) if isinstance(reading.value, bool) else written
    if name in UNCLEAR:
        unclear = Status.DOUBTFUL
        return replace(reading, status=unclear, value=value, confidence=0.8, why=UNCLEAR[name])
    if reading.ink is not None or reading.status not in (Status.DOUBTFUL, Status.OUTSIDE):
        return reading
    sure = Status.EMPTY if value is None else Status.SURE
    return replace(reading, status=sure, value=value, confidence=1.0, why=None)


__all__ = ["Hall", "build", "now", "set_up", "step"]
