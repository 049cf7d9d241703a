"""Finding fields and boxes on a page by what they are called."""

from forms.field import Box, Choice, Digits, Field, Scale
from forms.layout import Page
from passport.booth.errors import NoSuchField, NoSuchOption


def field_of(page: Page, name: str) -> Field:
    """Find a field by its id.

    Raises
    ------
    NoSuchField
        The page has none of that id.
    """
    found = next((field for field in page.fields if field.id == name), None)
    if found is None:
        raise NoSuchField(name, page.page)
    return found


def box_of(field: Field, value: object) -> Box:
    """Find the box that a value is marked in; the box of a field that has only one.

    Raises
    ------
    NoSuchOption
        None of the field's boxes stands for the value.
    """
    match field:
        case Choice() | Scale():
            return _option_box(field, value)
        case Digits():
            return field.boxes[0]
        case _:
            return field.box


def _option_box(field: Choice | Scale, value: object) -> Box:
    for option in field.options:
        if option.value == value:
            return option.box
    raise NoSuchOption(field.id, value, tuple(option.value for option in field.options))


def digit_box(field: Field, number: int) -> Box:
    """One digit's box, counted from 0 at the left.

    Raises
    ------
    NoSuchOption
        The field has no digit box of that number.
    """
    boxes = field.boxes if isinstance(field, Digits) else ()
    if not 0 <= number < len(boxes):
        raise NoSuchOption(field.id, number, tuple(range(len(boxes))))
    return boxes[number]
