"""Where the points and sizes of a measured wall lie in one of its photos."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from service.actions.measure.stored import WallReports
from service.files.api.photo_answers import PhotoPlaceModel, PlacedPoint, PlacedSize
from service.store.rows import PhotoRow, WallRow
from service.store.unit import Unit
from vision.errors import Refusal
from vision.measure_wall import WallMeasurement, WallSolution
from vision.measure_wall.pictures import far_end, plane_frame, wall_area
from vision.plane.area import Area, PlaneFrame
from vision.plane.view import WallView, wall_view
from vision.units import FloatArray

_COARSE_MM_PER_PX: Final = 1.5


@dataclass(frozen=True)
class _Solved:
    measurement: WallMeasurement
    solution: WallSolution


class PhotoPlace:
    """One photo before its wall, as the photos alone have it; worked out as it is asked for."""

    def __init__(self, solved: _Solved, shot: int) -> None:
        self._solved = solved
        self.view = wall_view(solved.solution, shot)

    @property
    def frame(self) -> PlaneFrame:
        """Where the report's frame lies."""
        return plane_frame(self._solved.solution)

    @property
    def area(self) -> Area:
        """The part of the wall that is of interest."""
        return wall_area(self._solved.measurement, self._solved.solution, _COARSE_MM_PER_PX)

    @property
    def shown(self) -> PhotoPlaceModel:
        """Points and sizes in the photo's pixels."""
        points = _points(self._solved, self.view)
        return PhotoPlaceModel(points=points, sizes=_sizes(self._solved, self.view))


def photo_place(
    reports: WallReports, unit: Unit, wall: WallRow, photo: PhotoRow
) -> PhotoPlace | None:
    """The photo's place; None where nothing ties it to a wall that can be measured."""
    stored = reports.stored(unit, wall)
    if stored is None:
        return None
    try:
        part = reports.looked(stored).part
    except Refusal:
        return None  # the report says why
    if part is None:
        return None
    used = [stored.file.photos[index].file for index in part.measurement.used_photos]
    if photo.file not in used:
        return None
    return PhotoPlace(_Solved(part.measurement, part.solve(())), used.index(photo.file))


def _points(solved: _Solved, view: WallView) -> dict[str, PlacedPoint]:
    """The points in the photo, with the uncertainty of their place on the wall seen from here."""
    places, covariance = solved.solution.mark_points()
    found = {}
    for name, index in solved.measurement.built.marks.items():
        rows = slice(3 * index, 3 * index + 3)
        at, spread = _seen(view, places[index], covariance[rows, rows])
        if at is not None:
            (xx, xy), (yx, yy) = spread.tolist()
            found[name] = PlacedPoint(at=at, cov_px2=((xx, xy), (yx, yy)))
    return found


def _seen(
    view: WallView, place_mm: FloatArray, covariance_mm2: FloatArray
) -> tuple[tuple[float, float] | None, FloatArray]:
    """Pixel of a point and the covariance of its place there; None outside the photo."""
    beside = np.vstack([place_mm, place_mm + np.eye(3)])
    pixels = view.pixels(beside)
    if not np.isfinite(pixels).all() or not _inside(view, pixels[0]):
        return None, np.zeros((2, 2))
    dq_dpoint = (pixels[1:] - pixels[0]).T
    spread = dq_dpoint @ covariance_mm2 @ dq_dpoint.T
    return (float(pixels[0, 0]), float(pixels[0, 1])), (spread + spread.T) / 2


def _inside(view: WallView, pixel: FloatArray) -> bool:
    return bool(np.all(pixel >= 0) and np.all(pixel <= np.array(view.size_px) - 1))


def _sizes(solved: _Solved, view: WallView) -> tuple[PlacedSize, ...]:
    measurement = solved.measurement
    frame = plane_frame(solved.solution)
    at = {point.name: point.position_mm for point in measurement.points(solved.solution)}
    known = {size.name for size in measurement.sizes}
    found = []
    for wanted in measurement.request.sizes:
        if wanted.name not in known:
            continue
        ends = np.stack([at[wanted.start], far_end(wanted, at)])
        flat = frame.on_wall(ends)
        pixels = view.pixels(np.column_stack([flat, ends[:, 2]]))
        if np.isfinite(pixels).all() and any(_inside(view, pixel) for pixel in pixels):
            start, end = ((float(x), float(y)) for x, y in pixels)
            found.append(PlacedSize(name=wanted.name, start=start, end=end))
    return tuple(found)
