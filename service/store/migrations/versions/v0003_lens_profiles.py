"""Photos of cards that lens profiles are made from, and the profiles."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    """Make both tables."""
    op.create_table(
        "card_photos",
        sa.Column("id", sa.String(64), nullable=False),
        sa.Column("job_id", sa.String(64), nullable=False),
        sa.Column("filename", sa.String(255), nullable=False),
        sa.Column("sha256", sa.String(64), nullable=False),
        sa.Column("bytes", sa.Integer, nullable=False),
        sa.Column("added_at", sa.String(40), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_card_photos"),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name="fk_card_photos_job_id_jobs"),
    )
    op.create_index("ix_card_photos_job_id", "card_photos", ["job_id"])
    op.create_index("ix_card_photos_sha256", "card_photos", ["sha256"])
    op.create_table(
        "lens_profiles",
        sa.Column("id", sa.String(64), nullable=False),
        sa.Column("job_id", sa.String(64), nullable=False),
        sa.Column("body", sa.Text, nullable=False),
        sa.Column("report", sa.Text, nullable=False),
        sa.Column("who", sa.String(200), nullable=False),
        sa.Column("at", sa.String(40), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_lens_profiles"),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name="fk_lens_profiles_job_id_jobs"),
    )
    op.create_index("ix_lens_profiles_job_id", "lens_profiles", ["job_id"])
