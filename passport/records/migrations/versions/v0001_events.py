"""The first store: events, what stands beside the chain, projections."""

import sqlalchemy as sa
from alembic import op

from passport.records import postgres, sqlite

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make all tables, and let events only be added to."""
    _make_events()
    _make_beside()
    _make_tables_and_forms()
    _make_worklists()
    backend = sqlite if op.get_bind().dialect.name == "sqlite" else postgres
    for statement in backend.append_only("events", ("seq", "previous", "hash")):
        op.execute(statement)


def _make_events() -> None:
    op.create_table(
        "events",
        sa.Column("seq", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("at", sa.Text, nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("subject", sa.Text, nullable=False),
        sa.Column("body", sa.Text, nullable=False),
        sa.Column("previous", sa.Text, nullable=False, unique=True),
        sa.Column("hash", sa.Text, nullable=False, unique=True),
        sqlite_strict=True,
    )
    op.create_index("events_subject", "events", ["subject", "seq"])


def _make_beside() -> None:
    op.create_table(
        "private_texts",
        sa.Column("hash", sa.Text, primary_key=True),
        sa.Column("salt", sa.LargeBinary, nullable=False),
        sa.Column("text", sa.Text, nullable=False),
        sqlite_strict=True,
    )
    op.create_table(
        "care_tokens",
        sa.Column("table_number", sa.Text, primary_key=True),
        sa.Column("token", sa.Text, nullable=False, unique=True),
        sa.Column("salt", sa.LargeBinary, nullable=False),
        sa.Column("hash", sa.Text, nullable=False, unique=True),
        sqlite_strict=True,
    )


def _make_tables_and_forms() -> None:
    op.create_table(
        "tables",
        sa.Column("number", sa.Text, primary_key=True),
        sa.Column("registered", sa.Integer, sa.ForeignKey("events.seq"), nullable=False),
        sa.Column("described", sa.Integer, sa.ForeignKey("events.seq"), nullable=False),
        sqlite_strict=True,
    )
    op.create_table(
        "forms",
        sa.Column("number", sa.Text, primary_key=True),
        sa.Column("table_number", sa.Text, nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("state", sa.Text, nullable=False),
        sa.Column("printed_on", sa.Text),
        sa.Column("first_event", sa.Integer, sa.ForeignKey("events.seq"), nullable=False),
        sqlite_strict=True,
    )
    op.create_index("ix_forms_table_number", "forms", ["table_number"])
    op.create_index("ix_forms_state", "forms", ["state"])


def _make_worklists() -> None:
    op.create_table(
        "page_photos",
        sa.Column("sha256", sa.Text, primary_key=True),
        sa.Column("position", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("form", sa.Text, primary_key=True),
        sa.Column("page", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("left_out", sa.Integer, nullable=False),
        sqlite_strict=True,
    )
    op.create_table(
        "open_doubts",
        sa.Column("form", sa.Text, primary_key=True),
        sa.Column("field", sa.Text, primary_key=True),
        sa.Column("table_number", sa.Text, nullable=False),
        sa.Column("page", sa.Integer, nullable=False),
        sa.Column("reading", sa.Text, nullable=False),
        sqlite_strict=True,
    )
    op.create_table(
        "closed_actions",
        sa.Column("table_number", sa.Text, primary_key=True),
        sa.Column("action", sa.Text, primary_key=True),
        sa.Column("result", sa.Text, nullable=False),
        sa.Column("closed", sa.Integer, sa.ForeignKey("events.seq"), nullable=False),
        sqlite_strict=True,
    )
    op.create_index("ix_page_photos_form", "page_photos", ["form"])
