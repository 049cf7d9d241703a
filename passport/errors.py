"""The base of what can go wrong in the trade's rooms; each room draws its own branch.

forms.errors.UserError
└── PassportError
    ├── passport.table_file     descriptions that can't be used
    ├── passport.leveling       tables that can't be reckoned with
    ├── passport.records        store, events, files
    └── passport.commands       what was asked of the command line
"""

from forms.errors import UserError


class PassportError(UserError):
    """Something about tables, visits, records or documents."""
