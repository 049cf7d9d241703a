"""What each table teaches of its build."""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table; descriptions name builds from now on, and the office fills in the rest."""
    op.create_table(
        "lessons",
        sa.Column("table_number", sa.Text, primary_key=True),
        sa.Column("build", sa.Text, nullable=False),
        sa.Column("stamp", sa.Text),
        sa.Column("body", sa.LargeBinary),
        sqlite_strict=True,
    )
    op.create_index("ix_lessons_build", "lessons", ["build"])
