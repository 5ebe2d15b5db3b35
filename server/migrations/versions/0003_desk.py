"""What the desk searches job sheets by, where a ring set's data come from, and the shop's settings. Adds only."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade():
    op.create_table(
        "setting",
        sa.Column("name", sa.String(length=40), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.Column("at_ms", sa.BigInteger(), nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("name"),
    )
    op.add_column("job", sa.Column("vin_keys", sa.Text(), nullable=True))
    op.add_column("job", sa.Column("found_by", sa.Text(), nullable=True))
    op.add_column("job", sa.Column("first_day", sa.String(length=10), nullable=True))
    op.add_column("job", sa.Column("last_day", sa.String(length=10), nullable=True))
    op.add_column("job", sa.Column("began_ms", sa.BigInteger(), nullable=True))
    op.add_column("ring_set", sa.Column("made_ms", sa.BigInteger(), nullable=True))
    op.add_column("ring_set", sa.Column("made_by", sa.Text(), nullable=True))
    op.add_column("ring_set", sa.Column("origin", sa.Text(), nullable=True))
