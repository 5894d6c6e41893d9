"""A wall's photos as one picture seen square on, or one photo with what was measured over it."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from service.actions.measure.wall import wall_figures
from service.documents.pdf.faces import face_with
from service.errors import FileError
from service.files.loading import load_model, read_photo
from service.files.report import ReportDimension
from service.files.wall import WallFile
from service.files.writing import check_target
from service.lengths import inches_text
from vision.measure_wall.pictures import FileKind, check_scale, elevation_file, photo_file

_LEFT_OUT = ("same-photo", "not-tied")
"""Advice on a photo that could be read and takes no part."""
_KINDS: Final[dict[str, FileKind]] = {".png": "PNG", ".jpg": "JPEG", ".jpeg": "JPEG"}


def elevation_picture(
    path: Path, out: Path, mm_per_px: float, *, plain: bool = False, photo: str | None = None
) -> bytes:
    """The picture of a wall file, in the format that the name of ``out`` says.

    Parameters
    ----------
    path
        The wall file.
    out
        Where it will be written: ``.png``, ``.jpg`` or ``.jpeg``.
    mm_per_px
        Millimetres of wall in each pixel.
    plain
        Without grid, sizes and ellipses.
    photo
        One of the file's photos, to be drawn over instead of the rectified wall.

    Raises
    ------
    FileError
        If a file cannot be used as it stands, or the picture would be too large.
    Refusal
        If the photos do not determine the wall.
    """
    kind = _KINDS.get(out.suffix.lower())
    if kind is None:
        raise FileError("elevation", "--out", "expected a name that ends in .png, .jpg or .jpeg")
    wall = load_model(path, WallFile)
    files = [one.file for one in wall.photos]
    check_target(out, path, *(path.parent / file for file in files))
    index = None if photo is None else _index_of(path, files, photo)
    _check_scale(mm_per_px)
    figures = wall_figures(path)
    texts = {row.name: _text(row) for row in figures.report.dimensions}
    face = face_with("".join((*texts.values(), *figures.report.points)))

    def photo_bytes(index: int) -> bytes:
        return read_photo(path.parent / files[index], str(path), f"photos[{index}].file")

    if index is not None:
        if index not in figures.measurement.used_photos:
            said = figures.report.photos[index].advice
            left_out = [item for item in said if item.code in _LEFT_OUT]
            why = "".join(f": {item.text}" for item in (left_out or said)[:1])
            expected = f"expected a photo that takes part{why}"
            raise FileError(str(path), f"photos[{index}]", expected)
        data = photo_bytes(index)
        return photo_file(figures.measurement, figures.solution, index, data, texts, kind, face)
    try:
        return elevation_file(
            figures.measurement,
            figures.solution,
            photo_bytes,
            mm_per_px,
            None if plain else texts,
            kind,
            face,
        )
    except ValueError as error:
        raise FileError("elevation", "--mm-per-px", str(error)) from None


def _index_of(path: Path, files: list[str], photo: str) -> int:
    """By the file's own words for it, or by its bare name."""
    for index, file in enumerate(files):
        if photo in (file, Path(file).name):
            return index
    raise FileError("elevation", "--photo", f"expected one of the photos of {path.name}")


def _check_scale(mm_per_px: float) -> None:
    try:
        check_scale(mm_per_px)
    except ValueError as error:
        raise FileError("elevation", "--mm-per-px", str(error)) from None


def _text(row: ReportDimension) -> str:
    """The best value with its interval, and a warning where no tape stands behind it."""
    if row.best_mm is None or row.best_u_mm is None:
        return f"{row.name}: {row.status}"
    spread = inches_text(1.96 * row.best_u_mm, 16, "up")
    return f"{row.name}: {inches_text(row.best_mm)} ± {spread} in, {row.status}"
