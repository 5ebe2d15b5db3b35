"""Finds the jobs whose line has to be derived again without reading all of them. Adds only."""

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None

_WHERE = sa.text("found_by IS NULL")


def upgrade():
    op.create_index("job_not_derived", "job", ["id"], sqlite_where=_WHERE, postgresql_where=_WHERE)
