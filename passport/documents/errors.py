"""What can go wrong with documents, and what the user is told.

passport.errors.PassportError
└── DocumentError
    ├── HostUnusable           the address of the care pages can't stand in a code
    ├── TooMuchForCode         a text that is too long for a readable code
    ├── StartOutsideSheet      a label sheet has no such position
    └── NoLabels               nothing to print on a label sheet
"""

from passport.errors import PassportError


class DocumentError(PassportError):
    """Something about a document that was to be printed."""


class HostUnusable(DocumentError):
    """A host name that is not one, or that a code could not carry in its short form."""

    exit_code = 2

    def __init__(self, host: str):
        self.host = host
        super().__init__(
            f'The address of the care pages is set to "{host}", which is not a host name. '
            "Set a name of letters, digits, points and hyphens, such as care.example.org, "
            "without https:// and without a path."
        )


class TooMuchForCode(DocumentError):
    """A text that is longer than the biggest code that a phone still reads from the label."""

    def __init__(self, length: int, most: int):
        self.length, self.most = length, most
        super().__init__(
            f"The text for the QR code has {length} characters; at most {most} can be read from a "
            f"label. Use a host name that is {length - most} characters shorter."
        )


class StartOutsideSheet(DocumentError):
    """A start position that the label sheet does not have."""

    exit_code = 2

    def __init__(self, start: int, places: int):
        self.start, self.places = start, places
        super().__init__(
            f"The first label was to go to position {start}; this sheet has positions 1 to "
            f"{places}, counted along the rows. Give one of these."
        )


class NoLabels(DocumentError):
    """A label sheet was asked for without any table."""

    def __init__(self) -> None:
        super().__init__("No table was given to print labels for. Name at least one table.")
