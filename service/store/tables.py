"""The tables. Portable SQL; what only SQLite needs is in `engine` and in the migrations."""

from __future__ import annotations

from typing import Final

from sqlalchemy import (
    Boolean,
    Column,
    Float,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
)

# Named from the first day: a constraint without a name cannot be dropped by a later migration.
NAMES: Final = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}
metadata = MetaData(naming_convention=NAMES)

jobs = Table(
    "jobs",
    metadata,
    Column("id", String(64), primary_key=True),
    Column("name", String(200), nullable=False),
    Column("plumbing_side", String(8), nullable=False),
    Column("bare_unit", String(4)),
    Column("scope", String(200), nullable=False),
    Column("notes", Text, nullable=False),
    Column("example", Boolean, nullable=False),
    Column("hidden", Boolean, nullable=False),
    Column("revision", Integer, nullable=False),
    Column("created_at", String(40), nullable=False),
    Column("updated_at", String(40), nullable=False),
    Column("document", Text, nullable=False),
)

walls = Table(
    "walls",
    metadata,
    Column("id", String(64), primary_key=True),
    Column("job_id", String(64), ForeignKey("jobs.id"), nullable=False, index=True),
    Column("name", String(40), nullable=False),
    Column("place", Integer, nullable=False),
    Column("revision", Integer, nullable=False),
    Column("facts", Text, nullable=False),
    UniqueConstraint("job_id", "name"),
)

photos = Table(
    "photos",
    metadata,
    Column("id", String(64), primary_key=True),
    Column("wall_id", String(64), ForeignKey("walls.id"), nullable=False, index=True),
    Column("filename", String(255), nullable=False),
    Column("sha256", String(64), nullable=False, index=True),
    Column("bytes", Integer, nullable=False),
    Column("kind", String(8), nullable=False),
    Column("added_at", String(40), nullable=False),
)

looks = Table(
    "looks",
    metadata,
    Column("sha256", String(64), primary_key=True),
    Column("version", Integer, primary_key=True),
    Column("found", Text, nullable=False),
    Column("views_sha256", String(64)),
    Column("at", String(40), nullable=False),
)
"""What was seen in a photo's bytes by one version of the code: the one effect of a look task."""

tasks = Table(
    "tasks",
    metadata,
    Column("id", Integer, primary_key=True, autoincrement=True),
    Column("kind", String(40), nullable=False),
    Column("subject", String(64), nullable=False),
    Column("version", Integer, nullable=False),
    Column("state", String(8), nullable=False),
    Column("attempts", Integer, nullable=False),
    Column("token", Integer, nullable=False),
    Column("lease_until", Float, nullable=False),
    UniqueConstraint("kind", "subject", "version"),
    Index(None, "state", "lease_until"),
)

events = Table(
    "events",
    metadata,
    Column("seq", Integer, primary_key=True, autoincrement=True),
    Column("at", String(40), nullable=False),
    Column("who", String(200), nullable=False),
    Column("device", String(200), nullable=False),
    Column("job_id", String(64), ForeignKey("jobs.id"), nullable=False, index=True),
    Column("wall_id", String(64), ForeignKey("walls.id"), index=True),
    Column("kind", String(40), nullable=False),
    Column("what", Text, nullable=False),
    Column("path", Text, nullable=False),
    Column("before", Text, nullable=False),
    Column("after", Text, nullable=False),
    Column("undoes", Integer),
    Column("prev_hash", String(64), nullable=False),
    Column("hash", String(64), nullable=False),
    sqlite_autoincrement=True,
)

revisions = Table(
    "revisions",
    metadata,
    Column("job_id", String(64), ForeignKey("jobs.id"), primary_key=True),
    Column("sheet", String(40), primary_key=True),
    Column("place", Integer, primary_key=True, autoincrement=False),
    Column("letter", String(8), nullable=False),
    Column("fingerprint", String(64), nullable=False),
    Column("who", String(200), nullable=False),
    Column("at", String(40), nullable=False),
    Column("content", Text, nullable=False),
    Column("sizes", Text, nullable=False),
    Column("evidence", Text),
    UniqueConstraint("job_id", "sheet", "letter"),
)
"""Sheets as they were locked; a row is never changed."""

card_photos = Table(
    "card_photos",
    metadata,
    Column("id", String(64), primary_key=True),
    Column("job_id", String(64), ForeignKey("jobs.id"), nullable=False, index=True),
    Column("filename", String(255), nullable=False),
    Column("sha256", String(64), nullable=False, index=True),
    Column("bytes", Integer, nullable=False),
    Column("added_at", String(40), nullable=False),
)
"""Photos of a card, from which a lens profile is made; they are on no wall."""

lens_profiles = Table(
    "lens_profiles",
    metadata,
    Column("id", String(64), primary_key=True),
    Column("job_id", String(64), ForeignKey("jobs.id"), nullable=False, index=True),
    Column("body", Text, nullable=False),
    Column("report", Text, nullable=False),
    Column("who", String(200), nullable=False),
    Column("at", String(40), nullable=False),
)
"""Lens profiles by the SHA-256 of their text, with the job on whose page each was made."""

keys = Table(
    "keys",
    metadata,
    Column("key", String(200), primary_key=True),
    Column("fingerprint", String(64), nullable=False),
    Column("status", Integer, nullable=False),
    Column("headers", Text, nullable=False),
    Column("body", LargeBinary, nullable=False),
    Column("at", String(40), nullable=False, index=True),
)

reports = Table(
    "reports",
    metadata,
    Column("fingerprint", String(64), primary_key=True),
    Column("wall_id", String(64), ForeignKey("walls.id"), nullable=False, index=True),
    Column("body", Text, nullable=False),
    Column("at", String(40), nullable=False),
)
"""Answers already worked out, by what they were worked out from; may be emptied at any time."""
