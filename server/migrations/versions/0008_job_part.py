"""Which lots and ring sets went into which vehicle, derived from the entries. Adds only."""

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None


def upgrade():
    op.add_column("job", sa.Column("facts_version", sa.Integer(), server_default="0", nullable=False))
    op.create_index("job_by_facts_version", "job", ["facts_version"])
    op.create_table(
        "job_part",
        sa.Column("job", sa.String(length=36), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("what", sa.String(length=12), nullable=False),
        sa.Column("key", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("side", sa.String(length=5), nullable=True),
        sa.Column("round", sa.Integer(), nullable=False),
        sa.Column("state", sa.String(length=8), nullable=False),
        sa.Column("table", sa.String(length=64), nullable=True),
        sa.ForeignKeyConstraint(["job"], ["job.id"]),
        sa.PrimaryKeyConstraint("job", "number"),
    )
    op.create_index("job_part_by_key", "job_part", ["what", "key"])
