"""What does not fit on paper, and what the form's author is told.

forms.errors.FormsError
└── Misfit
    ├── BlocksTooHigh    a block, or blocks kept together, higher than a page's body
    ├── TooManyPages     more pages than there are fiducials for
    ├── TextOutside      a text that would leave its block, the header or the foot
    ├── DrawingOutside   a stroke, likewise
    ├── BoxOutside       a box of a field, likewise
    ├── BoxesOverlap     two boxes on one spot
    ├── FieldTwice       one id for two fields
    ├── OptionTwice      one answer for two boxes of a field
    ├── FieldUnknown     a field that refers to one that is not there
    ├── BoxUnknown       a heavy frame asked for a box that is not there
    └── NothingToPrint   a batch without forms
"""

from collections.abc import Sequence

from forms.errors import FormsError
from forms.field import Box


class Misfit(FormsError):
    """A form that can't be printed as it was described."""


class BlocksTooHigh(Misfit):
    """A block, or blocks kept together, higher than a page's body."""

    def __init__(self, names: Sequence[str], height: float, available: float):
        self.names, self.height, self.available = tuple(names), height, available
        super().__init__(
            f"{_blocks(names)} {height:.1f} mm high; a page holds {available:.1f} mm. "
            f"Take {height - available:.1f} mm out, or split it into blocks that may be parted."
        )


class TooManyPages(Misfit):
    """More pages than there are fiducials for."""

    def __init__(self, needed: int, most: int):
        self.needed, self.most = needed, most
        super().__init__(
            f"The form needs {needed} pages; at most {most} can be told apart. "
            "Make two forms of it, or leave blocks out."
        )


class TextOutside(Misfit):
    """A text that would leave its block, the header or the foot."""

    def __init__(self, place: str, text: str, over: str):
        self.place, self.text, self.over = place, text, over
        super().__init__(
            f"In {place} the text “{text}” goes {over}. "
            "Shorten it, print it smaller, move it or give it more room."
        )


class DrawingOutside(Misfit):
    """A stroke that would leave its block or the header."""

    def __init__(self, place: str, path: str, over: str):
        self.place, self.path, self.over = place, path, over
        super().__init__(
            f"In {place} the drawing “{path[:40]}” goes {over}. Draw it smaller or move it."
        )


class BoxOutside(Misfit):
    """A box of a field that would leave its block."""

    def __init__(self, place: str, field: str, over: str):
        self.place, self.field, self.over = place, field, over
        super().__init__(f"In {place} a box of the field “{field}” goes {over}. Move the box.")


class BoxesOverlap(Misfit):
    """Two boxes on one spot: a mark could not be told to belong to one."""

    def __init__(self, place: str, first: str, second: str):
        self.place, self.first, self.second = place, first, second
        super().__init__(
            f"In {place} a box of the field “{first}” lies over a box of the field “{second}”. "
            "Move one of them."
        )


class FieldTwice(Misfit):
    """One id for two fields."""

    def __init__(self, field: str, blocks: Sequence[str]):
        self.field, self.blocks = field, tuple(blocks)
        where = " and ".join(f"block “{name}”" for name in blocks)
        super().__init__(
            f"The field “{field}” stands twice: in {where}. Give each field an id of its own."
        )


class OptionTwice(Misfit):
    """One answer for two boxes of a field: a mark could not be told from the other."""

    def __init__(self, field: str, value: int | str):
        self.field, self.value = field, value
        super().__init__(
            f"Two boxes of the field “{field}” give the same answer, “{value}”. "
            "Give each box an answer of its own."
        )


class FieldUnknown(Misfit):
    """A field that refers to one that is not on the form."""

    def __init__(self, field: str, missing: str):
        self.field, self.missing = field, missing
        super().__init__(
            f"The field “{field}” refers to the field “{missing}”, which is not on this form. "
            "Correct the reference or add that field."
        )


class BoxUnknown(Misfit):
    """A heavy frame that was asked for a box that is not in the block."""

    def __init__(self, block: str, name: str):
        self.block, self.name = block, name
        super().__init__(
            f"Block “{block}” asks for a heavy frame at “{name}”, but has no such field or option. "
            "Write the field's id, or id=value for one option."
        )


class NothingToPrint(Misfit):
    """A batch without forms."""

    def __init__(self) -> None:
        super().__init__("There is no form to print. Choose at least one table.")


def beyond(inner: Box, width: float, height: float, slack: float) -> str | None:
    """Say by how much a box leaves an area of width × height, or None when it stays in [mm]."""
    over = (
        (-inner.x, "beyond the left edge"),
        (-inner.y, "above the top edge"),
        (inner.x + inner.width - width, "beyond the right edge"),
        (inner.y + inner.height - height, "below the bottom edge"),
    )
    worst, side = max(over)
    return f"{worst:.2f} mm {side}" if worst > slack else None


def _blocks(names: Sequence[str]) -> str:
    if len(names) == 1:
        return f"Block “{names[0]}” is"
    return f"The blocks “{names[0]}” to “{names[-1]}”, which stay together, are"
