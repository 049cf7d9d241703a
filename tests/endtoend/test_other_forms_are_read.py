"""Every kind but the service form goes the whole way: print, fill, take, read, interpret, file."""

from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from random import Random

import pytest

from passport.demo import paper
from passport.demo.tour import INVENTED, differences
from passport.office import Office, open_store, printing
from passport.office.due import due_list
from passport.office.filed import Filed, beside, visits_of
from passport.office.history import out_of_use
from passport.office.intake import intake
from passport.office.registering import register
from passport.records.drafts import Decision
from passport.settings import Settings
from passport.table import Table
from passport.visit import Count
from passport.visits import KINDS, Record
from passport.visits.card import CheckCard
from passport.visits.installation import Installation
from passport.visits.installation.form import sign
from passport.visits.installation.stages import stages_of
from passport.visits.kit import KitCheck
from passport.visits.kit.numbers import Gap
from passport.visits.kit.record import Pair
from passport.visits.surface import SurfaceCare
from passport.visits.survey import Survey
from passport.visits.survey.passage import Place

DAY = date(2026, 3, 2)


def kit(form: str, table: Table) -> KitCheck:
    return KitCheck(
        form, "kit", table.number, DAY, table.kit, "CD", (68 - 32) * 5 / 9, 41.0,
        (1.3208, 1.3462, 1.3208), 0.0254, True,
        ((Count(2), Count(-1)), (Count(1), Count(-1)), (Count(2), Count(0))),
        {Pair.TWIN: Gap(0.0254, 0.0508, -1)},
    )  # fmt: skip


def surface(form: str, table: Table) -> SurfaceCare:
    return SurfaceCare(
        form=form, kind="surface", table=table.number, date=DAY, technician="AB",
        surface={"cleaned": True, "wax_twice": True}, glide={"before": "stops", "after": "even"},
        office_must_read=True,
    )  # fmt: skip


def card(form: str, table: Table) -> CheckCard:
    return CheckCard(
        form=form, kind="card", table=table.number, date=DAY, drift="left", noise="cracks",
        bare=frozenset({"label", "far"}), air_humidity_pct=38.0, unsafe=True,
    )  # fmt: skip


def survey(form: str, table: Table) -> Survey:
    return Survey(
        form=form, kind="survey", table=table.number, units="imperial", date=DAY,
        technician="AB", places={Place.CORNER_2: (1524.0, 1270.0, 2413.0)},
        run_up_mm={"A": 1219.2}, near=frozenset({"vent", "sun"}), damp_months=frozenset({7, 8}),
        floor="timber", load_doubtful=True, sockets="nobody", helpers=4,
        below_mm={("L1", "left"): 12.7, ("L5", "right"): 0.0}, aids=frozenset({"trolley"}),
    )  # fmt: skip


def installation(form: str, table: Table) -> Installation:
    stages = tuple(stage.key for stage in stages_of(table))[:7]
    return Installation(
        form=form, kind="installation", table=table.number, date=DAY, technician="CD",
        stages=stages, notes={sign(stage): "Moss" for stage in stages},
    )  # fmt: skip


RECORDS = {
    "kit": kit,
    "surface": surface,
    "card": card,
    "survey": survey,
    "installation": installation,
}


class Room:
    """An office with one table; its forms are filled by hand and scanned."""

    def __init__(self, folder: Path):
        self.folder = folder
        self.office = Office(
            open_store(folder / "home"),
            Settings(phone="555-0100", technicians=("AB", "CD")),
            now=lambda: datetime(2026, 3, 2, 18, tzinfo=UTC),
            bits=Random(7).getrandbits,
        )
        self.table = register(self.office, INVENTED / "long.toml").table

    def file(self, kind: str) -> tuple[Record, Filed, list[str]]:
        """Give what was written, what is filed once its doubts are settled, what was misread."""
        printed = printing.print_form(self.office, kind, self.table.number)
        written = RECORDS[kind](printed.layout.form, self.table)
        asked = {field.id for page in printed.layout.pages for field in page.fields}
        given = KINDS[kind].answers(written, printed_on=DAY)
        answers = {name: value for name, value in given.items() if name in asked}
        stem = self.folder / printed.layout.form
        list(intake(self.office, paper.take(printed, answers, paper.Sitting(21, None), stem)))
        meant = paper.meant(printed.layout, answers)
        readings = self.office.store.readings(printed.layout.form)
        wrong = list(differences(meant, readings))
        for doubt in self.office.store.doubts():
            decision = Decision("clerk", "typed from the picture")
            self.office.store.settle(
                doubt.form, doubt.field, meant[doubt.field], decision, self.office.now()
            )
        return written, beside(self.office, self.table)[-1], wrong


def test_every_kind_goes_the_whole_way_here_or_in_a_test_of_its_own():
    assert RECORDS.keys() == KINDS.keys() - {"service", "spare"}


@pytest.mark.parametrize("kind", RECORDS)
def test_filed_record_is_what_the_hand_wrote(tmp_path, kind):
    room = Room(tmp_path)

    written, filed, wrong = room.file(kind)

    assert wrong == []
    assert filed.record.notes.keys() == written.notes.keys()
    assert replace(filed.record, notes=written.notes) == written
    assert (filed.kind.name, filed.on) == (kind, DAY)
    assert visits_of(room.office, room.table) == ()


def test_card_that_stopped_play_closes_the_table(tmp_path):
    room = Room(tmp_path)

    before = out_of_use(room.office, room.table)
    room.file("card")

    assert (before, out_of_use(room.office, room.table)) == (False, True)
    assert due_list(room.office)[0].why.startswith("Out of use until checked. ")
