"""An index for the question at every sync: which photos of this phone are still missing. Adds only."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade():
    has_photo = sa.text("photo IS NOT NULL")
    op.create_index(
        "entry_by_own_photo", "entry", ["device", "photo"], sqlite_where=has_photo, postgresql_where=has_photo
    )
