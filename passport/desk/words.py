"""How the desk says things: the papers' own words, for the screen."""

from collections.abc import Callable, Mapping, Sequence
from datetime import date, datetime
from typing import Any

from forms.field import Field, Option
from forms.numbers import FormNumber, NumberUnusable, grouped
from passport.documents import wording
from passport.records.form_state import FormState

# Units that are counted like things.
COUNTED = frozenset({"card", "feeler", "quarter turn", "sixth"})


def form_number(code: str) -> str:
    """Write a form's number in the groups that are printed on it."""
    try:
        return str(FormNumber.parse(code))
    except NumberUnusable:
        return code


def day(when: date | datetime | str | None) -> str:
    """Say a day, with its month by name."""
    if when is None:
        return "no date"
    if isinstance(when, str):
        when = datetime.fromisoformat(when)
    return wording.day(when.astimezone().date() if isinstance(when, datetime) else when)


def moment(when: datetime | str) -> str:
    """Say a day and the time of day where the office is."""
    at = datetime.fromisoformat(when) if isinstance(when, str) else when
    return f"{day(at)}, {at.astimezone():%H:%M}"


def many(count: int, one: str, more: str | None = None) -> str:
    """Say how many: ``1 page``, ``2 pages``."""
    return f"{count} {one if count == 1 else more or one + 's'}"


def pages(numbers: Sequence[int]) -> str:
    """Name pages: ``page 2``, ``pages 1, 2 and 3``."""
    return f"{'page' if len(numbers) == 1 else 'pages'} {wording.named(tuple(map(str, numbers)))}"


def plain(value: object) -> str:
    """Say the value of a field: yes and no, a number with its minus, nothing."""
    if value is None:
        return "nothing written"
    if isinstance(value, bool):
        return "marked" if value else "not marked"
    return str(value).replace("-", "−") if str(value)[1:] else str(value)


def with_unit(value: object, field: Field) -> str:
    """Say the value of a field with its unit: ``3 cards``, ``8 cards or more``, ``41 %``."""
    if value is None or not getattr(field, "unit", ""):
        return plain(value)
    said = f"{plain(value)} {unit(field, 1 if str(value) in ('1', '-1') else 2)}"
    boxes = (one for one in getattr(field, "options", ()) if one.value == value)
    return said + bound(next(boxes, None))


def box(option: Option) -> str:
    """Say what a box stands for: ``3``, ``8 or more``, ``−2 or less``."""
    return plain(option.value) + bound(option)


def bound(option: Option | None) -> str:
    """Say that a box stands for all beyond it as well; nothing of one that does not."""
    if option is None or not option.bound:
        return ""
    below = isinstance(option.value, int) and option.value < 0
    return " or less" if below else " or more"


def state(of: FormState) -> str:
    """Say how far a form has come, as its row in *Do I have all?* does."""
    return _STATES.get(of, of.value)


_STATES = {
    FormState.PRINTED: "out",
    FormState.PARTLY_IN: "incomplete",
    FormState.IN: "all in, with doubts",
}


def sentence(text: str) -> str:
    """Begin with a capital letter."""
    return text[:1].upper() + text[1:]


def unit(field: Field, count: int = 2) -> str:
    """Name the unit of a field, of one or of several: ``card``, ``cards``, ``%``."""
    found = str(getattr(field, "unit", ""))
    return f"{found}s" if found in COUNTED and count != 1 else found


FILTERS: Mapping[str, Callable[..., Any]] = {
    "table_number": grouped,
    "form_number": form_number,
    "day": day,
    "moment": moment,
    "many": many,
    "pages": pages,
    "plain": plain,
    "unit": unit,
    "with_unit": with_unit,
    "box": box,
    "state": state,
    "sentence": sentence,
    "named": lambda items: wording.named(tuple(items)),
    "turns": wording.turns,
    "month": wording.month,
}
