"""A whole store from one database into another: the same records, the same head."""

from pathlib import Path

import sqlalchemy as sa

from passport.records.schema import SCHEMA, kept_files

BATCH = 500


def transfer(source: sa.Connection, target: sa.Connection) -> None:
    """Copy every row of every table but files; the target has the same schema and nothing in it.

    Parameters
    ----------
    source : Connection
        A connection with an open transaction that shows one whole state.
    target : Connection
        A connection with an open transaction; committing it is the caller's.
    """
    for table in SCHEMA.sorted_tables:
        if table is kept_files:
            continue
        order = table.primary_key.columns
        query = sa.select(table).order_by(*order).execution_options(yield_per=BATCH)
        with source.execute(query) as rows:
            for some in rows.mappings().partitions():
                target.execute(sa.insert(table), [dict(row) for row in some])


def copy_out(engine: sa.Engine, file: Path) -> None:
    """Write the store behind an engine into a new SQLite file; see ``sqlite.copy_live``."""
    from passport.records import migrations, sqlite  # noqa: PLC0415 - they need this module's kind

    copy = sqlite.backend_of(file, file.parent, 0.0).engine
    writer = copy.execution_options(writes=True)
    with engine.begin() as source, writer.begin() as target:
        migrations.migrate(target)
        transfer(source, target)
    copy.dispose()
    sqlite.one_file(file)
