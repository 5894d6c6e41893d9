"""The two doors of the package: a wall file, or a wall whose photos are looked at already."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from service.actions.measure.asked import lens_profile, readings_of, wall_request
from service.actions.measure.in_picture import check_in_picture
from service.actions.measure.named_sizes import wall_sizes
from service.actions.measure.report import Measured, report_of
from service.actions.measure.size_places import with_places
from service.errors import FileError
from service.files.lens_profile import LensProfileFile
from service.files.loading import load_model, named_by, read_photo
from service.files.report import Report
from service.files.wall import WallFile
from service.measuring.alcove.judging import judge_alcove
from service.measuring.estimates import KnownScale, PhotoEstimates, Resolve, TapeObservation
from service.measuring.judgement import Judgement, Status
from service.measuring.limits import Limits
from service.measuring.reading import Reading
from service.measuring.slip_kinds import INSTALLER_RATES
from service.measuring.slips import SlipBook
from vision.errors import Refusal
from vision.measure_wall import (
    LensProfile,
    Sight,
    TapedSize,
    WallMeasurement,
    WallRequest,
    WallSolution,
    look,
    measure_wall,
)

USUAL_SLIP_MM: Final = Limits().slip_mm
"""The slip that a check must be able to catch where no shop says otherwise, mm."""
_NOTHING_TO_SEE: Final = "no-card"
_ANSWERS: Final = 4


def measure_file(path: Path) -> Report:
    """The report of a wall file.

    Raises
    ------
    FileError
        If the file, or a photo it names, cannot be used as it stands.
    Refusal
        If there is nothing to measure by, or the photos do not determine the wall.
    """
    return report_on(looked_wall(path))


class PhotoPart:
    """What the photos of one wall give, adjusted once.

    The same tapes are put to it again and again: by its own report, by the whole alcove's, and when
    nothing was changed but another wall. So the last answers are kept.
    """

    def __init__(self, measurement: WallMeasurement) -> None:
        self.measurement = measurement
        self._answers: dict[tuple[TapedSize, ...], PhotoEstimates] = {}
        self._scales = tuple(
            KnownScale(group.name, axis, group.mean[place], group.u[place], group.common_u)
            for group in measurement.built.network.scale_groups
            for place, axis in enumerate("xy")
        )

    def estimates(self, tapes: Sequence[TapedSize] = ()) -> PhotoEstimates:
        """Sizes as the photos alone see them, linearised at these tapes."""
        wanted = tuple(tapes)
        answer = self._answers.get(wanted)
        if answer is None:
            found = self.measurement.estimates(wanted)
            answer = PhotoEstimates(
                found.names, found.mm, found.covariance_mm2, self._scales, found.by_scale
            )
            while len(self._answers) >= _ANSWERS:
                self._answers.pop(next(iter(self._answers)), None)
            self._answers[wanted] = answer
        return answer

    def solve(self, tapes: Sequence[TapedSize]) -> WallSolution:
        """The adjustment with these tapes; the last one is at hand."""
        return self.measurement.solve(tapes)


@dataclass(frozen=True)
class LookedWall:
    """A wall whose photos were looked at: what they and the tape say, not judged yet.

    ``part``, ``photo`` and what `resolve` gives are None where no photo shows anything to measure
    by.
    """

    wall: WallFile
    request: WallRequest
    sights: Sequence[Sight]
    readings: tuple[Reading, ...]
    part: PhotoPart | None

    @property
    def photo(self) -> PhotoEstimates | None:
        return self.resolve(())

    def resolve(self, tapes: Sequence[TapeObservation]) -> PhotoEstimates | None:
        """What the photos say, linearised at these tapes."""
        return None if self.part is None else self.part.estimates(_taped(tapes))


def looked_wall(path: Path) -> LookedWall:
    """A wall file with its photos looked at; errors as `measure_file`."""
    wall, request, readings = _asked(path)
    sights = look_at_photos(path, wall)
    check_in_picture(path, wall, sights)
    return looked_at(wall, request, sights, readings, photo_part(request, sights))


def photo_part(request: WallRequest, sights: Sequence[Sight]) -> PhotoPart | Refusal:
    """What the photos give, or why they give nothing; readings have no part in it."""
    try:
        return PhotoPart(measure_wall(request, sights))
    except Refusal as refusal:
        return refusal


def looked_at(
    wall: WallFile,
    request: WallRequest,
    sights: Sequence[Sight],
    readings: tuple[Reading, ...],
    part: PhotoPart | Refusal,
) -> LookedWall:
    """A wall of which all is known that there is to be judged.

    Raises
    ------
    Refusal
        Where the photos do not determine it, or show nothing and there is no reading either.
    """
    if not isinstance(part, Refusal):
        return LookedWall(wall, request, sights, readings, part)
    if part.code != _NOTHING_TO_SEE:
        raise part
    if readings:
        return LookedWall(wall, request, sights, readings, None)
    unread = [sight.refusal for sight in sights if sight.refusal is not None]
    raise unread[0] if unread and len(unread) == len(sights) else part


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
    measured = _measured(looked_wall(path))
    if measured.measurement is None or measured.solution is None:
        raise Refusal(
            _NOTHING_TO_SEE,
            "No reference card was found in any photo, so there is no picture to draw.",
            "Tape a printed card flat on the wall and take the photo again from within 3 m.",
        )
    report = report_of(measured)
    return WallFigures(measured.wall, report, measured.measurement, measured.solution)


def look_at_photos(path: Path, wall: WallFile) -> tuple[Sight, ...]:
    """What each photo of a wall file shows; marks and readings may change without looking again.

    Raises
    ------
    FileError
        If a photo is not there.
    """
    return tuple(_look(path, index, photo.file) for index, photo in enumerate(wall.photos))


def looked_sights(wall: WallFile, sights: Sequence[Sight]) -> LookedWall:
    """A wall whose photos, in the file's order, have been looked at; errors as `looked_at`."""
    request = wall_request(wall)
    return looked_at(wall, request, sights, readings_of(wall), photo_part(request, sights))


