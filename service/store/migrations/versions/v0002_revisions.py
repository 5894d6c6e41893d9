"""Locked revisions of sheets, and room in each job for second looks and overrides."""

from __future__ import annotations

import json

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"

_SHEETS = ("plumbing", "back", "far-end")
_APPEND_ONLY = """
CREATE TRIGGER revisions_no_{verb} BEFORE {verb} ON revisions
BEGIN SELECT RAISE(ABORT, 'a locked revision is never changed'); END
"""


def upgrade() -> None:
    """Make the table of revisions, and give every job its empty looks and overrides."""
    op.create_table(
        "revisions",
        sa.Column("job_id", sa.String(64), nullable=False),
        sa.Column("sheet", sa.String(40), nullable=False),
        sa.Column("place", sa.Integer, nullable=False),
        sa.Column("letter", sa.String(8), nullable=False),
        sa.Column("fingerprint", sa.String(64), nullable=False),
        sa.Column("who", sa.String(200), nullable=False),
        sa.Column("at", sa.String(40), nullable=False),
        sa.Column("content", sa.Text, nullable=False),
        sa.Column("sizes", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("job_id", "sheet", "place", name="pk_revisions"),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name="fk_revisions_job_id_jobs"),
        sa.UniqueConstraint("job_id", "sheet", "letter", name="uq_revisions_job_id_sheet_letter"),
    )
    bind = op.get_bind()
    if bind.dialect.name == "sqlite":
        for verb in ("update", "delete"):
            op.execute(_APPEND_ONLY.format(verb=verb))
    jobs = sa.table("jobs", sa.column("id", sa.String), sa.column("document", sa.Text))
    for job_id, text in bind.execute(sa.select(jobs.c.id, jobs.c.document)).all():
        document = json.loads(text)
        for key in ("looks", "overrides"):
            document.setdefault(key, {sheet: {} for sheet in _SHEETS})
        kept = json.dumps(document, ensure_ascii=False, separators=(",", ":"))
        bind.execute(sa.update(jobs).where(jobs.c.id == job_id).values(document=kept))
