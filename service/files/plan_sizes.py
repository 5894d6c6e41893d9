"""One size of a plan, with what proves it: its own reading held against the measure reports."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from service.files.plan_places import UNTOLD, TakenFor, is_just, otherwise
from service.files.shop_practice import least_slip_mm
from service.measuring.limits import Limits
from service.measuring.release.judged import (
    JudgedPoint,
    JudgedReading,
    JudgedSize,
    JudgedWall,
    TakenOf,
)
from service.measuring.release.size import Held, ProvedSize, size_proof
from service.panels.problem import PlanError
from service.panels.walls import Given

if TYPE_CHECKING:
    from collections.abc import Sequence

    from service.files.report import Report, SizeOf
    from service.measuring.release.facts import Override
    from service.panels.practice import Practice

_TAPE_IT: Final = "tape it, and measure the wall with its photos"


def report_values(name: str, file: Report) -> JudgedWall:
    """A measure report as a sheet's release is decided by; its own `open` is left behind."""
    return JudgedWall(
        name,
        tuple(
            JudgedSize(
                name=size.name,
                status=size.status,
                checked=size.checked,
                tape_mm=size.tape_mm,
                tape_u_mm=size.tape_u_mm,
                best_mm=size.best_mm,
                best_u_mm=size.best_u_mm,
                expected_mm=size.expected_mm,
                expected_u_mm=size.expected_u_mm,
                photo_mm=size.photo_mm,
                photo_u_mm=size.photo_u_mm,
                en=size.en,
                mdb_mm=size.mdb_mm,
                of=_of(size.of),
            )
            for size in file.dimensions
        ),
        tuple(
            JudgedReading(
                id=reading.id,
                status=reading.status,
                u_mm=reading.u_mm,
                dimension=reading.dimension,
                mm=reading.mm,
                who=reading.who,
                method=reading.method,
                clashes_with=reading.clashes_with,
            )
            for reading in file.readings
        ),
        tuple((blocking.dimension, blocking.why) for blocking in file.gate.blocking),
        tuple(file.photo_parts.items()),
        tuple(
            JudgedPoint(
                name,
                point.x_mm,
                point.y_mm,
                math.sqrt(max(point.cov_mm2[0][0], 0.0)),
                math.sqrt(max(point.cov_mm2[1][1], 0.0)),
            )
            for name, point in file.points.items()
        ),
        file.adjustment is not None and file.adjustment.datum == "level",
        *_judged_with(file),
    )


def _of(told: SizeOf | None) -> TakenOf | None:
    if told is None:
        return None
    return TakenOf(told.role, told.side, told.down_mm, told.at_mm, told.fixture, told.surface)


def _judged_with(file: Report) -> tuple[str, tuple[str, ...]]:
    """The stamp of the judgement that a report is of, and the other walls of it."""
    if file.judged_with is None:
        return "", ()
    others = (wall.replace("-", " ") for wall in file.judged_with.walls)
    return file.judged_with.stamp, tuple(others)


def given(
    name: str,
    written_mm: float | None,
    dimension: str | None,
    walls: Sequence[JudgedWall],
    shop: Practice,
    overrides: Sequence[Override] = (),
    taken_for: TakenFor = UNTOLD,
) -> Given:
    """One size of the plan, with what stands behind it.

    A size is proved by the dimension it names or, naming none, by the one that its report tells to
    be of just that place, else by every dimension whose tape value it equals; never by one that is
    told to be of something else. What else stands in their reports concerns it only where it is
    needed too.

    Parameters
    ----------
    name : str
        The size as messages call it.
    written_mm : float or None
        The value in the plan file; None takes the report's: the proved one, else the tape's, the
        expected or the photo's, as an estimate; in a conflict the tape's comes last.
    taken_for : TakenFor
        What the plan takes it for.

    Raises
    ------
    PlanError
        Neither value nor dimension, an unknown dimension, or one without any value.
    """
    limits = Limits(slip_mm=least_slip_mm(shop))
    if dimension is not None:
        wall, size = _find(name, dimension, walls)
        found_size = _given(name, written_mm, size, size_proof(size, wall, overrides, limits), shop)
        told = otherwise(taken_for, size.of) if taken_for.roles else ""
        held = _unless_otherwise(found_size, told)
        return _with_errors(held, written_mm, wall, size, shop)
    if written_mm is None:
        raise PlanError(name, "expected a value, or the name of a report's dimension")
    _check(name, written_mm)
    proofs = [
        (wall, size, size_proof(size, wall, overrides, limits))
        for wall in walls
        for size in wall.sizes
        if not otherwise(taken_for, size.of)
    ]
    just = [one for one in proofs if is_just(taken_for, one[1].of)]
    same = [one for one in just or proofs if _same(_taped(*one[1:]), written_mm, shop)]
    found = [
        _with_errors(_given(name, written_mm, size, proof, shop), written_mm, wall, size, shop)
        for wall, size, proof in same or just[:1]
    ]
    if not found:
        why = "a plain reading, in no measure report" if walls else "no measure report"
        plain = Given(name, written_mm, shop["estimate.reading_u"], f"{name}: {why}", _TAPE_IT)
        return replace(plain, shared=tape_errors(plain.mm, plain.u_mm, shop))
    return next((one for one in found if one.why_not), found[0])


