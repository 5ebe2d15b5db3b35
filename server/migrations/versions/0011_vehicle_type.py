"""Vehicle types with their revisions, what jobs propose of them, and what a lead has decided. Adds only."""

import sqlalchemy as sa
from alembic import op

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None


def upgrade():
    op.create_table(
        "type_proposal",
        sa.Column("job", sa.String(length=36), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("entry", sa.String(length=36), nullable=False),
        sa.Column("match", sa.String(length=200), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("made_by", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["job"], ["job.id"]),
        sa.PrimaryKeyConstraint("job", "number"),
    )
    op.create_table(
        "type_decision",
        sa.Column("entry", sa.String(length=36), nullable=False),
        sa.Column("what", sa.String(length=10), nullable=False),
        sa.Column("type", sa.String(length=36), nullable=True),
        sa.Column("revision", sa.Integer(), nullable=True),
        sa.Column("at_ms", sa.BigInteger(), nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("entry"),
    )
    op.create_table(
        "vehicle_type",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("state", sa.String(length=10), nullable=False),
        sa.Column("match", sa.String(length=200), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("jobs", sa.Text(), nullable=False),
        sa.Column("merged_into", sa.String(length=36), nullable=True),
        sa.Column("made_ms", sa.BigInteger(), nullable=False),
        sa.Column("made_by", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", "revision"),
    )
    op.create_table(
        "type_use",
        sa.Column("job", sa.String(length=36), nullable=False),
        sa.Column("type", sa.String(length=36), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["job"], ["job.id"]),
        sa.PrimaryKeyConstraint("job", "type", "revision"),
    )
    op.create_index("type_use_by_type", "type_use", ["type"])
