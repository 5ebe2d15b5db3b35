"""A place of each job's line, by a counter of its own, and an index to read lines above one. Adds only.

The last entry's place in the order of arrival is a place for the lines that are there: no two jobs share one.
"""

import sqlalchemy as sa
from alembic import op

revision = "0014"
down_revision = "0013"
branch_labels = None
depends_on = None


def upgrade():
    op.add_column("counter", sa.Column("lines", sa.BigInteger(), nullable=False, server_default="0"))
    op.add_column("job", sa.Column("line_at", sa.BigInteger(), nullable=False, server_default="0"))
    op.execute("UPDATE job SET line_at = last_seq")
    op.execute("UPDATE counter SET lines = (SELECT COALESCE(MAX(line_at), 0) FROM job) WHERE name = 'entry'")
    op.create_index("job_by_line", "job", ["line_at", "state", "changed_ms"])
    op.create_index("backup_by_seq", "backup", ["seq"])
