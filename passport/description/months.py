"""Months by name, as descriptions have them."""

MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


def month_number(name: str) -> int | None:
    """1 to 12 of a month, whole or by its first three letters; None if it is none."""
    for number, month in enumerate(MONTHS, start=1):
        if name.lower() in (month.lower(), month[:3].lower()):
            return number
    return None


def month_name(number: int) -> str:
    """Name of a month from 1 to 12."""
    return MONTHS[number - 1]
