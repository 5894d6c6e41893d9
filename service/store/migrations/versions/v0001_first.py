"""The first schema: jobs, walls, photos, looks, tasks, events, keys, reports."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None

_APPEND_ONLY = """
CREATE TRIGGER events_no_{verb} BEFORE {verb} ON events
BEGIN SELECT RAISE(ABORT, 'the history is appended to, never changed'); END
"""


def upgrade() -> None:
    """Make every table, and the triggers that let the history be appended to only."""
    op.create_table(
        "jobs",
        sa.Column("id", sa.String(64), nullable=False),
        sa.Column("name", sa.String(200), nullable=False),
        sa.Column("plumbing_side", sa.String(8), nullable=False),
        sa.Column("bare_unit", sa.String(4)),
        sa.Column("scope", sa.String(200), nullable=False),
        sa.Column("notes", sa.Text, nullable=False),
        sa.Column("example", sa.Boolean, nullable=False),
        sa.Column("hidden", sa.Boolean, nullable=False),
        sa.Column("revision", sa.Integer, nullable=False),
        sa.Column("created_at", sa.String(40), nullable=False),
        sa.Column("updated_at", sa.String(40), nullable=False),
        sa.Column("document", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_jobs"),
    )
    op.create_table(
        "walls",
        sa.Column("id", sa.String(64), nullable=False),
        sa.Column("job_id", sa.String(64), nullable=False),
        sa.Column("name", sa.String(40), nullable=False),
        sa.Column("place", sa.Integer, nullable=False),
        sa.Column("revision", sa.Integer, nullable=False),
        sa.Column("facts", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_walls"),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name="fk_walls_job_id_jobs"),
        sa.UniqueConstraint("job_id", "name", name="uq_walls_job_id_name"),
    )
    op.create_index("ix_walls_job_id", "walls", ["job_id"])
    _photos()
    _tasks()
    _events()
    _kept()


def _photos() -> None:
    op.create_table(
        "photos",
        sa.Column("id", sa.String(64), nullable=False),
        sa.Column("wall_id", sa.String(64), nullable=False),
        sa.Column("filename", sa.String(255), nullable=False),
        sa.Column("sha256", sa.String(64), nullable=False),
        sa.Column("bytes", sa.Integer, nullable=False),
        sa.Column("kind", sa.String(8), nullable=False),
        sa.Column("added_at", sa.String(40), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_photos"),
        sa.ForeignKeyConstraint(["wall_id"], ["walls.id"], name="fk_photos_wall_id_walls"),
    )
    op.create_index("ix_photos_wall_id", "photos", ["wall_id"])
    op.create_index("ix_photos_sha256", "photos", ["sha256"])
    op.create_table(
        "looks",
        sa.Column("sha256", sa.String(64), nullable=False),
        sa.Column("version", sa.Integer, nullable=False),
        sa.Column("found", sa.Text, nullable=False),
        sa.Column("views_sha256", sa.String(64)),
        sa.Column("at", sa.String(40), nullable=False),
        sa.PrimaryKeyConstraint("sha256", "version", name="pk_looks"),
    )


def _tasks() -> None:
    op.create_table(
        "tasks",
        sa.Column("id", sa.Integer, nullable=False, autoincrement=True),
        sa.Column("kind", sa.String(40), nullable=False),
        sa.Column("subject", sa.String(64), nullable=False),
        sa.Column("version", sa.Integer, nullable=False),
        sa.Column("state", sa.String(8), nullable=False),
        sa.Column("attempts", sa.Integer, nullable=False),
        sa.Column("token", sa.Integer, nullable=False),
        sa.Column("lease_until", sa.Float, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_tasks"),
        sa.UniqueConstraint("kind", "subject", "version", name="uq_tasks_kind_subject_version"),
    )
    op.create_index("ix_tasks_state_lease_until", "tasks", ["state", "lease_until"])


def _events() -> None:
    op.create_table(
        "events",
        sa.Column("seq", sa.Integer, nullable=False, autoincrement=True),
        sa.Column("at", sa.String(40), nullable=False),
        sa.Column("who", sa.String(200), nullable=False),
        sa.Column("device", sa.String(200), nullable=False),
        sa.Column("job_id", sa.String(64), nullable=False),
        sa.Column("wall_id", sa.String(64)),
        sa.Column("kind", sa.String(40), nullable=False),
        sa.Column("what", sa.Text, nullable=False),
        sa.Column("path", sa.Text, nullable=False),
        sa.Column("before", sa.Text, nullable=False),
        sa.Column("after", sa.Text, nullable=False),
        sa.Column("undoes", sa.Integer),
        sa.Column("prev_hash", sa.String(64), nullable=False),
        sa.Column("hash", sa.String(64), nullable=False),
        sa.PrimaryKeyConstraint("seq", name="pk_events"),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name="fk_events_job_id_jobs"),
        sa.ForeignKeyConstraint(["wall_id"], ["walls.id"], name="fk_events_wall_id_walls"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_events_job_id", "events", ["job_id"])
    op.create_index("ix_events_wall_id", "events", ["wall_id"])
    if op.get_bind().dialect.name == "sqlite":
        for verb in ("update", "delete"):
            op.execute(_APPEND_ONLY.format(verb=verb))


def _kept() -> None:
    op.create_table(
        "keys",
        sa.Column("key", sa.String(200), nullable=False),
        sa.Column("fingerprint", sa.String(64), nullable=False),
        sa.Column("status", sa.Integer, nullable=False),
        sa.Column("headers", sa.Text, nullable=False),
        sa.Column("body", sa.LargeBinary, nullable=False),
        sa.Column("at", sa.String(40), nullable=False),
        sa.PrimaryKeyConstraint("key", name="pk_keys"),
    )
    op.create_index("ix_keys_at", "keys", ["at"])
    op.create_table(
        "reports",
        sa.Column("fingerprint", sa.String(64), nullable=False),
        sa.Column("wall_id", sa.String(64), nullable=False),
        sa.Column("body", sa.Text, nullable=False),
        sa.Column("at", sa.String(40), nullable=False),
        sa.PrimaryKeyConstraint("fingerprint", name="pk_reports"),
        sa.ForeignKeyConstraint(["wall_id"], ["walls.id"], name="fk_reports_wall_id_walls"),
    )
    op.create_index("ix_reports_wall_id", "reports", ["wall_id"])
