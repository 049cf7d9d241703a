"""How each table stands, remembered beside what its forms came to; whether something waits."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table and the column; the office fills them as it reckons."""
    op.create_table(
        "standings",
        sa.Column("table_number", sa.Text, primary_key=True),
        sa.Column("stamp", sa.Text, nullable=False),
        sa.Column("body", sa.LargeBinary, nullable=False),
        sqlite_strict=True,
    )
    op.create_index("forms_rounds", "forms", ["printed_on", "state"])
    op.add_column("outlooks", sa.Column("waits", sa.Integer))
    op.create_index(
        "outlooks_waiting",
        "outlooks",
        ["rank", "due_on", "table_number"],
        sqlite_where=sa.text("waits > 0"),
        postgresql_where=sa.text("waits > 0"),
    )
    if op.get_bind().dialect.name == "postgresql":  # it is compressed already
        op.execute("ALTER TABLE standings ALTER COLUMN body SET STORAGE EXTERNAL")
