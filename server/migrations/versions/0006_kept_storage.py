"""What each phone says of its storage: whether its browser has promised to keep it. Adds only."""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade():
    op.add_column("pairing", sa.Column("kept", sa.Boolean(), nullable=True))
