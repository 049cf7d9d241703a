"""Doubts: the picture beside its field; nothing counts before the sheet is accepted."""

from dataclasses import dataclass
from itertools import groupby

from flask import Blueprint, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from forms.field import Choice, Digits, Field, Scale, Tick
from passport.desk.drafts import Draft
from passport.desk.here import desk, me, needs, office, skipped
from passport.desk.people import Role
from passport.desk.words import box, many
from passport.office.answers import EMPTY, answer
from passport.office.doubts import (
    Asked,
    Group,
    Waiting,
    Way,
    count,
    forms_waiting,
    is_far,
    waiting,
    waiting_on,
)
from passport.office.settling import accept as accept_sheet
from passport.office.settling import set_aside
from passport.records.errors import FieldUnknown
from scan.reading import Value, Why

room = Blueprint("doubts", __name__)

MOST = 25  # forms on one page: each is read with all that was said of it

_TYPED_MINUS = str.maketrans({"\N{MINUS SIGN}": "-", "\N{EN DASH}": "-", " ": "", "+": ""})


@dataclass(frozen=True)
class Box:
    """One box of a row: what it is called on the page, and what it sends."""

    name: str
    sent: str
    guess: bool = False


@dataclass(frozen=True)
class Question:
    """One doubt as the page shows it, with the answer that is not accepted yet."""

    place: int
    asked: Asked
    draft: Draft | None

    @property
    def id(self) -> str:
        """Name of its place on the page."""
        return f"doubt-{self.place}"

    @property
    def blind(self) -> bool:
        """Whether the guess must not be seen yet."""
        return self.asked.way is Way.TYPE

    @property
    def rows(self) -> list[list[Box]]:
        """The boxes in rows as they are printed; the guess is marked where it may be seen."""
        guess = None if self.blind else self.asked.reading.value
        return [
            [Box(said, sent, value == guess) for value, said, sent in row]
            for row in _rows(self.asked.field)
        ]

    @property
    def is_number(self) -> bool:
        """Whether the answer is typed as a number."""
        return isinstance(self.asked.field, Digits | Scale)

    @property
    def expected(self) -> tuple[float, float] | None:
        """What was expected when the form was printed, with the half of its 95 % interval.

        Only where the reading or the answer is far from it.
        """
        found = getattr(self.asked.field, "expect", None)
        if found is None:
            return None
        far = self.asked.reading.why is Why.UNEXPECTED
        far = far or (self.draft is not None and is_far(self.asked.field, self.draft.value))
        return (found.value, 1.96 * found.u) if far else None

    @property
    def differs(self) -> bool:
        """Whether somebody answered otherwise than the reader guessed."""
        guess = self.asked.reading.value
        return self.draft is not None and guess is not None and self.draft.value != guess


@room.get("/doubts")
@needs(Role.CLERK)
def overview() -> str:
    """List the forms on which something waits."""
    skip = skipped()
    forms, later = len(forms_waiting(office())), skip + MOST
    return render_template(
        "doubts.html",
        waiting=waiting(office(), MOST, skip),
        forms=forms,
        values=count(office()),
        more=later if later < forms else None,
        drafts=desk().drafts.count(),
    )


@room.get("/doubts/<form>")
@needs(Role.CLERK)
def sheet(form: str) -> str:
    """Show all that waits on one form."""
    found = waiting_on(office(), form)
    questions = _questions(found)
    return render_template(
        "sheet.html",
        waiting=found,
        questions=questions,
        left=sum(one.draft is None for one in questions),
        at=_first_open(questions, request.args.get("after", type=int)),
        conflicts=[page for page, _ in found.form.conflicts],
    )


@room.post("/doubts/<form>/answer")
@needs(Role.CLERK)
def keep(form: str) -> Response:
    """Keep an answer; it counts when the sheet is accepted."""
    question = _question(form, request.form.get("field", ""))
    given = request.form.get("value") or request.form.get("typed", "")
    value = _value(question.asked.field, given)
    seen = len(office().store.form(form).photos)
    draft = Draft(form, question.asked.field.id, value, me().name, seen)
    desk().drafts.keep(draft, office().now())
    return _back(form, question.place)


@room.post("/doubts/<form>/undo")
@needs(Role.CLERK)
def undo(form: str) -> Response:
    """Take an answer back."""
    question = _question(form, request.form.get("field", ""))
    desk().drafts.drop(form, question.asked.field.id)
    return _back(form, question.place - 1)


@room.post("/doubts/<form>/accept")
@needs(Role.CLERK)
def accept(form: str) -> Response:
    """Accept the sheet: from now on its answers stand in the history."""
    questions = _questions(waiting_on(office(), form))
    given = {one.asked.field.id: one.draft.value for one in questions if one.draft}
    accept_sheet(office(), form, given, me().name)
    for field in given:
        desk().drafts.drop(form, field)
    left = waiting_on(office(), form).asked
    again = [one for one in left if one.group is Group.MEANING and one.field.id in given]
    kept = many(len(given), "answer is", "answers are")
    said = f" {many(len(again), 'answer')} can’t be so: look once more." if again else ""
    flash(f"{kept} in the history; {len(left)} still wait on this form.{said}")
    return redirect(url_for("doubts.sheet", form=form) if left else url_for("doubts.overview"), 303)


@room.post("/doubts/<form>/aside")
@needs(Role.CLERK)
def aside(form: str) -> Response:
    """Say that a photo does not belong to this visit."""
    sent = request.form
    photo = (sent.get("sha256", ""), sent.get("position", 0, type=int))
    set_aside(office(), form, photo, (me().name, sent.get("why", "")))
    flash("The photo is set aside: kept, but it does not count any more.")
    return redirect(url_for("doubts.sheet", form=form), 303)


def _questions(found: Waiting) -> list[Question]:
    """Give each doubt its place; an answer from before another photo came in is not shown."""
    drafts, photos = desk().drafts.of(found.form.number), len(found.form.photos)
    fresh = {name: draft for name, draft in drafts.items() if draft.seen == photos}
    return [
        Question(place, asked, fresh.get(asked.field.id))
        for place, asked in enumerate(found.asked, start=1)
    ]


def _question(form: str, field: str) -> Question:
    for one in _questions(waiting_on(office(), form)):
        if one.asked.field.id == field:
            return one
    raise FieldUnknown(form, field)


def _first_open(questions: list[Question], after: int | None) -> int | None:
    """Choose what to ask next: the first open question behind this one, else the first."""
    open_ = [one.place for one in questions if one.draft is None]
    return next((place for place in open_ if place > (after or 0)), next(iter(open_), None))


def _back(form: str, place: int) -> Response:
    return redirect(url_for("doubts.sheet", form=form, after=place), 303)


def _value(field: Field, given: str) -> Value:
    text = given.strip()
    if text == EMPTY or not isinstance(field, Digits | Scale):
        return answer(field, text)
    return answer(field, text.translate(_TYPED_MINUS))


def _rows(field: Field) -> list[list[tuple[Value, str, str]]]:
    """Value, name and what is sent for each box, in printed rows; digits have none."""
    if isinstance(field, Tick):
        return [[(True, "marked", "yes"), (False, "not marked", EMPTY)]]
    if not isinstance(field, Choice | Scale):
        return []
    in_rows = groupby(field.options, key=lambda one: one.box.y)
    return [[(one.value, box(one), str(one.value)) for one in row] for _, row in in_rows]
