"""What photos and tape said when a sheet was locked; unknown of those that were locked before."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"


def upgrade() -> None:
    """Make room for it."""
    op.add_column("revisions", sa.Column("evidence", sa.Text, nullable=True))
