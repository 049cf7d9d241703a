"""What can go wrong with forms, and what the user is told.

UserError                     the base of every message meant for a person, in all packages
└── FormsError                the base of this package
    ├── LayoutUnreadable      forms.layout: a layout file that can't be used
    ├── NumberUnusable        forms.numbers: WrongLength, WrongSymbol, CheckFails, OtherKind
    ├── NotAFormCode          forms.marks: a QR code that names no page of a form
    ├── Misfit                forms.misfits: what does not fit on paper, drawn there
    ├── MissingGlyph          forms.typeface: a character that can't be printed
    └── PathUnusable          forms.path: a drawing that can't be printed
"""


class UserError(Exception):
    """A message for a person: what was found, with values; what to do now.

    ``exit_code`` is what the command line ends with: 2 usage, 4 an input could not be used,
    5 the store is locked or damaged.
    """

    exit_code = 4


class FormsError(UserError):
    """Something about a form, its numbers or its layout file."""
