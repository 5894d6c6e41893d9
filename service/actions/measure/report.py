"""The measure report, from what was measured and judged."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite
from typing import Final

import numpy as np

from service.actions.measure.named_sizes import wall_sizes
from service.files.report import (
    AdjustmentRow,
    Advice,
    Blocking,
    CameraRow,
    FoundCardRow,
    Gate,
    IntrinsicsRow,
    LineRow,
    PrintScaleRow,
    ReadingStatus,
    Report,
    ReportDimension,
    ReportPhoto,
    ReportPoint,
    ReportReading,
    Suspect,
    UnseenSlipRow,
)
from service.files.wall import WallFile
from service.measuring.alcove.in_photos import contradicted
from service.measuring.estimates import Estimate, PhotoEstimates
from service.measuring.gate import release_gate
from service.measuring.judgement import DimensionJudgement, Judgement, Status
from service.measuring.reading import Reading
from vision.measure_wall import (
    Candidate,
    Sight,
    WallMeasurement,
    WallRequest,
    WallSolution,
    level_runs_backwards,
    photo_advice,
)
from vision.photo.photograph import Header
from vision.units import FloatArray

_READING_STATUS: Final[dict[Status, ReadingStatus]] = {
    Status.AGREES: "agrees",
    Status.UNSURE: "unsure",
    Status.CONFLICTS: "conflicts",
    Status.TAPE_ONLY: "tape only",
}
_WORTH_IT: Final = 0.8
"""Advice is given for what takes at least a fifth off the widest size."""
_LEAST_PART: Final = 1e-6
"""Share of the greatest variance below which an error is left out of the parts."""
_INTRINSICS = ("f", "cx", "cy", "k1", "k2")


@dataclass(frozen=True)
class Measured:
    """Everything one wall's report is made of; no measurement where no photo can be used."""

    wall: WallFile
    request: WallRequest
    sights: Sequence[Sight]
    readings: Sequence[Reading]
    judgement: Judgement
    measurement: WallMeasurement | None
    solution: WallSolution | None


def report_of(measured: Measured) -> Report:
    """The report as the file contract has it."""
    return Report(
        wall=measured.wall.wall,
        points=_points(measured),
        dimensions=size_rows(measured.judgement),
        readings=reading_rows(measured.readings, measured.judgement),
        photos=tuple(_photo(measured, index) for index in range(len(measured.sights))),
        intrinsics=_intrinsics(measured),
        lines=_lines(measured),
        adjustment=_adjustment(measured),
        gate=gate_row(measured.judgement),
        print_scale=print_scale_row(measured.judgement),
        advice=_wall_advice(measured),
        photo_parts=_photo_parts(measured),
        unseen_slips=_unseen_slips(measured),
    )


def size_rows(judgement: Judgement) -> tuple[ReportDimension, ...]:
    """Every size as it was judged."""
    return tuple(_dimension(found) for found in judgement.dimensions)


def reading_rows(readings: Sequence[Reading], judgement: Judgement) -> tuple[ReportReading, ...]:
    """Every reading as it was judged, replaced ones among them."""
    return tuple(_reading(reading, judgement) for reading in readings)


def gate_row(judgement: Judgement) -> Gate:
    """What still keeps the sizes from the saw."""
    gate = release_gate(judgement)
    blocking = tuple(Blocking(dimension=b.dimension, why=b.why) for b in gate.blocking)
    return Gate(open=gate.open, blocking=blocking)


def _points(measured: Measured) -> dict[str, ReportPoint]:
    if measured.measurement is None or measured.solution is None:
        return {}
    found = {}
    for point in measured.measurement.points(measured.solution):
        x, y, z = (float(value) for value in point.position_mm)
        first, second, third = (_row(row) for row in point.covariance_mm2)
        found[point.name] = ReportPoint(
            x_mm=x, y_mm=y, z_mm=z, cov_mm2=(first, second, third), photos=point.photos
        )
    return found


def _photo_parts(measured: Measured) -> dict[str, tuple[float, ...]]:
    """The covariance of the photo values as independent errors, those too small to matter left out.

    The parts are the columns of V sqrt(d) where V d V' is the covariance.
    """
    if measured.measurement is None:
        return {}
    found = measured.measurement.estimates()
    if not found.names:
        return {}
    variances, directions = np.linalg.eigh(found.covariance_mm2)
    kept = variances > _LEAST_PART * max(float(variances[-1]), 0.0)
    parts = directions[:, kept] * np.sqrt(variances[kept])
    return {
        name: tuple(round(float(part), 5) for part in row)
        for name, row in zip(found.names, parts, strict=True)
    }


