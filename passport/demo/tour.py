"""The tour: register, print, fill, photograph, read, level, remember, act; twice for one table."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from random import Random

import numpy as np

from forms.layout import dumps
from forms.numbers import TableNumber
from passport.booth.grades import GOOD, ORDINARY
from passport.demo import paper, technician, truth
from passport.demo.errors import ReadingDiffers
from passport.demo.technician import Round
from passport.demo.truth import Truth
from passport.office import Office, open_store, printing
from passport.office.history import advice_for
from passport.office.intake import Taken, intake
from passport.office.registering import Registration, register
from passport.records.store import Decision, Store
from passport.settings import FILE_NAME, load
from passport.table import Table
from passport.visits import KINDS
from scan.reading import Reading, Status, Value

INVENTED = Path(__file__).parent.parent / "invented"
SEED = 20260302
FIRST_VISIT, SECOND_VISIT = date(2026, 3, 2), date(2026, 5, 18)
SETTINGS = """\
phone = "555-0100"
technicians = ["AB", "CD", "EF"]
"""

Say = Callable[[str], None]
Change = Callable[[Mapping[str, Value]], Mapping[str, Value]]


@dataclass
class _Clock:
    """The demo's time: each look at it is a second later, so that no two events coincide."""

    at: datetime = datetime(2026, 3, 2, 7, tzinfo=UTC)

    def __call__(self) -> datetime:
        self.at += timedelta(seconds=1)
        return self.at

    def go_to(self, day: date, hour: int) -> None:
        """Move to an hour of a day."""
        self.at = datetime(day.year, day.month, day.day, hour, tzinfo=UTC)


@dataclass
class _Stop:
    """One table of the tour: how it stands, and how its visits are made."""

    name: str
    table: Table
    truth: Truth
    sitting: paper.Sitting


@dataclass
class Tour:
    """The demo at work in one folder.

    ``change`` may alter what the hand writes after the technician has decided it; tests use it.
    """

    out: Path
    say: Say
    change: Change = lambda answers: answers
    clock: _Clock = field(default_factory=_Clock)

    def run(self) -> None:
        """Do the whole job.

        Raises
        ------
        ReadingDiffers
            A value was taken as sure that the hand did not write.
        """
        with _store(self.out) as store:
            office = Office(store, load(self.out / "home"), self.clock, Random(SEED).getrandbits)
            stops = self._register(office)
            for stop in stops:
                self._visit(office, stop, FIRST_VISIT)
            self.say("Ten weeks later")
            stops[-1].truth = truth.later(stops[-1].truth, np.random.default_rng(SEED + 9))
            self._visit(office, stops[-1], SECOND_VISIT)
            count = printing.care_pages(office, self.out / "care").pages
            self.say(f"Care pages for customers: {count}, in care")

    def _register(self, office: Office) -> list[_Stop]:
        sittings = {
            "short": paper.Sitting(11, GOOD),
            "middle": paper.Sitting(12, ORDINARY),
            "long": paper.Sitting(13, None),
        }
        self.say("Registered")
        stops = []
        for number, (name, sitting) in enumerate(sittings.items()):
            done = register(office, INVENTED / f"{name}.toml")
            if done.outcome is Registration.NEW:
                self._papers(office, name, done.table)
            rng = np.random.default_rng(SEED + number)
            stops.append(_Stop(name, done.table, truth.invented(done.table, rng), sitting))
        return stops

    def _papers(self, office: Office, name: str, table: Table) -> None:
        _write(self.out / f"{name}-label.pdf", printing.print_label(office, table.number))
        legs, brackets = len(table.legs), len(table.brackets)
        self.say(
            f"  {TableNumber.parse(table.number)}  {table.name}, {table.site}: "
            f"{legs} legs, {brackets} brackets"
        )

    def _visit(self, office: Office, stop: _Stop, day: date) -> None:
        self.clock.go_to(day, 8)
        stem = self.out / f"{stop.name}-{day.isoformat()}"
        printed = printing.print_form(office, "service", stop.table.number)
        _write(stem.with_name(f"{stem.name}-form.pdf"), printed.pdf)
        _write(stem.with_name(f"{stem.name}-form.json"), dumps(printed.layout).encode())
        order = Round(
            printed.layout.form,
            day,
            "CD",
            21.0,
            41.0,
            "CLOTH UNDER FOOT AT L2, ASKED FOR A NEW ONE",
        )
        visit, stop.truth = technician.visit(stop.table, stop.truth, order)
        answers = _on_form(
            self.change(KINDS["service"].answers(visit, printed_on=day)),
            paper.meant(printed.layout, {}),
            visit.notes,
        )
        paper.keep(self.out / "hand" / f"{stem.name}.json", answers)
        photos = paper.take(printed, answers, stop.sitting, stem)
        self.clock.go_to(day, 18)
        taken = list(intake(office, photos))
        self._compare(office, printed, answers, taken)
        self._next(office, stop, stem)

    def _compare(
        self,
        office: Office,
        printed: printing.PrintedForm,
        answers: Mapping[str, Value],
        taken: list[Taken],
    ) -> None:
        form = printed.layout.form
        readings = office.store.readings(form)
        meant = {
            name: value
            for name, value in paper.meant(printed.layout, answers).items()
            if name in readings
        }
        wrong = list(differences(meant, readings))
        if wrong:
            raise ReadingDiffers(wrong)
        doubts = [one for one in office.store.doubts() if one.form == form]
        for doubt in doubts:
            decision = Decision("demo clerk", "typed from the picture")
            office.store.settle(form, doubt.field, meant.get(doubt.field), decision, self.clock())
        pages = sum(len(one.pages) for one in taken)
        self.say(
            f"  {pages} pages read, {len(meant)} fields: {len(meant) - len(doubts)} sure and as "
            f"written, {len(doubts)} left to a person"
        )

    def _next(self, office: Office, stop: _Stop, stem: Path) -> None:
        number = stop.table.number
        advice = advice_for(office, number)
        _write(
            stem.with_name(f"{stem.name}-next-actions.pdf"), printing.print_actions(office, number)
        )
        _write(stem.with_name(f"{stem.name}-passport.pdf"), printing.print_passport(office, number))
        _write(stem.with_name(f"{stem.name}-handover.pdf"), printing.print_handover(office, number))
        when = advice.next_visit.isoformat() if advice.next_visit else "not known"
        count = len(advice.moves)
        planned = f"{count} turn" if count == 1 else f"{count} turns"
        self.say(
            f"  {stop.table.name} is {advice.verdict.value}; {planned} planned; next visit {when}"
        )


def differences(meant: Mapping[str, Value], readings: Mapping[str, Reading]) -> Iterator[str]:
    """Name every reading that is sure or empty and not what was meant."""
    for name, value in meant.items():
        reading = readings[name]
        wanted = False if value is None and reading.value is False else value
        if reading.status in (Status.SURE, Status.EMPTY) and reading.value != wanted:
            yield f"{name}: written {value}, read {reading.value} ({reading.status.value})"


def _on_form(
    answers: Mapping[str, Value], asked: Mapping[str, Value], notes: Mapping[str, str]
) -> dict[str, Value]:
    """Keep the answers that the form has a place for; notes are written in words."""
    return {name: value for name, value in answers.items() if name in asked} | dict(notes)


def _store(out: Path) -> Store:
    home = out / "home"
    home.mkdir(parents=True, exist_ok=True)
    (home / FILE_NAME).write_text(SETTINGS, encoding="utf-8")
    salts = Random(SEED + 1)
    return open_store(home, salts=lambda: salts.randbytes(16))


def _write(path: Path, content: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)
