"""Text that reads back exactly as it was, on either database."""

from typing import Any

import sqlalchemy as sa

_ESCAPE, _NUL = "\x01", "\x00"


class ExactText(sa.types.TypeDecorator[str]):
    """Text of any characters. PostgreSQL takes every one but NUL: there it stands in disguise.

    NUL becomes the characters 1, 1; character 1 becomes 1, 2; so there is one way back only. Texts
    without either, which is to say nearly all, stand as they are.

    References
    ----------
    PostgreSQL documentation, 8.3: the character with code zero can't be stored.
    """

    impl = sa.Text
    cache_ok = True

    def process_bind_param(self, value: str | None, dialect: sa.Dialect) -> str | None:
        """Write a text as the database can hold it."""
        if value is None or dialect.name != "postgresql":
            return value
        return value.replace(_ESCAPE, "\x01\x02").replace(_NUL, "\x01\x01")

    def process_result_value(self, value: Any, dialect: sa.Dialect) -> str | None:
        """Read it back."""
        if value is None or dialect.name != "postgresql":
            return None if value is None else str(value)
        return str(value).replace("\x01\x01", _NUL).replace("\x01\x02", _ESCAPE)
