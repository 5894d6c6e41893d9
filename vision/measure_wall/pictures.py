"""Pictures of a measured wall: rectified from its photos, or a photo with what was measured."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final, Literal, TypeAlias

import numpy as np

from vision.adjust.solution import WallSolution
from vision.measure_wall.request import SizeRequest
from vision.measure_wall.wall import WallMeasurement
from vision.photo.decode import decode_colour
from vision.plane.area import Area, PlaneFrame, area_round, check_scale
from vision.plane.elevation import ColourImage, Elevation, WallPhoto, draw_elevation
from vision.plane.overlay import DrawnMark, DrawnSize, drawn_over, encoded
from vision.plane.view import wall_view
from vision.units import FloatArray

PhotoBytes: TypeAlias = Callable[[int], bytes]
"""The file of the request's photo of that index."""
FileKind: TypeAlias = Literal["PNG", "JPEG"]
MARGIN_MM: Final = 60.0


def elevation_file(
    wall: WallMeasurement,
    solution: WallSolution,
    photo_bytes: PhotoBytes,
    mm_per_px: float,
    texts: Mapping[str, str] | None,
    kind: FileKind,
    face: bytes | None = None,
) -> bytes:
    """The wall seen square on, as a picture file.

    Parameters
    ----------
    wall, solution
        A measured wall and the solution that is drawn.
    photo_bytes
        Gives the photos again, one at a time.
    mm_per_px
        Scale of the picture.
    texts
        What to write at each size, by name; None for the bare picture without any drawing.
    kind
        File format.
    face
        Typeface's file with the letters of all names; None takes a Latin one.

    Raises
    ------
    ValueError
        If the scale will not do (`vision.plane.area.Area`).
    """
    elevation = wall_elevation(wall, solution, photo_bytes, mm_per_px)
    if texts is None:
        return encoded(elevation.colours, kind)
    marks, sizes = _drawn(wall, solution, texts)
    area = elevation.area
    return encoded(drawn_over(elevation.colours, area, area.pixels, marks, sizes, face), kind)


def photo_file(
    wall: WallMeasurement,
    solution: WallSolution,
    photo: int,
    data: bytes,
    texts: Mapping[str, str],
    kind: FileKind,
    face: bytes | None = None,
) -> bytes:
    """The request's photo of that index with grid, sizes and error ellipses over it.

    Raises
    ------
    ValueError
        If the photo takes no part in the adjustment.
    """
    if photo not in wall.used_photos:
        raise ValueError("expected a photo that takes part in the adjustment")
    view = wall_view(solution, wall.used_photos.index(photo))
    frame = plane_frame(solution)
    marks, sizes = _drawn(wall, solution, texts)

    def to_pixels(points_mm: FloatArray) -> FloatArray:
        flat = frame.on_wall(points_mm)
        return view.pixels(np.column_stack([flat, np.zeros(len(flat))]))

    area = wall_area(wall, solution, 1.0)
    return encoded(drawn_over(_colours(data), area, to_pixels, marks, sizes, face), kind)


def wall_elevation(
    wall: WallMeasurement, solution: WallSolution, photo_bytes: PhotoBytes, mm_per_px: float
) -> Elevation:
    """The rectified picture round all marks and cards, in the report's frame."""
    photos = [
        WallPhoto(wall_view(solution, shot), _later(photo_bytes, photo))
        for shot, photo in enumerate(wall.used_photos)
    ]
    area = wall_area(wall, solution, mm_per_px)
    return draw_elevation(photos, area, plane_frame(solution))


def plane_frame(solution: WallSolution) -> PlaneFrame:
    """Where the report's frame lies in the adjustment's."""
    level = solution.problem.level
    if level is None:
        return PlaneFrame(np.zeros(2), np.array([1.0, 0.0]))
    points, _ = solution.mark_points()
    along = points[level[1], :2] - points[level[0], :2]
    return PlaneFrame(points[level[0], :2].copy(), along / np.hypot(*along))


def wall_area(wall: WallMeasurement, solution: WallSolution, mm_per_px: float) -> Area:
    """The rectangle that holds every mark and every card, with a margin."""
    frame = plane_frame(solution)
    seen = solution.network.sightings
    views = [wall_view(solution, shot) for shot in range(len(solution.network.shots))]
    on_sheets = [
        views[seen.shot[row]].on_wall(seen.pixels[row]) for row in np.flatnonzero(seen.sheet >= 0)
    ]
    marks = [point.position_mm[:2] for point in wall.points(solution)]
    places = [*marks, *frame.from_wall(np.array(on_sheets).reshape(-1, 2))]
    return area_round(np.array(places), MARGIN_MM, mm_per_px)


def _colours(data: bytes) -> ColourImage:
    return np.asarray(decode_colour(data), dtype=np.uint8)


def _later(photo_bytes: PhotoBytes, photo: int) -> Callable[[], ColourImage]:
    return lambda: _colours(photo_bytes(photo))


def _drawn(
    wall: WallMeasurement, solution: WallSolution, texts: Mapping[str, str]
) -> tuple[list[DrawnMark], list[DrawnSize]]:
    points = {point.name: point for point in wall.points(solution)}
    marks = [
        DrawnMark(name, point.position_mm, point.covariance_mm2[:2, :2])
        for name, point in points.items()
    ]
    at = {name: point.position_mm for name, point in points.items()}
    known = {size.name for size in wall.sizes}
    sizes = [
        DrawnSize(at[wanted.start], far_end(wanted, at), texts[wanted.name])
        for wanted in wall.request.sizes
        if wanted.name in texts and wanted.name in known
    ]
    return marks, sizes


def far_end(wanted: SizeRequest, at: Mapping[str, FloatArray]) -> FloatArray:
    """Where a size's line ends: its other mark, level with it, or square to its line."""
    start = at[wanted.start]
    if wanted.line is not None:
        first, second = (at[name] for name in wanted.line)
        along = (second - first) / np.linalg.norm(second - first)
        return np.asarray(first + along * float((start - first) @ along))
    end = at[wanted.end or wanted.start].copy()
    if wanted.kind == "dx":
        end[1] = start[1]
    if wanted.kind == "dy":
        end[0] = start[0]
    return end


__all__ = ["FileKind", "PhotoBytes", "check_scale", "elevation_file", "far_end", "photo_file"]
