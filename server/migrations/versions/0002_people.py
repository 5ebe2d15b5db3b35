"""People, sign-ins, pairing codes, tries, files taken in, and the lines of the audit. Adds only."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

_UUID = sa.String(length=36)
_SHA256 = sa.String(length=64)


def upgrade():
    op.create_table(
        "import_file",
        sa.Column("id", _UUID, nullable=False),
        sa.Column("at_ms", sa.BigInteger(), nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.Column("device", _UUID, nullable=True),
        sa.Column("exported_at", sa.Text(), nullable=False),
        sa.Column("outcome", sa.Text(), nullable=False),
        sa.Column("left_over", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id"),
    )
    op.add_column("pairing", sa.Column("made_by", sa.Text(), nullable=True))
    op.add_column("pairing", sa.Column("unsent", sa.Integer(), nullable=True))
    op.add_column("pairing", sa.Column("version", sa.String(length=40), nullable=True))
    op.add_column("pairing", sa.Column("file", _UUID, nullable=True))
    op.create_table(
        "person",
        sa.Column("id", _UUID, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("name_key", sa.String(length=200), nullable=False),
        sa.Column("role", sa.String(length=12), nullable=False),
        sa.Column("password", sa.Text(), nullable=False),
        sa.Column("made_ms", sa.BigInteger(), nullable=False),
        sa.Column("ended_ms", sa.BigInteger(), nullable=True),
        sa.PrimaryKeyConstraint("id"),
        sa.UniqueConstraint("name_key"),
    )
    op.create_table(
        "sign_in",
        sa.Column("digest", _SHA256, nullable=False),
        sa.Column("person", _UUID, nullable=False),
        sa.Column("made_ms", sa.BigInteger(), nullable=False),
        sa.Column("seen_ms", sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(["person"], ["person.id"]),
        sa.PrimaryKeyConstraint("digest"),
    )
    op.create_table(
        "pairing_code",
        sa.Column("digest", _SHA256, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("made_ms", sa.BigInteger(), nullable=False),
        sa.Column("made_by", sa.Text(), nullable=False),
        sa.Column("tries", sa.Integer(), nullable=False),
        sa.Column("used_ms", sa.BigInteger(), nullable=True),
        sa.PrimaryKeyConstraint("digest"),
    )
    op.create_table(
        "attempt",
        sa.Column("id", _UUID, nullable=False),
        sa.Column("what", sa.String(length=12), nullable=False),
        sa.Column("name", _SHA256, nullable=False),
        sa.Column("address", sa.String(length=45), nullable=False),
        sa.Column("at_ms", sa.BigInteger(), nullable=False),
        sa.Column("succeeded", sa.Boolean(), nullable=False),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_index("attempt_by_time", "attempt", ["what", "at_ms"], unique=False)
    op.create_table(
        "audit",
        sa.Column("id", _UUID, nullable=False),
        sa.Column("at_ms", sa.BigInteger(), nullable=False),
        sa.Column("what", sa.String(length=40), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("address", sa.String(length=45), nullable=False),
        sa.Column("about", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id"),
    )
    op.create_index("audit_by_time", "audit", ["at_ms"], unique=False)
