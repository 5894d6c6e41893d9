"""A job and its walls, put in place."""

from __future__ import annotations

import hashlib

from service.store.rows import WALL_NAMES, Acting, Facts, JobRow, WallName, WallRow
from service.store.unit import Unit
from service.store.usual_sizes import Side, usual_facts
from service.store.wall_document import WallAround, empty_facts


def add_job(
    unit: Unit,
    acting: Acting,
    *,
    job_id: str,
    name: str,
    plumbing_side: str,
    bare_unit: str | None,
    scope: str,
    usual_sizes: bool = True,
    example: bool = False,
) -> JobRow:
    """A new job with its three walls, as they unfold from left to right."""
    job = JobRow(
        id=job_id,
        name=name,
        plumbing_side=plumbing_side,
        bare_unit=bare_unit,
        scope=scope,
        notes="",
        example=example,
        hidden=False,
        revision=1,
        created_at=acting.at,
        updated_at=acting.at,
        document={
            "print_jobs": {},
            "plan": None,
            "releases": {},
            "looks": {sheet: {} for sheet in WALL_NAMES},
            "overrides": {sheet: {} for sheet in WALL_NAMES},
        },
    )
    order = WALL_NAMES if plumbing_side == "left" else WALL_NAMES[::-1]
    walls = [
        WallRow(
            id=wall_id(job_id, wall),
            job_id=job_id,
            name=wall,
            place=place,
            revision=1,
            facts=_facts(wall, plumbing_side) if usual_sizes else empty_facts(),
        )
        for place, wall in enumerate(order)
    ]
    unit.jobs.add(job, walls)
    unit.events.append(acting, job_id, None, "job", f"started the job {name}", after=name)
    for wall in walls:
        unit.events.append(
            acting,
            job_id,
            wall.id,
            "wall",
            f"added the {wall.name.replace('-', ' ')} wall",
            (),
            None,
            wall.facts,
        )
    return job


def wall_id(job_id: str, wall: str) -> str:
    """The id of a job's wall: always the same one, and no longer than an id may be."""
    return hashlib.sha256(f"{job_id}\n{wall}".encode()).hexdigest()[:32]


def wall_around(job: JobRow, wall: WallRow, lens: tuple[str, ...] = ()) -> WallAround:
    """What a wall's file takes from its job, and from the lens profiles that its photos go by."""
    corner = corner_side(wall.name, job.plumbing_side)
    return WallAround(wall.name, job.bare_unit, corner, job.document["print_jobs"], lens)


def corner_side(wall: WallName, plumbing_side: str) -> Side | None:
    """Side of an end wall's back corner, as seen from the room; None for the back wall."""
    if wall == "back":
        return None
    on_left = (wall == "plumbing") == (plumbing_side == "left")
    return "right" if on_left else "left"


def _facts(wall: WallName, plumbing_side: str) -> Facts:
    return usual_facts(wall, corner_side(wall, plumbing_side))
