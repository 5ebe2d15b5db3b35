"""A short code by which a person is told from the others on a phone: its digest. Adds only."""

import sqlalchemy as sa
from alembic import op

revision = "0013"
down_revision = "0012"
branch_labels = None
depends_on = None


def upgrade():
    op.add_column("person", sa.Column("phone_code", sa.String(length=32), nullable=True))
