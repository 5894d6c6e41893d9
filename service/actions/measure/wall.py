"""The two doors of the package: a wall file, or a wall whose photos are looked at already."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from service.actions.measure.asked import lens_profile, readings_of, wall_request
from service.actions.measure.named_sizes import wall_sizes
from service.actions.measure.report import Measured, report_of
from service.errors import FileError
from service.files.lens_profile import LensProfileFile
from service.files.loading import load_model
from service.files.report import Report
from service.files.wall import WallFile
from service.measuring.alcove.judging import judge_alcove
from service.measuring.estimates import PhotoEstimates, Resolve, TapeObservation
from service.measuring.judgement import Judgement, Status
from service.measuring.limits import Limits
from service.measuring.reading import Reading
from service.measuring.slip_kinds import INSTALLER_RATES
from service.measuring.slips import SlipBook
from vision.errors import Refusal
from vision.measure_wall import (
    LensProfile,
    Sight,
    SizeEstimates,
    TapedSize,
    WallMeasurement,
    WallRequest,
    WallSolution,
    look,
    measure_wall,
)

_LIMITS = Limits()
_NOTHING_TO_SEE = "no-card"


def measure_file(path: Path) -> Report:
    """The report of a wall file.

    Raises
    ------
    FileError
        If the file, or a photo it names, cannot be used as it stands.
    Refusal
        If there is nothing to measure by, or the photos do not determine the wall.
    """
    wall, request, readings = _asked(path)
    return _measure(wall, request, readings, look_at_photos(path, wall))


@dataclass(frozen=True)
class LookedWall:
    """A wall file whose photos were looked at: what they and the tape say, not judged yet.

    ``photo`` and what `resolve` gives are None where no photo shows anything to measure by.
    """

    wall: WallFile
    readings: tuple[Reading, ...]
    measurement: WallMeasurement | None

    @property
    def photo(self) -> PhotoEstimates | None:
        return self.resolve(())

    def resolve(self, tapes: Sequence[TapeObservation]) -> PhotoEstimates | None:
        """What the photos say, linearised at these tapes."""
        if self.measurement is None:
            return None
        return _photo_estimates(self.measurement.estimates(_taped(tapes)))


def looked_wall(path: Path) -> LookedWall:
    """A wall file with its photos looked at; errors as `measure_file`."""
    wall, request, readings = _asked(path)
    return LookedWall(wall, readings, _measurement(request, look_at_photos(path, wall), readings))


@dataclass(frozen=True)
class WallFigures:
    """A wall file measured from its photos, with the solution its report tells of."""

    wall: WallFile
    report: Report
    measurement: WallMeasurement
    solution: WallSolution


def wall_figures(path: Path) -> WallFigures:
    """A wall file with what its pictures need; errors as `measure_file`.

    Raises
    ------
    Refusal
        Also where there are only readings: ``no-card``.
    """
    wall, request, readings = _asked(path)
    sights = look_at_photos(path, wall)
    measured = _measured(wall, request, readings, sights)
    if measured.measurement is None or measured.solution is None:
        raise Refusal(
            _NOTHING_TO_SEE,
            "No reference card was found in any photo, so there is no picture to draw.",
            "Tape a printed card flat on the wall and take the photo again from within 3 m.",
        )
    report = report_of(measured, _LIMITS)
    return WallFigures(wall, report, measured.measurement, measured.solution)


def look_at_photos(path: Path, wall: WallFile) -> tuple[Sight, ...]:
    """What each photo of a wall file shows; marks and readings may change without looking again.

    Raises
    ------
    FileError
        If a photo is not there.
    """
    return tuple(_look(path, index, photo.file) for index, photo in enumerate(wall.photos))


def measure_sights(wall: WallFile, sights: Sequence[Sight]) -> Report:
    """The report of a wall whose photos, in the file's order, have been looked at."""
    return _measure(wall, wall_request(wall), readings_of(wall), sights)


