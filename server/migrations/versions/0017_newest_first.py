"""The list of jobs by an index of its own, and what finished jobs give to learn from, kept. Adds only."""

import sqlalchemy as sa
from alembic import op

revision = "0017"
down_revision = "0016"
branch_labels = None
depends_on = None


def upgrade():
    op.create_index("job_newest_first", "job", ["changed_ms", "last_seq", "state", "id"])
    op.create_table(
        "job_gathered",
        sa.Column("job", sa.String(36), sa.ForeignKey("job.id"), primary_key=True),
        sa.Column("last_seq", sa.BigInteger(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
    )
