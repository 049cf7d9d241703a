"""What may be forgotten, kept pictures without notes, and rows to search and to plan by.

Projections only: they are made anew from the events right after.
"""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the projections anew in their new shape, and the two tables beside the chain."""
    _make_tables_anew()
    _make_page_photos_anew()
    op.create_table(
        "files_to_remove", sa.Column("path", sa.Text, primary_key=True), sqlite_strict=True
    )
    _make_outlooks()


def _make_tables_anew() -> None:
    op.drop_table("tables")
    op.create_table(
        "tables",
        sa.Column("number", sa.Text, primary_key=True),
        sa.Column("registered", sa.Integer, sa.ForeignKey("events.seq"), nullable=False),
        sa.Column("described", sa.Integer, sa.ForeignKey("events.seq"), nullable=False),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("site", sa.Text, nullable=False),
        sa.Column("folded", sa.Text, nullable=False),
        sqlite_strict=True,
    )


def _make_page_photos_anew() -> None:
    op.drop_table("page_photos")
    op.create_table(
        "page_photos",
        sa.Column("sha256", sa.Text, primary_key=True),
        sa.Column("position", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("form", sa.Text, primary_key=True),
        sa.Column("page", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("left_out", sa.Integer, nullable=False),
        sa.Column("kept", sa.Text, nullable=False),
        sa.Column("forgotten", sa.Integer, nullable=False),
        sqlite_strict=True,
    )
    op.create_index("ix_page_photos_form", "page_photos", ["form"])
    op.create_index("ix_page_photos_kept", "page_photos", ["kept"])


def _make_outlooks() -> None:
    op.create_table(
        "outlooks",
        sa.Column("table_number", sa.Text, primary_key=True),
        sa.Column("changed", sa.Integer, nullable=False),
        sa.Column("stale", sa.Integer, nullable=False),
        sa.Column("rank", sa.Integer),
        sa.Column("due_on", sa.Text),
        sa.Column("body", sa.Text),
        sqlite_strict=True,
    )
    op.create_index("ix_outlooks_stale", "outlooks", ["stale"])
    op.create_index("outlooks_due", "outlooks", ["rank", "due_on", "table_number"])