def tape_errors(mm: float, u_mm: float, shop: Practice) -> tuple[tuple[str, float], ...]:
    """What a reading has in common with every other by the same tape: its hook and its scale."""
    parts = (
        ("tape hook", shop["estimate.tape_hook"]),
        ("tape scale", shop["estimate.tape_scale_ppm"] * 1e-6 * abs(mm)),
    )
    whole = math.hypot(*(part for _, part in parts))
    most = min(1.0, u_mm / whole) if whole else 1.0
    return tuple((cause, part * most) for cause, part in parts)


def _unless_otherwise(size: Given, told: str) -> Given:
    if not told:
        return size
    why = f"{size.name}: by {size.dimension!r}, but {told}"
    do = "name the size that was taken there, or say in the wall file where this one was"
    return replace(size, why_not=why, do=do, proof="", note="", taped=(), corrected=())


def _with_errors(
    size: Given, written_mm: float | None, wall: JudgedWall, judged: JudgedSize, shop: Practice
) -> Given:
    """The size with the errors that it shares: by photo with its wall's, else by tape."""
    if written_mm is not None or judged.tape_mm is not None or judged.photo_mm is None:
        return replace(size, shared=tape_errors(size.mm, size.u_mm, shop))
    parts = dict(wall.photo_parts).get(judged.name)
    if not parts:
        common = shop["estimate.photo_common"] * size.u_mm
        return replace(size, shared=((f"scale of {wall.name}", common),))
    sign = math.copysign(1.0, judged.photo_mm)
    whole = math.hypot(*parts)
    scale = size.u_mm / whole if whole else 0.0
    return replace(
        size,
        shared=tuple(
            (f"{wall.name} {k}", sign * scale * part) for k, part in enumerate(parts, start=1)
        ),
    )


def _find(name: str, dimension: str, walls: Sequence[JudgedWall]) -> tuple[JudgedWall, JudgedSize]:
    found = [(wall, size) for wall in walls if (size := wall.size(dimension)) is not None]
    if len(found) == 1:
        return found[0]
    if found:
        files = ", ".join(wall.name for wall, _ in found)
        expected = f"{dimension!r} stands in more than one report: {files}; expected it in one"
        raise PlanError(f"{name} dimension", expected)
    known = ", ".join(repr(s.name) for wall in walls for s in wall.sizes) or "none: no report"
    expected = f"{dimension!r} is in no report; expected one of {known}"
    raise PlanError(f"{name} dimension", expected)


def _given(
    name: str,
    written_mm: float | None,
    size: JudgedSize,
    proof: ProvedSize | Held,
    shop: Practice,
) -> Given:
    u_plain = shop["estimate.reading_u"]
    if isinstance(proof, Held):
        mm, u_mm = _estimate(name, size) if written_mm is None else (written_mm, None)
        _check(name, mm)
        u_mm = u_mm or size.best_u_mm or u_plain
        return Given(name, mm, u_mm, f"{name}: {proof.why}", proof.do, dimension=size.name)
    mm = proof.mm if written_mm is None else written_mm
    _check(name, mm)
    why, do = "", ""
    if written_mm is not None and not _same(_taped(size, proof), written_mm, shop):
        why = f"{name}: differs from the tape reading of {size.name!r} by more than is allowed"
        do = "leave the value out, or write the one that was taped"
    return Given(
        name,
        mm,
        proof.u_mm or u_plain,
        why,
        do,
        proof.proof,
        proof.note,
        size.name,
        proof.taped,
        proof.corrected,
    )


def _taped(size: JudgedSize, proof: ProvedSize | Held) -> float | None:
    """What the tape says of it; of a conflict that was let stand, the reading that was."""
    return proof.mm if isinstance(proof, ProvedSize) and proof.note else size.tape_mm


def _estimate(name: str, size: JudgedSize) -> tuple[float, float | None]:
    """The best known value: a tape in conflict comes after what everything else expects."""
    tape = (size.tape_mm, None)
    others = ((size.expected_mm, size.expected_u_mm), (size.photo_mm, size.photo_u_mm))
    best = (size.best_mm, size.best_u_mm)
    order: tuple[tuple[float | None, float | None], ...] = (tape, *others, best)
    if size.status == "agrees":
        order = (best, *order)
    elif size.status == "conflicts":
        order = (*others, tape, best)
    for mm, u_mm in order:
        if mm is not None:
            return abs(mm), u_mm  # a size to a line carries its side as a sign
    expected = f"{size.name!r} has no value in its report: tape it, or write its value here"
    raise PlanError(f"{name} dimension", expected)


def _same(a: float | None, b: float, shop: Practice) -> bool:
    return a is not None and abs(abs(a) - abs(b)) <= shop["limits.match"] + 1e-6


def _check(name: str, mm: float) -> None:
    if not math.isfinite(mm):
        raise PlanError(name, f"expected a finite length, not {mm}")
