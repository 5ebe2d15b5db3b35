"""What a recheck asks for in parts, beside the words: phones say it in their own language. Adds only."""

import sqlalchemy as sa
from alembic import op

revision = "0016"
down_revision = "0015"
branch_labels = None
depends_on = None


def upgrade():
    op.add_column("recheck", sa.Column("parts", sa.Text(), nullable=True))
