"""What a wall file marks in its photos, held against the size of the pictures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from service.errors import FileError
from service.files.wall import WallFile
from vision.measure_wall import Sight

_Point = tuple[float, float]


def check_in_picture(path: Path, wall: WallFile, sights: Sequence[Sight]) -> None:
    """Refuse a point that lies farther beside its picture than the picture is long.

    Just beside it will do: an edge of which a part is seen is followed beyond. Farther out the
    file means another photo or another unit, and one such point leaves the whole wall without a
    solution.

    Raises
    ------
    FileError
        Naming the first such point, and the size of its picture.
    """
    sizes = {
        photo.file: (sight.header.width_px, sight.header.height_px)
        for photo, sight in zip(wall.photos, sights, strict=True)
        if sight.header is not None
    }
    for field, file, (x, y) in _points(wall):
        if file not in sizes:
            continue
        width, height = sizes[file]
        reach = max(width, height)
        if not (-reach <= x <= width + reach and -reach <= y <= height + reach):
            expected = f"expected a place in {file!r}, a picture of {width} x {height} pixels"
            raise FileError(str(path), field, f"{expected}, not {x:g}, {y:g}")


def _points(wall: WallFile) -> Iterator[tuple[str, str, _Point]]:
    """Field, photo and place of each point, in the order of the file."""
    for index, rectangle in enumerate(wall.rectangles):
        field = f"rectangles[{index}]"
        for file, corners in rectangle.corners.items():
            yield from ((f"{field}.corners.{file}", file, at) for at in corners)
        for file, edges in rectangle.edges.items():
            yield from ((f"{field}.edges.{file}", file, at) for edge in edges for at in edge)
    for index, line in enumerate(wall.lines):
        for file, points in line.points.items():
            yield from ((f"lines[{index}].points.{file}", file, at) for at in points)
    for index, photo in enumerate(wall.photos):
        for name, mark in photo.marks.items():
            yield f"photos[{index}].marks.{name}.at", photo.file, mark.at
