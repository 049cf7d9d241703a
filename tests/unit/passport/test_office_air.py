from datetime import date
from types import SimpleNamespace

from passport.climate.air import AirReading
from passport.office import filed as filed_module
from passport.office.filed import Filed, air_of
from passport.visits import KINDS
from passport.visits.card.meaning import CheckCard
from passport.visits.surface.meaning import SurfaceCare

DAY = date(2026, 3, 2)
TABLE = SimpleNamespace(number="T")
OFFICE = SimpleNamespace(store=SimpleNamespace(table=lambda _: SimpleNamespace(here_since=None)))


def filed(*records):
    return tuple(Filed(KINDS[one.kind], DAY, one) for one in records)


def card(humidity, day=DAY):
    return CheckCard(form="F", kind="card", table="T", date=day, air_humidity_pct=humidity)


def test_air_of_the_owners_cards_is_gathered(monkeypatch):
    care = SurfaceCare(form="F", kind="surface", table="T", date=DAY)
    records = filed(card(40.0), card(None), card(50.0, None), care)
    monkeypatch.setattr(filed_module, "beside", lambda *_: records)

    assert air_of(OFFICE, TABLE) == (AirReading(DAY, 40.0),)
