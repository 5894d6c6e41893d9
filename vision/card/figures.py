"""Quality figures of a confirmed card."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import cv2
import numpy as np

from vision.card.design import BOARD_OUTLINE_MM, MARKER_CELLS, MARKER_MM, card_design
from vision.card.found import FoundCard
from vision.card.plane_map import PlaneMap, smallest_scale
from vision.units import read_only

if TYPE_CHECKING:
    from vision.card.confirm import Confirmed
    from vision.units import FloatArray, FloatImage

_WHITE_LIMIT: Final = 250
_BLACK_LIMIT: Final = 5
"""Compression spreads clipped tones over some grey levels."""
_USUAL_FOCAL: Final = 0.75
"""Focal length by the long side of a phone's main camera (26 mm equivalent); the tilt hardly
depends on it."""


def found_card(serial: int, confirmed: Confirmed) -> FoundCard:
    """The card as the rest of the program sees it."""
    ids = sorted(confirmed.corners)
    points = card_design(serial).corners_mm[ids]
    jacobians = confirmed.plane_map.jacobians(points)
    corner_ids = np.array(ids, dtype=np.int64)
    corner_ids.setflags(write=False)
    return FoundCard(
        serial=serial,
        corner_ids=corner_ids,
        pixels=read_only(np.array([confirmed.corners[i].pixel for i in ids])),
        covariance_px2=read_only(np.array([confirmed.covariance(i) for i in ids])),
        contrast=float(np.median([confirmed.corners[i].contrast for i in ids])),
        blur_px=confirmed.edges.blur_px,
        pixels_per_cell=float(np.median(smallest_scale(jacobians))) * MARKER_MM / MARKER_CELLS,
        tilt_deg=tilt_deg(confirmed.plane_map),
        saturated=_saturated(confirmed),
    )


def tilt_deg(plane_map: PlaneMap) -> float:
    """Angle between the line of sight and the sheet's normal at the sheet's middle, degrees.

    On the sphere of lines of sight a small square shrinks by the cosine of that angle in one
    direction and not in the other.
    """
    middle = card_design(1).corners_mm.mean(axis=0, keepdims=True)
    pixel, jacobian = plane_map.pixels(middle)[0], plane_map.jacobians(middle)[0]
    focal = _USUAL_FOCAL * max(plane_map.size)
    centre = (np.array(plane_map.size) - 1) / 2
    ray = np.array([*(pixel - centre) / focal, 1.0])
    length = float(np.linalg.norm(ray))
    project = (np.eye(3) - np.outer(ray, ray) / length**2) / length
    on_sphere = project[:, :2] @ jacobian / focal
    large, small = np.linalg.svd(on_sphere, compute_uv=False)
    return float(np.degrees(np.arccos(np.clip(small / large, 0.0, 1.0))))


def _saturated(confirmed: Confirmed) -> float:
    corners = confirmed.plane_map.pixels(BOARD_OUTLINE_MM) - confirmed.part.offset
    return _share_at_limits(confirmed.part.raw, corners)


def _share_at_limits(picture: FloatImage, outline: FloatArray) -> float:
    mask = np.zeros(picture.shape, dtype=np.uint8)
    cv2.fillConvexPoly(mask, np.rint(outline).astype(np.int32), 1)
    values = picture[mask > 0]
    if values.size == 0:
        return 0.0
    return float(np.mean((values >= _WHITE_LIMIT) | (values <= _BLACK_LIMIT)))
