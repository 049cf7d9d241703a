"""Which tables a measuring kit looks after, and how many pages of a form must still come in."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table and the columns; the projections fill them right after."""
    op.create_table(
        "kits",
        sa.Column("name", sa.Text, primary_key=True),
        sa.Column("part", sa.Text, primary_key=True),
        sa.Column("measured_on", sa.Text, primary_key=True),
        sa.Column("table_number", sa.Text, primary_key=True),
        sqlite_strict=True,
    )
    op.create_index("ix_kits_table_number", "kits", ["table_number"])
    op.add_column("forms", sa.Column("pages", sa.Integer))
    op.add_column("forms", sa.Column("missing", sa.Text))
