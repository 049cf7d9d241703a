"""Steps from each released store to the next; none ever touches events."""

from importlib import import_module

import sqlalchemy as sa


def migrate(connection: sa.Connection) -> None:
    """Bring the store behind a connection to today's schema, inside its open transaction.

    What runs the steps is loaded only now: it takes 0.1 s that no other start should wait for.
    """
    import_module(f"{__name__}.run").upgrade(connection)


def revision_of(connection: sa.Connection) -> str | None:
    """Name the schema that a store has; None for a file without any."""
    if not sa.inspect(connection).has_table("alembic_version"):
        return None
    found = connection.execute(sa.text("SELECT version_num FROM alembic_version")).scalar()
    return None if found is None else str(found)
