"""Cross-check the walls of an alcove: every wall's photos and readings judged together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

import numpy as np

from service.actions.measure.check_file import check_file
from service.actions.measure.named_sizes import BACK, renamed, wall_sizes
from service.actions.measure.wall import LookedWall, looked_wall
from service.documents.cross_check import cross_check_csv
from service.documents.pdf.cross_check import cross_check_pdf
from service.documents.wording import DocumentMeta, Paper
from service.errors import FileError
from service.files.loading import read_text
from service.files.slip_book import read_slip_book
from service.files.writing import json_text, write_whole
from service.measuring.alcove.derived import derived_sizes
from service.measuring.alcove.judging import judge_alcove
from service.measuring.alcove.next_to_tape import ToTape, next_to_tape
from service.measuring.alcove.sheet_needs import sheet_needs
from service.measuring.cross_check import CrossCheck, WallPart, cross_check
from service.measuring.estimates import PhotoEstimates, TapeObservation
from service.measuring.limits import Limits
from service.measuring.reading import Reading
from service.measuring.slips import INSTALLER_BOOK, SlipBook

_LIMITS = Limits()


@dataclass(frozen=True)
class CheckedFiles:
    """The cross-check, what each wall's sheet still wants taped, and the files written."""

    found: CrossCheck
    to_tape: Mapping[str, ToTape]
    written: tuple[Path, ...]


def check_files(
    paths: Sequence[Path],
    folder: Path,
    *,
    slips: Path | None = None,
    printed_on: str = "",
    paper: Paper = "letter",
) -> CheckedFiles:
    """Judge one to three walls together and write check.json, check.csv and check.pdf.

    Readings of one wall check those of the next where the two meet; everything is made before
    anything is written.

    Parameters
    ----------
    slips
        SLIPS.toml with the shop's own rates; None takes the trade's for an installer.

    Raises
    ------
    FileError
        A file, or a value in one, that cannot be used; the same wall twice.
    Refusal
        Photos that do not determine their wall.
    """
    walls = _placed([looked_wall(path) for path in paths], paths)
    readings = [reading for wall in walls for reading in wall.readings]
    photo = _together([wall.photo for wall in walls])

    def resolve(tapes: Sequence[TapeObservation]) -> PhotoEstimates:
        found = _together([wall.resolve(tapes) for wall in walls])
        return found if found is not None else PhotoEstimates((), np.zeros(0), np.zeros((0, 0)))

    sizes = [wall.part.sizes for wall in walls]
    names = [name for wall in walls for name in wall.part.called]
    book = INSTALLER_BOOK if slips is None else _book(slips)
    judged = judge_alcove(
        sizes, photo, readings, _LIMITS, resolve if photo else None, book, names=names
    )
    derived = derived_sizes(sizes, judged, photo, readings)
    parts = [wall.part for wall in walls]
    found = cross_check(parts, judged.judgement, readings, judged.closings, derived=derived)
    to_tape = {
        wall.wall: _called(next_to_tape(sizes, sheet_needs(wall), photo, readings), walls)
        for wall in sizes
    }
    meta = DocumentMeta("A", printed_on or date.today().isoformat(), paper)
    job = ", ".join(wall.wall for wall in sizes)
    made = {
        "check.json": json_text(check_file(found, to_tape)).encode(),
        "check.csv": cross_check_csv(found),
        "check.pdf": cross_check_pdf(found, job, meta),
    }
    return CheckedFiles(found, to_tape, _write(folder, made))


@dataclass(frozen=True)
class _Placed:
    """One wall under the names that keep its sizes apart from those of other walls."""

    part: WallPart
    readings: tuple[Reading, ...]
    looked: LookedWall
    photo: PhotoEstimates | None

    def resolve(self, tapes: Sequence[TapeObservation]) -> PhotoEstimates | None:
        """Its photos, linearised at those of the tapes that are its own."""
        if self.photo is None:
            return None
        called = self.part.called
        own = [replace(t, dimension=called[t.dimension]) for t in tapes if t.dimension in called]
        return _renamed(self.looked.resolve(own), _judged_as(self.part))


def _book(path: Path) -> SlipBook:
    return read_slip_book(read_text(path, "a TOML file"), str(path))


def _placed(walls: Sequence[LookedWall], paths: Sequence[Path]) -> list[_Placed]:
    taken: dict[str, Path] = {}
    found = []
    for looked, path in zip(walls, paths, strict=True):
        name = looked.wall.wall or BACK
        if name in taken:
            expected = f"expected another wall: {taken[name]} is the {name} wall as well"
            raise FileError(str(path), "wall", expected)
        taken[name] = path
        alone = len(paths) == 1
        names = {d.name: d.name if alone else f"{name}: {d.name}" for d in looked.wall.dimensions}
        readings = tuple(_reading(reading, names, name, alone) for reading in looked.readings)
        sizes = renamed(wall_sizes(looked.wall), names)
        part = WallPart(sizes, {judged: called for called, judged in names.items()})
        found.append(_Placed(part, readings, looked, _renamed(looked.photo, names)))
    return found


def _reading(reading: Reading, names: Mapping[str, str], wall: str, alone: bool) -> Reading:
    if alone:
        return reading
    replaces = None if reading.replaces is None else f"{wall}: {reading.replaces}"
    return replace(
        reading,
        id=f"{wall}: {reading.id}",
        dimension=names[reading.dimension],
        replaces=replaces,
    )


def _judged_as(part: WallPart) -> dict[str, str]:
    return {called: judged for judged, called in part.called.items()}


def _renamed(photo: PhotoEstimates | None, names: Mapping[str, str]) -> PhotoEstimates | None:
    if photo is None:
        return None
    return replace(photo, names=tuple(names[name] for name in photo.names))


def _together(photos: Sequence[PhotoEstimates | None]) -> PhotoEstimates | None:
    """Walls as one Gaussian. Each has photos of its own, so they err apart; a print job that two
    walls share is left out, which makes an alcove's agreement a little vaguer than it is."""
    there = [photo for photo in photos if photo is not None]
    if not there:
        return None
    names = tuple(name for photo in there for name in photo.names)
    covariance = np.zeros((len(names), len(names)))
    start = 0
    for photo in there:
        end = start + len(photo.names)
        covariance[start:end, start:end] = photo.covariance_mm2
        start = end
    return PhotoEstimates(names, np.concatenate([photo.mm for photo in there]), covariance)


def _called(found: ToTape, walls: Sequence[_Placed]) -> ToTape:
    """In the words of the files; a size of another wall keeps its wall's name."""
    several = len(walls) > 1
    called = {
        judged: f"{wall.part.sizes.wall}: {name}" if several else name
        for wall in walls
        for judged, name in wall.part.called.items()
    }
    return ToTape(
        tuple(called[name] for name in found.first), tuple(called[name] for name in found.again)
    )


def _write(folder: Path, made: Mapping[str, bytes]) -> tuple[Path, ...]:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise FileError(str(folder), "", f"cannot be made: {error.strerror}") from None
    for name, data in made.items():
        write_whole(folder / name, data)
    return tuple(folder / name for name in made)
