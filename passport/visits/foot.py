"""What stands at the foot of every form: how to mark it, and when it was printed."""

from datetime import date

SIDES = "Left and right: as seen from end A, looking along the board."
MARK = "Mark with a cross or a tick."


def foot(words: str, printed_on: date) -> str:
    """Say at the foot of every page what the form must say there, how to mark it, its date."""
    printed = f"Printed {printed_on.isoformat()}."
    return f"{words} {MARK} {printed}" if words else f"{MARK}\n{printed}"
