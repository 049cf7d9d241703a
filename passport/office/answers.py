"""What a person saw on paper, typed, becomes a value that the field can have."""

from decimal import Decimal, InvalidOperation

from forms.field import Choice, Digits, Field, Note, Scale, Tick
from passport.errors import PassportError
from scan.reading import Value

EMPTY = "nothing"


class AnswerUnknown(PassportError):
    """A value that the field can't have."""

    exit_code = 2

    def __init__(self, field: str, value: str, allowed: str):
        super().__init__(
            f"{field} can't be {value!r}: it takes {allowed}, or {EMPTY} where nothing is "
            "written. Look at the picture and type that."
        )


def answer(field: Field, text: str) -> Value:
    """Turn what a person typed into a value that the field can have.

    Raises
    ------
    AnswerUnknown
        It can't have that one.
    """
    if text == EMPTY:
        return False if isinstance(field, Tick) else None
    match field:
        case Tick():
            return _one_of(field, text, {"yes": True, "no": False})
        case Choice() | Scale():
            return _one_of(field, text, {str(one.value): one.value for one in field.options})
        case Digits():
            return _number(field, text)
        case Note():
            raise AnswerUnknown(field.label, text, "no value, since it is kept as a picture")


def _one_of(field: Field, text: str, allowed: dict[str, bool | int | str]) -> Value:
    if text not in allowed:
        raise AnswerUnknown(field.label, text, "one of " + ", ".join(allowed))
    return allowed[text]


def _number(field: Digits, text: str) -> Decimal:
    try:
        number = Decimal(text.replace(",", "."))
    except InvalidOperation as error:
        raise AnswerUnknown(field.label, text, f"a number in {field.unit}") from error
    step = Decimal(1).scaleb(-field.decimals)
    within = number.is_finite() and field.low <= number <= field.high
    if not within or number != number.quantize(step):
        allowed = f"{field.low:g} to {field.high:g} {field.unit} in steps of {step}"
        raise AnswerUnknown(field.label, text, allowed)
    return number.quantize(step)
