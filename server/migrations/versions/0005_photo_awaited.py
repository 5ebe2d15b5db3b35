"""Which photos have not come yet, so that the question at every sync hangs on these alone. Adds only."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade():
    op.create_table(
        "photo_awaited",
        sa.Column("device", sa.String(36), sa.ForeignKey("device.id"), primary_key=True),
        sa.Column("sha256", sa.String(64), primary_key=True),
    )
    op.create_index("photo_awaited_by_name", "photo_awaited", ["sha256"])
    op.execute(
        "INSERT INTO photo_awaited (device, sha256) SELECT DISTINCT device, photo FROM entry"
        " WHERE photo IS NOT NULL AND photo NOT IN (SELECT sha256 FROM photo)"
    )