def _unseen_slips(measured: Measured) -> dict[str, UnseenSlipRow]:
    if measured.measurement is None:
        return {}
    return {
        slip.size: UnseenSlipRow(
            mark=slip.mark,
            photo=slip.photo,
            mm=round(slip.effect_mm, 3) if isfinite(slip.effect_mm) else None,
        )
        for slip in measured.measurement.unseen_slips()
    }


def _row(values: FloatArray) -> tuple[float, float, float]:
    first, second, third = (float(value) for value in values)
    return first, second, third


def _dimension(found: DimensionJudgement) -> ReportDimension:
    suspect = found.suspect
    return ReportDimension(
        name=found.name,
        status=found.status.value,
        photo_mm=mm_of(found.photo),
        photo_u_mm=u_of(found.photo),
        photo_interval95_mm=interval_of(found.photo),
        tape_mm=mm_of(found.tape),
        tape_u_mm=u_of(found.tape),
        expected_mm=mm_of(found.expected),
        expected_u_mm=u_of(found.expected),
        expected_interval95_mm=interval_of(found.expected),
        en=found.en,
        w=found.w,
        mdb_mm=found.mdb_mm,
        checked=found.checked,
        best_mm=mm_of(found.best),
        best_u_mm=u_of(found.best),
        best_interval95_mm=interval_of(found.best),
        suspect=None
        if suspect is None
        else Suspect(
            reading=suspect.reading,
            kind=suspect.kind,
            meant=suspect.meant,
            odds=suspect.odds,
            runner_up=suspect.runner_up,
            text=suspect.text,
            again=suspect.again,
        ),
        birge=found.birge,
        tape_stays_mm=found.tape_stays_mm,
    )


def _reading(reading: Reading, judgement: Judgement) -> ReportReading:
    judged = {found.id: found for found in judgement.readings}
    found = judged.get(reading.id)
    return ReportReading(
        id=reading.id,
        status="replaced" if found is None else _READING_STATUS[found.status],
        u_mm=reading.uncertainty.u_mm if found is None else found.u_mm,
        clashes_with=() if found is None else found.clashes_with,
        dimension=reading.dimension,
        mm=float(reading.mm),
        who=reading.who,
        method=str(reading.instrument.method),
        w=None if found is None else found.w,
        mdb_mm=None if found is None else found.mdb_mm,
    )


def _photo(measured: Measured, index: int) -> ReportPhoto:
    sight, measurement = measured.sights[index], measured.measurement
    camera, rms = None, {}
    if measurement is not None and measured.solution is not None:
        seen = measurement.photo_fit(measured.solution, index)
        if seen is not None:
            camera = CameraRow(f_px=seen.f_px, source=seen.source)
            rms = seen.card_rms_px
    advice = photo_advice(measured.request, measured.sights, index, measurement)
    return ReportPhoto(
        file=measured.request.photos[index].name,
        phone=_phone(sight.header),
        cards=tuple(
            FoundCardRow(
                serial=card.serial, corners=len(card.corner_ids), rms_px=rms.get(card.serial)
            )
            for card in sight.cards
        ),
        camera=camera,
        advice=tuple(Advice(code=item.code, text=item.text) for item in advice),
    )


def _phone(header: Header | None) -> str | None:
    """What took a photo, in its header's words."""
    words = () if header is None else (header.make, header.model)
    return " ".join(word for word in words if word) or None


def _lines(measured: Measured) -> tuple[LineRow, ...]:
    if measured.measurement is None or measured.solution is None:
        return ()
    return tuple(
        LineRow(
            name=line.name,
            nearest=line.nearest,
            lean_mm_per_m=1000 * line.lean_rad,
            lean_u_mm_per_m=1000 * line.lean_u_rad,
            bow_mm=line.bow_mm,
            bow_u_mm=line.bow_u_mm,
            photos=line.photos,
        )
        for line in measured.measurement.lines(measured.solution)
    )