def _asked(path: Path) -> tuple[WallFile, WallRequest, tuple[Reading, ...]]:
    wall = load_model(path, WallFile)
    try:
        return wall, wall_request(wall, _profiles(path, wall)), readings_of(wall)
    except ValueError as error:
        raise FileError(str(path), "readings", str(error)) from error


def _measure(
    wall: WallFile, request: WallRequest, readings: Sequence[Reading], sights: Sequence[Sight]
) -> Report:
    return report_of(_measured(wall, request, readings, sights), _LIMITS)


def _measured(
    wall: WallFile, request: WallRequest, readings: Sequence[Reading], sights: Sequence[Sight]
) -> Measured:
    measurement = _measurement(request, sights, readings)
    if measurement is None:
        judgement = _judged(wall, None, readings)
        return Measured(wall, request, sights, readings, judgement, None, None)

    def resolve(tapes: Sequence[TapeObservation]) -> PhotoEstimates:
        return _photo_estimates(measurement.estimates(_taped(tapes)))

    photo = _photo_estimates(measurement.estimates())
    judgement = _judged(wall, photo, readings, resolve)
    solution = measurement.solve(_agreeing(judgement, measurement))
    return Measured(wall, request, sights, readings, judgement, measurement, solution)


def _judged(
    wall: WallFile,
    photo: PhotoEstimates | None,
    readings: Sequence[Reading],
    resolve: Resolve | None = None,
) -> Judgement:
    """Readings against photos and against all that must close, in the order of the file."""
    sizes = wall_sizes(wall)
    names = [dimension.name for dimension in wall.dimensions]
    found = judge_alcove((sizes,), photo, readings, _LIMITS, resolve, _slip_book(wall), names=names)
    return found.judgement


def _slip_book(wall: WallFile) -> SlipBook:
    """A forgotten hold-down can only be in a height that is taken from the level line."""
    level = set(wall.level or ())
    heights = [d.name for d in wall.dimensions if d.line is not None and set(d.line) == level]
    return SlipBook(INSTALLER_RATES, heights=frozenset(heights))


def _profiles(path: Path, wall: WallFile) -> tuple[LensProfile, ...]:
    found = []
    for file in wall.lens:
        source = path.parent / file
        try:
            found.append(lens_profile(load_model(source, LensProfileFile)))
        except ValueError as error:
            raise FileError(str(source), "covariance", str(error)) from None
    return tuple(found)


def _look(path: Path, index: int, file: str) -> Sight:
    try:
        data = (path.parent / file).read_bytes()
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else str(error)
        expected = f"expected a photo, but {file!r} cannot be read: {reason}"
        raise FileError(str(path), f"photos[{index}].file", expected) from None
    return look(data)


def _measurement(
    request: WallRequest, sights: Sequence[Sight], readings: Sequence[Reading]
) -> WallMeasurement | None:
    """What the photos give; None where they show nothing to measure by but there are readings."""
    try:
        return measure_wall(request, sights)
    except Refusal as refusal:
        if readings and refusal.code == _NOTHING_TO_SEE:
            return None
        unread = [sight.refusal for sight in sights if sight.refusal is not None]
        if refusal.code == _NOTHING_TO_SEE and len(unread) == len(sights) and unread:
            raise unread[0] from None
        raise


def _photo_estimates(found: SizeEstimates) -> PhotoEstimates:
    return PhotoEstimates(found.names, found.mm, found.covariance_mm2)


def _taped(tapes: Sequence[TapeObservation]) -> list[TapedSize]:
    return [TapedSize(tape.dimension, tape.mm, tape.u_mm) for tape in tapes]


def _agreeing(judgement: Judgement, measurement: WallMeasurement) -> list[TapedSize]:
    """The tapes that take part in the reported points and camera."""
    seen = {size.name for size in measurement.sizes}
    return [
        TapedSize(found.name, found.tape.mm, found.tape.u_mm)
        for found in judgement.dimensions
        if found.status is Status.AGREES and found.tape is not None and found.name in seen
    ]
