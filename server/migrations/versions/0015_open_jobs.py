"""An index of the open jobs alone, by their last change: few among all of a shop's past. Adds only."""

import sqlalchemy as sa
from alembic import op

revision = "0015"
down_revision = "0014"
branch_labels = None
depends_on = None


def upgrade():
    is_open = sa.text("state = 'open'")
    op.create_index("job_open", "job", ["changed_ms"], sqlite_where=is_open, postgresql_where=is_open)