def report_on(looked: LookedWall, slip_mm: float = USUAL_SLIP_MM) -> Report:
    """The report of a wall that was looked at, checked by a shop's ``slip_mm``."""
    measured = _measured(looked)
    measured = replace(measured, judgement=measured.judgement.held_to(slip_mm))
    return with_places(report_of(measured), looked.wall)


def _asked(path: Path) -> tuple[WallFile, WallRequest, tuple[Reading, ...]]:
    wall = load_model(path, WallFile)
    try:
        return wall, wall_request(wall, _profiles(path, wall)), readings_of(wall)
    except ValueError as error:
        raise FileError(str(path), "readings", str(error)) from error


def _measured(looked: LookedWall) -> Measured:
    wall, part = looked.wall, looked.part
    if part is None:
        judgement = _judged(wall, None, looked.readings)
        return Measured(wall, looked.request, looked.sights, looked.readings, judgement, None, None)

    def resolve(tapes: Sequence[TapeObservation]) -> PhotoEstimates:
        return part.estimates(_taped(tapes))

    judgement = _judged(wall, part.estimates(), looked.readings, resolve)
    return Measured(
        wall,
        looked.request,
        looked.sights,
        looked.readings,
        judgement,
        part.measurement,
        part.solve(_agreeing(judgement, part.measurement)),
    )


def _judged(
    wall: WallFile,
    photo: PhotoEstimates | None,
    readings: Sequence[Reading],
    resolve: Resolve | None = None,
) -> Judgement:
    """Readings against photos and against all that must close, in the order of the file."""
    sizes = wall_sizes(wall)
    names = [dimension.name for dimension in wall.dimensions]
    book = _slip_book(wall)
    found = judge_alcove((sizes,), photo, readings, resolve=resolve, slips=book, names=names)
    return found.judgement


def _slip_book(wall: WallFile) -> SlipBook:
    """A forgotten hold-down can only be in a height that is taken from the level line."""
    level = set(wall.level or ())
    heights = [d.name for d in wall.dimensions if d.line is not None and set(d.line) == level]
    return SlipBook(INSTALLER_RATES, heights=frozenset(heights))


def _profiles(path: Path, wall: WallFile) -> tuple[LensProfile, ...]:
    found = []
    for index, file in enumerate(wall.lens):
        source = path.parent / file
        with named_by(str(path), f"lens[{index}]"):
            profile = load_model(source, LensProfileFile)
        try:
            found.append(lens_profile(profile))
        except ValueError as error:
            raise FileError(str(source), "covariance", str(error)) from None
    return tuple(found)


def _look(path: Path, index: int, file: str) -> Sight:
    return look(read_photo(path.parent / file, str(path), f"photos[{index}].file"))


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
