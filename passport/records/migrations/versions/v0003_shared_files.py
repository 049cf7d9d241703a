"""Photos and cut-outs in the database that offices share; forecasts that age."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table for files, and what lists are made by."""
    op.create_table(
        "kept_files",
        sa.Column("shelf", sa.Text, primary_key=True),
        sa.Column("hash", sa.Text, primary_key=True),
        sa.Column("ending", sa.Text, nullable=False),
        sa.Column("kept_on", sa.Integer, nullable=False),
        sa.Column("content", sa.LargeBinary, nullable=False),
        sqlite_strict=True,
    )
    _make_forms_anew()
    op.create_table(
        "tellings",
        sa.Column("form", sa.Text, primary_key=True),
        sa.Column("table_number", sa.Text, nullable=False),
        sa.Column("stamp", sa.Text, nullable=False),
        sa.Column("body", sa.LargeBinary, nullable=False),
        sqlite_strict=True,
    )
    op.create_index("ix_tellings_table_number", "tellings", ["table_number"])
    op.add_column("outlooks", sa.Column("reckoned_on", sa.Text))
    op.create_index("ix_outlooks_reckoned_on", "outlooks", ["reckoned_on"])
    op.create_index("tables_named", "tables", ["name", "site"])
    if op.get_bind().dialect.name == "postgresql":  # photos are compressed already
        op.execute("ALTER TABLE kept_files ALTER COLUMN content SET STORAGE EXTERNAL")


def _make_forms_anew() -> None:
    """Let each form say which record of it is the last; its rows are made anew right after."""
    op.drop_table("forms")
    op.create_table(
        "forms",
        sa.Column("number", sa.Text, primary_key=True),
        sa.Column("table_number", sa.Text, nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("state", sa.Text, nullable=False),
        sa.Column("printed_on", sa.Text),
        sa.Column("first_event", sa.Integer, sa.ForeignKey("events.seq"), nullable=False),
        sa.Column("changed", sa.Integer, sa.ForeignKey("events.seq"), nullable=False),
        sqlite_strict=True,
    )
    op.create_index("ix_forms_table_number", "forms", ["table_number"])
    op.create_index("ix_forms_state", "forms", ["state"])
