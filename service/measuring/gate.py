"""The release gate: what still keeps a wall's sizes from the saw, in plain words."""

from __future__ import annotations

from dataclasses import dataclass

from service.lengths import inches_text
from service.measuring.judgement import DimensionJudgement, Judgement, ReadingJudgement, Status


@dataclass(frozen=True, slots=True)
class Blocking:
    """One reason why the gate is shut."""

    dimension: str
    why: str


@dataclass(frozen=True, slots=True)
class Gate:
    """Open only if every dimension is taped, agrees, and is checked well enough."""

    open: bool
    blocking: tuple[Blocking, ...]


def release_gate(judgement: Judgement) -> Gate:
    """The gate of one judged wall. A wall without dimensions releases nothing."""
    blocking = [
        Blocking(dimension.name, why)
        for dimension in judgement.dimensions
        if (why := why_shut(dimension, judgement)) is not None
    ]
    return Gate(bool(judgement.dimensions) and not blocking, tuple(blocking))


def why_shut(dimension: DimensionJudgement, judgement: Judgement) -> str | None:
    """What still keeps one size from the saw, in words; None if nothing does."""
    readings = [r for r in judgement.readings if r.dimension == dimension.name]
    if not readings:
        return "not taped"
    if judgement.print_scale is not None and dimension.photo is not None:
        return "photos and tape differ by one factor: check the card's bars with a ruler"
    clash = _clash(readings)
    if clash is not None:
        return clash
    if dimension.status is Status.CONFLICTS:
        return "conflicts with what the photos and the other readings expect: tape it again"
    if dimension.status is Status.TAPE_ONLY:
        return "in no photo, and no other reading checks it"
    if dimension.status is Status.UNSURE:
        return "neither agrees nor clearly conflicts: tape it again"
    if not dimension.checked:
        slip = inches_text(judgement.limits.slip_mm, 64)
        return f"the check is too weak to catch a {slip} in slip"
    return None


def _clash(readings: list[ReadingJudgement]) -> str | None:
    for reading in readings:
        if not reading.clashes_with:
            continue
        own = {r.id for r in readings}
        if own.issuperset(reading.clashes_with):  # repeats that agree clash together with another
            return "its readings contradict each other and nothing tells which: tape it again"
        return "contradicts another size and nothing tells which is off: tape both again"
    return None
