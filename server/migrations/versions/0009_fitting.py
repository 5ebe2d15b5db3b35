"""What each vehicle's newest signed job left in it, derived from the entries. Adds only."""

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None


def upgrade():
    op.create_table(
        "vehicle_key",
        sa.Column("job", sa.String(length=36), nullable=False),
        sa.Column("what", sa.String(length=12), nullable=False),
        sa.Column("key", sa.String(length=200), nullable=False),
        sa.ForeignKeyConstraint(["job"], ["job.id"]),
        sa.PrimaryKeyConstraint("job", "what", "key"),
    )
    op.create_index("vehicle_key_by_key", "vehicle_key", ["key"])
    op.create_table(
        "fitting",
        sa.Column("job", sa.String(length=36), nullable=False),
        sa.Column("at", sa.BigInteger(), nullable=False),
        sa.Column("signed_seq", sa.BigInteger(), nullable=True),
        sa.Column("left_in", sa.Text(), nullable=True),
        sa.Column("newest", sa.Boolean(), nullable=False),
        sa.Column("keys", sa.Text(), nullable=False),
        sa.Column("left", sa.Text(), nullable=True),
        sa.Column("right", sa.Text(), nullable=True),
        sa.Column("day", sa.String(length=10), nullable=True),
        sa.ForeignKeyConstraint(["job"], ["job.id"]),
        sa.PrimaryKeyConstraint("job"),
    )
    op.create_index("fitting_by_at", "fitting", ["at"])
