"""Runs the steps that a store still needs."""

from importlib import resources

import sqlalchemy as sa
from alembic import command
from alembic.config import Config

from passport.records import migrations


def upgrade(connection: sa.Connection) -> None:
    """Run all missing steps on a connection; its transaction is the caller's."""
    with resources.as_file(resources.files(migrations)) as folder:
        config = Config()
        config.set_main_option("script_location", str(folder).replace("%", "%%"))
        config.set_main_option("path_separator", "os")
        config.attributes["connection"] = connection
        command.upgrade(config, "head")
