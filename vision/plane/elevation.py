"""A wall seen square on, put together from its photos at a chosen scale.

Every pixel is a place on the wall's mean plane, sought in each photo through its adjusted camera.
Photos are mixed by the power of how finely each shows the place in its worse direction, so that
the best one rules and seams are soft. What stands off the plane is shown displaced, and differs
from photo to photo: the picture is a map of the plane, not of what stands on it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from math import ceil
from typing import Final, TypeAlias

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.plane.area import Area, PlaneFrame
from vision.plane.view import WallView
from vision.units import BoolArray, FloatArray, FloatImage

ColourImage: TypeAlias = NDArray[np.uint8]
"""(h, w, 3), sRGB."""

_NODE_PX: Final = 8
"""The map into a photo is worked out at every so many pixels; it bends by 0.01 px between."""
_BAND_PX: Final = 256
_FINEST_SAMPLES: Final = 4
_RULE: Final = 8
"""A photo twice as fine as the next rules by 256 to 1."""
_FEATHER_PX: Final = 80.0
_LEAST_OVERLAP: Final = 0.02
_GAINS: Final = (0.5, 2.0)
_EMPTY: Final = 255


@dataclass(frozen=True)
class WallPhoto:
    """A photo to take colours from: its view, and what decodes its upright colours."""

    view: WallView
    colours: Callable[[], ColourImage]


@dataclass(frozen=True)
class Elevation:
    """The picture, which part of it some photo shows, and its place on the wall."""

    colours: ColourImage
    seen: BoolArray
    area: Area


def draw_elevation(photos: Iterable[WallPhoto], area: Area, frame: PlaneFrame) -> Elevation:
    """The rectified picture of ``area``; what no photo shows is white.

    One photo's pixels are held at a time.
    """
    width, height = area.size_px
    total = np.zeros((height, width, 3), dtype=np.float32)
    weights = np.zeros((height, width), dtype=np.float32)
    for photo in photos:
        _add(photo, area, frame, total, weights)
    seen = weights > 0
    picture = np.full((height, width, 3), _EMPTY, dtype=np.uint8)
    picture[seen] = np.clip(np.rint(total[seen] / weights[seen][:, None]), 0, 255)
    picture.setflags(write=False)
    return Elevation(picture, np.asarray(seen), area)


def _add(
    photo: WallPhoto, area: Area, frame: PlaneFrame, total: FloatImage, weights: FloatImage
) -> None:
    nodes = _nodes(photo.view, area, frame)
    if not np.any(nodes.weight > 0):
        return
    colours = photo.colours()
    if colours.shape[1::-1] != photo.view.size_px:
        raise ValueError("the photo's colours must have the size of its view")
    width, height = area.size_px
    taken = np.zeros((height, width, 3), dtype=np.float32)
    share = np.zeros((height, width), dtype=np.float32)
    samples = int(np.clip(ceil(nodes.finest * area.mm_per_px), 1, _FINEST_SAMPLES))
    for top in range(0, height, _BAND_PX):
        rows = slice(top, min(top + _BAND_PX, height))
        taken[rows], share[rows] = _band(colours, nodes, rows, width, samples)
    gain = _gain(taken, share, total, weights)
    total += taken * (share[..., None] * gain)
    weights += share


@dataclass(frozen=True)
class _Nodes:
    """Photo pixel and weight at every `_NODE_PX` of the picture, and the finest px per mm."""

    pixel: FloatArray
    weight: FloatArray
    finest: float


def _nodes(view: WallView, area: Area, frame: PlaneFrame) -> _Nodes:
    width, height = area.size_px
    points = area.points(_node_places(width), _node_places(height))
    shape = points.shape[:2]
    flat = frame.on_wall(points.reshape(-1, 2))
    places = np.column_stack([flat, np.zeros(len(flat))])
    pixel = view.pixels(places)
    worst = np.linalg.svd(view.plane_jacobians(places), compute_uv=False)
    rim = np.min(np.column_stack([pixel, np.array(view.size_px) - 1 - pixel]), axis=1)
    inside = np.isfinite(rim) & (rim >= 0)
    weight = np.where(inside, worst[:, 1] ** _RULE * np.clip(rim / _FEATHER_PX, 0, 1), 0.0)
    finest = float(worst[inside, 0].max()) if inside.any() else 1.0
    return _Nodes(np.nan_to_num(pixel, nan=-1e4).reshape(*shape, 2), weight.reshape(shape), finest)


def _node_places(length_px: int) -> FloatArray:
    count = ceil(length_px / _NODE_PX) + 2
    return np.asarray(np.arange(count) * float(_NODE_PX) - _NODE_PX / 2, dtype=np.float64)


def _band(
    colours: ColourImage, nodes: _Nodes, rows: slice, width: int, samples: int
) -> tuple[FloatImage, FloatImage]:
    """Colours and weights of a band of rows, each pixel the mean of ``samples``² places."""
    offset = (np.arange(samples) + 0.5) / samples - 0.5
    y = (np.arange(rows.start, rows.stop)[:, None] + offset).ravel()
    x = (np.arange(width)[:, None] + offset).ravel()
    at = _between(nodes.pixel, x, y).astype(np.float32)
    fine = cv2.remap(colours, at[..., 0], at[..., 1], cv2.INTER_LINEAR)
    size = (width, rows.stop - rows.start)
    mean = cv2.resize(fine.astype(np.float32), size, interpolation=cv2.INTER_AREA)
    middle_x = np.arange(width, dtype=np.float64)
    middle_y = np.arange(rows.start, rows.stop, dtype=np.float64)
    weight = _between(nodes.weight[..., None], middle_x, middle_y)[..., 0]
    return np.asarray(mean, np.float32), weight.astype(np.float32)


def _between(nodes: FloatArray, x: FloatArray, y: FloatArray) -> FloatArray:
    """Values (rows, columns, k) at picture columns and rows, linear between the nodes."""
    column, right = _part(x)
    row, down = _part(y)
    upper, lower = nodes[row], nodes[row + 1]
    lines = upper + (lower - upper) * down[:, None, None]
    left = lines[:, column]
    return np.asarray(left + (lines[:, column + 1] - left) * right[None, :, None])


def _part(at: FloatArray) -> tuple[NDArray[np.int64], FloatArray]:
    place = (at + _NODE_PX / 2) / _NODE_PX
    whole = np.floor(place).astype(np.int64)
    return whole, place - whole


def _gain(
    taken: FloatImage, share: FloatImage, total: FloatImage, weights: FloatImage
) -> FloatImage:
    """(3,) factors that bring a photo to the brightness of what is there, where both show."""
    both = (share > 0) & (weights > 0)
    if both.mean() < _LEAST_OVERLAP:
        return np.ones(3, dtype=np.float32)
    there = total[both] / weights[both][:, None]
    ratio = np.median(there, axis=0) / np.maximum(np.median(taken[both], axis=0), 1.0)
    return np.asarray(np.clip(ratio, *_GAINS), dtype=np.float32)
