"""What can go wrong in the booth.

forms.errors.UserError
└── BoothError
    ├── NoSuchField        an answer for a field that the page does not have
    ├── NotOnTheForm       answers for fields that none of a form's pages has
    ├── NoSuchOption       a value that none of a field's boxes stands for
    ├── DoesNotFit         a number that can't be written into a field's boxes
    ├── WrongKindOfAnswer  a value that can't be an answer to this kind of field
    └── WrongMachine       a phone's picture asked of a scanner, or the other way round
"""

from forms.errors import UserError


class BoothError(UserError):
    """Something that the simulated hand or camera was asked for and can't do."""


class NoSuchField(BoothError):
    """An answer for a field that the page does not have."""

    def __init__(self, field: str, page: int):
        self.field, self.page = field, page
        super().__init__(
            f"Page {page} has no field {field!r}. Give answers for this page's fields only."
        )


class NotOnTheForm(BoothError):
    """Answers for fields that none of a form's pages has."""

    def __init__(self, fields: tuple[str, ...], form: str):
        self.fields, self.form = fields, form
        super().__init__(
            f"Form {form} has no field {', '.join(fields)}. "
            "Give answers for this form's fields only."
        )


class NoSuchOption(BoothError):
    """A value that none of a field's boxes stands for."""

    def __init__(self, field: str, value: object, options: tuple[int | str, ...]):
        self.field, self.value, self.options = field, value, options
        allowed = ", ".join(str(option) for option in options)
        super().__init__(f"Field {field!r} has no box for {value!r}. Its boxes are: {allowed}.")


class DoesNotFit(BoothError):
    """A number that can't be written into a field's boxes."""

    def __init__(self, field: str, value: object, boxes: int, decimals: int):
        self.field, self.value, self.boxes, self.decimals = field, value, boxes, decimals
        super().__init__(
            f"{value} can't be written into field {field!r}: it has {boxes} digit boxes, "
            f"{decimals} of them behind the point, and none for a sign. "
            "Round the number, or mark its sign in the sign's own field."
        )


class WrongKindOfAnswer(BoothError):
    """A value that can't be an answer to this kind of field."""

    def __init__(self, field: str, value: object, wanted: str):
        self.field, self.value, self.wanted = field, value, wanted
        super().__init__(f"Field {field!r} was given {value!r}. Give {wanted}.")


class WrongMachine(BoothError):
    """A phone's picture asked of a scanner, or the other way round."""

    def __init__(self, grade: str, wanted: str):
        self.grade, self.wanted = grade, wanted
        super().__init__(f"The grade {grade} is not a {wanted}'s. Use a grade made for a {wanted}.")
