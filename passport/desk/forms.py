"""Forms: do I have all of them, what one says, and where each value stands on its photo."""

from itertools import accumulate

from flask import Blueprint, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from forms.field import Field, Note
from forms.layout import Layout
from forms.numbers import FormNumber
from passport.desk.here import me, needs, office, skipped
from passport.desk.people import Role
from passport.office import settling
from passport.office.answers import answer
from passport.office.binding import unbound
from passport.office.forms_out import TOO_LONG_DAYS, rounds
from passport.office.registering import table
from passport.records.drafts import Decision
from passport.records.errors import FieldUnknown, FormUnknown
from passport.records.form_state import FormRecord

room = Blueprint("forms", __name__)

MOST = 200  # forms on one page, the last of its rounds whole


@room.get("/forms")
@needs(Role.READER)
def overview() -> str:
    """Say what is out and what is in."""
    found, skip = rounds(office()), skipped()
    before = accumulate((len(one.forms) for one in found[skip:]), initial=0)
    shown = tuple(one for one, count in zip(found[skip:], before, strict=False) if count < MOST)
    return render_template(
        "forms.html",
        rounds=shown,
        too_long=TOO_LONG_DAYS,
        more=skip + len(shown) if skip + len(shown) < len(found) else None,
    )


@room.get("/forms/<number>")
@needs(Role.READER)
def one(number: str) -> str:
    """Show what one form says so far."""
    record, layout = _form(number)
    return render_template(
        "form.html",
        form=record,
        layout=layout,
        table=unbound(record) or table(office(), record.table),
        answered={given.field: given for given in record.answers},
    )


@room.get("/forms/<number>/value")
@needs(Role.READER)
def value(number: str) -> str:
    """Show a value's place on its photo, and what was said of it when."""
    record, layout = _form(number)
    page, field = _field(record, layout, request.args.get("field", ""))
    return render_template(
        "value.html",
        form=record,
        table=unbound(record) or table(office(), record.table),
        field=field,
        page=page,
        reading=record.readings.get(field.id),
        photos=[one for one in record.photos if one.page == page],
        answers=[given for given in record.answers if given.field == field.id],
        is_note=isinstance(field, Note),
    )


@room.post("/forms/<number>/value")
@needs(Role.CLERK)
def correct(number: str) -> Response:
    """Put another value in a field's place."""
    record, layout = _form(number)
    _, field = _field(record, layout, request.form.get("field", ""))
    new = answer(field, request.form.get("value", "").strip().replace("−", "-"))
    decision = Decision(me().name, request.form.get("why", ""))
    settling.correct(office(), record.number, (field.id, new), decision)
    flash("The new value counts from now on; the old one stays visible.")
    return redirect(url_for("forms.value", number=record.number, field=field.id), 303)


@room.post("/forms/<number>/close")
@needs(Role.CLERK)
def close(number: str) -> Response:
    """Say that nothing more will come of a form."""
    record, _ = _form(number)
    settling.close(office(), record.number, (me().name, request.form.get("why", "")))
    flash("The form is closed. Its sure values count; what is missing stays missing.")
    return redirect(url_for("forms.one", number=record.number), 303)


def _form(number: str) -> tuple[FormRecord, Layout]:
    code = FormNumber.parse(number).code
    record, layout = office().store.form(code), office().store.layout_of(code)
    if layout is None:
        raise FormUnknown(code)
    return record, layout


def _field(record: FormRecord, layout: Layout, field_id: str) -> tuple[int, Field]:
    for page in layout.pages:
        for field in page.fields:
            if field.id == field_id:
                return page.page, field
    raise FieldUnknown(record.number, field_id)
