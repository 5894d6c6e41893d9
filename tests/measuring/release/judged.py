"""A judgement as the report of its wall tells it, and the sheet that needs some of its sizes."""

from __future__ import annotations

from collections.abc import Sequence

from service.measuring.gate import release_gate
from service.measuring.judgement import DimensionJudgement, Judgement
from service.measuring.reading import Reading
from service.measuring.release.facts import NothingChecks, Override, SecondLook, SheetNeeds
from service.measuring.release.judged import JudgedReading, JudgedSize, JudgedWall
from service.measuring.release.sheet import SheetState, sheet_state
from service.measuring.release.size import size_proof


def reported(judgement: Judgement, readings: Sequence[Reading]) -> JudgedWall:
    """The wall's report, as far as release is decided by it."""
    return JudgedWall(
        "report.json",
        tuple(_size(found) for found in judgement.dimensions),
        tuple(_reading(reading, judgement) for reading in readings),
        tuple((b.dimension, b.why) for b in release_gate(judgement).blocking),
    )


def needing(
    sheet: str,
    sizes: Sequence[str],
    wall: JudgedWall,
    overrides: Sequence[Override] = (),
    looks: Sequence[SecondLook] = (),
    wanted: dict[NothingChecks, str] | None = None,
    facts: dict[str, str] | None = None,
) -> SheetState:
    """How a sheet stands that needs these sizes of the wall."""
    proofs = [size_proof(size, wall, overrides) for size in wall.sizes if size.name in sizes]
    return sheet_state(SheetNeeds(sheet, wanted or {}, facts or {}), proofs, looks)


def _size(found: DimensionJudgement) -> JudgedSize:
    photo, tape, expected, best = found.photo, found.tape, found.expected, found.best
    return JudgedSize(
        name=found.name,
        status=str(found.status),
        checked=found.checked,
        tape_mm=tape.mm if tape else None,
        tape_u_mm=tape.u_mm if tape else None,
        best_mm=best.mm if best else None,
        best_u_mm=best.u_mm if best else None,
        expected_mm=expected.mm if expected else None,
        expected_u_mm=expected.u_mm if expected else None,
        photo_mm=photo.mm if photo else None,
        photo_u_mm=photo.u_mm if photo else None,
        en=found.en,
        mdb_mm=found.mdb_mm,
    )


def _reading(reading: Reading, judgement: Judgement) -> JudgedReading:
    found = next((one for one in judgement.readings if one.id == reading.id), None)
    return JudgedReading(
        id=reading.id,
        status="replaced" if found is None else str(found.status),
        u_mm=reading.uncertainty.u_mm,
        dimension=reading.dimension,
        mm=reading.mm,
        who=reading.who,
        method=str(reading.instrument.method),
        clashes_with=() if found is None else found.clashes_with,
    )
