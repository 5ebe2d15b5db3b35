"""Ring sets by place, counted in pairs: what the desk adds and counts, and what jobs take, derived. Adds only."""

import sqlalchemy as sa
from alembic import op

revision = "0012"
down_revision = "0011"
branch_labels = None
depends_on = None


def upgrade():
    op.create_table(
        "place",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("retired", sa.Boolean(), nullable=False),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_table(
        "ring_move",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("place", sa.String(length=36), nullable=False),
        sa.Column("ring_set", sa.String(length=200), nullable=False),
        sa.Column("what", sa.String(length=10), nullable=False),
        sa.Column("pairs", sa.Integer(), nullable=False),
        sa.Column("at_ms", sa.BigInteger(), nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.Column("seq", sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(["place"], ["place.id"]),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_index("ring_move_by_time", "ring_move", ["at_ms"])
    op.create_table(
        "ring_take",
        sa.Column("job", sa.String(length=36), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("ring_set", sa.String(length=200), nullable=False),
        sa.Column("place", sa.String(length=36), nullable=True),
        sa.ForeignKeyConstraint(["job"], ["job.id"]),
        sa.PrimaryKeyConstraint("job", "number"),
    )
    op.create_index("ring_take_by_place", "ring_take", ["place", "ring_set"])