def _intrinsics(measured: Measured) -> tuple[IntrinsicsRow, ...]:
    solution = measured.solution
    if solution is None:
        return ()
    return tuple(
        IntrinsicsRow(
            group=lens.name,
            f_px=float(np.exp(solution.lens_constants(index)[0])),
            posterior_over_prior={
                name: float(ratio)
                for name, ratio in zip(
                    _INTRINSICS, solution.posterior_over_prior(index), strict=True
                )
            },
        )
        for index, lens in enumerate(solution.network.lenses)
    )


def _adjustment(measured: Measured) -> AdjustmentRow | None:
    solution, measurement = measured.solution, measured.measurement
    if solution is None or measurement is None:
        return None
    return AdjustmentRow(
        variance_factor=solution.variance_factor,
        bounds=solution.variance_bounds,
        degrees_of_freedom=solution.degrees_of_freedom,
        iterations=solution.minimum.iterations,
        datum=measurement.datum,
    )


def print_scale_row(judgement: Judgement) -> PrintScaleRow | None:
    """By how much all photo sizes are out, if they are."""
    found = judgement.print_scale
    return None if found is None else PrintScaleRow(factor=found.factor, u=found.u, odds=found.odds)


def _wall_advice(measured: Measured) -> tuple[Advice, ...]:
    """What is wrong with the marks as a whole, then what would narrow the sizes."""
    return (*_backwards(measured), *_not_closing(measured), *_narrower(measured))


def _backwards(measured: Measured) -> tuple[Advice, ...]:
    measurement, solution = measured.measurement, measured.solution
    if measurement is None or solution is None:
        return ()
    if not level_runs_backwards(measurement, solution):
        return ()
    text = (
        "The level line runs from right to left as the cards hang. Look whether marks left and "
        "right are under one another's names: then this wall is mirrored. If not, all its cards "
        "hang upside down, which does no harm."
    )
    return (Advice(code="level-backwards", text=text),)


def _not_closing(measured: Measured) -> tuple[Advice, ...]:
    """No figure in it: who is to measure blind must not learn one here."""
    if measured.measurement is None:
        return ()
    found = measured.measurement.estimates()
    photo = PhotoEstimates(found.names, found.mm, found.covariance_mm2)
    doubted = contradicted((wall_sizes(measured.wall),), photo)
    if not doubted:
        return ()
    told = "; ".join(closure.name.partition(": ")[2] for closure in doubted)
    text = (
        f"By the photos alone this does not hold: {told}. Look whether those marks are on what "
        "their sizes name; if they are, the wall is less straight there than walls are. It is "
        "left out of the reckoning."
    )
    return (Advice(code="photos-do-not-close", text=text),)


def _narrower(measured: Measured) -> tuple[Advice, ...]:
    """What narrows the widest photo size most, where it is too wide to catch a slip by."""
    measurement = measured.measurement
    photos = [found for found in measured.judgement.dimensions if found.photo is not None]
    if measurement is None or not photos:
        return ()
    widest = max(photos, key=lambda found: found.photo.u_mm if found.photo else 0.0)
    now = widest.photo.u_mm if widest.photo else 0.0
    if 1.96 * now <= measured.judgement.limits.slip_mm:
        return ()
    best: dict[str, Candidate] = {}
    for candidate in measurement.what_helps():
        best.setdefault(candidate.kind, candidate)
    return tuple(
        Advice(code=f"add-{kind}", text=_helping(candidate, widest.name, now))
        for kind, candidate in best.items()
        if candidate.u_mm[widest.name] < _WORTH_IT * now
    )


def _helping(candidate: Candidate, name: str, now_mm: float) -> str:
    what = {
        "card": f"A second card at the {candidate.place} of the wall",
        "photo": f"One more photo from the {candidate.place}, turned to the wall",
        "tape": f"One tape reading of {candidate.place!r}",
    }[candidate.kind]
    then = 1.96 * candidate.u_mm[name]
    return f"{what} would bring {name!r} from ± {1.96 * now_mm:.0f} to ± {then:.1f} mm."


def mm_of(estimate: Estimate | None) -> float | None:
    """An estimate in mm, None where there is none."""
    return None if estimate is None else float(estimate.mm)


def u_of(estimate: Estimate | None) -> float | None:
    """Its standard uncertainty, mm."""
    return None if estimate is None else float(estimate.u_mm)


def interval_of(estimate: Estimate | None) -> tuple[float, float] | None:
    """Its 95 % interval, mm."""
    if estimate is None:
        return None
    low, high = estimate.interval95_mm
    return float(low), float(high)
