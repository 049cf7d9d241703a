"""Runs the steps on the connection it is given; there is no other way in."""

from alembic import context

connection = context.config.attributes["connection"]
context.configure(connection=connection, render_as_batch=connection.dialect.name == "sqlite")
context.run_migrations()
