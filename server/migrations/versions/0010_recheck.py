"""Which fasteners are to be rechecked when, derived from the entries. Adds only."""

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None

_WHERE = sa.text("done_by IS NULL")


def upgrade():
    op.create_table(
        "recheck",
        sa.Column("job", sa.String(length=36), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("entry", sa.String(length=36), nullable=False),
        sa.Column("due_day", sa.String(length=10), nullable=True),
        sa.Column("distance", sa.Text(), nullable=False),
        sa.Column("source", sa.Text(), nullable=False),
        sa.Column("done_by", sa.Text(), nullable=True),
        sa.ForeignKeyConstraint(["job"], ["job.id"]),
        sa.PrimaryKeyConstraint("job", "number"),
    )
    op.create_index("recheck_due", "recheck", ["due_day"], sqlite_where=_WHERE, postgresql_where=_WHERE)
