"""What a wall file asks, in the words of the packages that answer it."""

from __future__ import annotations

import numpy as np

from service.files.lens_profile import LensProfileFile
from service.files.wall import WallFile
from service.files.wall_parts import Card, Instrument, Mark, Rectangle, StraightLine
from service.files.wall_parts import Reading as FileReading
from service.lengths import parse_length, parse_station
from service.measuring.instruments import Instrument as UsedInstrument
from service.measuring.instruments import InstrumentKind, TapeClass
from service.measuring.reading import Reading
from vision.measure_wall import (
    CardRequest,
    LensKey,
    LensProfile,
    LineRequest,
    PhotoRequest,
    PrintCheck,
    RectangleRequest,
    SizeRequest,
    Tap,
    WallRequest,
)


def lens_profile(file: LensProfileFile) -> LensProfile:
    """A lens profile's values.

    Raises
    ------
    ValueError
        If its covariance is none.
    """
    covariance = np.array(file.covariance)
    symmetric = np.allclose(covariance, covariance.T, rtol=1e-6, atol=0.0)
    if not symmetric or np.min(np.linalg.eigvalsh(covariance)) <= 0:
        raise ValueError("expected a symmetric, positive definite covariance")
    key = LensKey(**file.group.model_dump())
    return LensProfile(key, np.array(file.constants), covariance, file.photos)


def wall_request(wall: WallFile, profiles: tuple[LensProfile, ...] = ()) -> WallRequest:
    """The photos' part of a wall file."""
    return WallRequest(
        photos=tuple(
            PhotoRequest(
                photo.file,
                tuple(_tap(name, mark, photo.mark_sd_px) for name, mark in photo.marks.items()),
            )
            for photo in wall.photos
        ),
        cards=tuple(_card(card, wall.bare_unit) for card in wall.cards),
        rectangles=tuple(_rectangle(rectangle) for rectangle in wall.rectangles),
        lines=tuple(_line(line) for line in wall.lines),
        level=wall.level,
        plumb=wall.plumb,
        sizes=tuple(
            SizeRequest(size.name, size.kind, size.from_, size.to, size.line)
            for size in wall.dimensions
            if size.from_ is not None
        ),
        datum_card=wall.datum_card,
        profiles=profiles,
    )


def readings_of(wall: WallFile) -> tuple[Reading, ...]:
    """The readings of a wall file as magnitudes: a tape has no sign, the size has."""
    return tuple(_reading(reading, wall.bare_unit) for reading in wall.readings)


def _tap(name: str, mark: Mark, sd_px: float) -> Tap:
    return Tap(
        name=name,
        at_px=mark.at,
        sd_px=sd_px if mark.sd_px is None else mark.sd_px,
        defined_mm=mark.defined_mm,
        standoff_mm=mark.standoff_mm,
        standoff_u_mm=mark.standoff_u_mm or 0.0,
        covariance_px2=mark.cov_px2,
    )


def _card(card: Card, bare_unit: str | None) -> CardRequest:
    checks = tuple(
        PrintCheck(
            check.axis,
            check.nominal_mm,
            float(parse_length(check.measured, bare_unit).mm),
            check.half_width_mm,
        )
        for check in card.print_check
    )
    return CardRequest(card.serial, card.print_job, card.standoff_mm, card.standoff_u_mm, checks)


def _rectangle(rectangle: Rectangle) -> RectangleRequest:
    return RectangleRequest(
        name=rectangle.name,
        size_mm=rectangle.size_mm,
        u_mm=rectangle.u_mm,
        standoff_mm=rectangle.standoff_mm,
        edge_u_px=rectangle.edge_u_px,
        corners_px=dict(rectangle.corners),
        edges_px=dict(rectangle.edges),
        point_sd_px=rectangle.point_sd_px,
        is_nominal=rectangle.known_by == "nominal",
    )


def _line(line: StraightLine) -> LineRequest:
    return LineRequest(
        name=line.name,
        points_px=dict(line.points),
        sd_px=line.sd_px,
        defined_mm=line.defined_mm,
        bow_u_mm=line.bow_u_mm,
        direction=line.direction,
        direction_u_rad=line.direction_u_mm_per_m / 1000,
        standoff_mm=line.standoff_mm,
        standoff_u_mm=line.standoff_u_mm or 0.0,
    )


def _reading(reading: FileReading, bare_unit: str | None) -> Reading:
    length = parse_station(reading.value, bare_unit)
    return Reading(
        id=reading.id,
        dimension=reading.dimension,
        mm=float(abs(length.mm)),
        unit=length.unit,
        text=reading.value,
        instrument=_instrument(reading.instrument, bare_unit),
        who=reading.who,
        at=None if reading.at is None else reading.at.isoformat(),
        replaces=reading.replaces,
        u_mm=reading.u_mm,
    )


def _instrument(instrument: Instrument, bare_unit: str | None) -> UsedInstrument:
    stated = instrument.tolerance
    return UsedInstrument(
        kind=InstrumentKind(instrument.kind),
        id=instrument.id,
        tape_class=TapeClass(instrument.class_),
        graduation_mm=float(parse_length(instrument.graduation, bare_unit).mm),
        method=instrument.used_method,
        tolerance_mm=None if stated is None else float(parse_length(stated, bare_unit).mm),
    )
