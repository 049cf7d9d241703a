"""Steps from each released store to the next; none ever touches events."""

from importlib import resources

import sqlalchemy as sa
from alembic import command
from alembic.config import Config


def migrate(connection: sa.Connection) -> None:
    """Bring the store behind a connection to today's schema, inside its open transaction."""
    with resources.as_file(resources.files(__name__)) as folder:
        config = Config()
        config.set_main_option("script_location", str(folder).replace("%", "%%"))
        config.set_main_option("path_separator", "os")
        config.attributes["connection"] = connection
        command.upgrade(config, "head")


def revision_of(connection: sa.Connection) -> str | None:
    """Name the schema that a store has; None for a file without any."""
    if not sa.inspect(connection).has_table("alembic_version"):
        return None
    found = connection.execute(sa.text("SELECT version_num FROM alembic_version")).scalar()
    return None if found is None else str(found)
