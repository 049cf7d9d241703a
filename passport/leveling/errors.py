"""What the calculator refuses.

passport.errors.PassportError
└── TableUnusable     a table with numbers that nothing can be reckoned from
"""

from passport.errors import PassportError


class TableUnusable(PassportError):
    """A table with numbers that nothing can be reckoned from."""

    def __init__(self, number: str, why: str):
        super().__init__(f"Table {number} can't be reckoned with. {why}")
