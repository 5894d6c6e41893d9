"""How much of a card must be seen."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import cv2
import numpy as np

from vision.card.design import card_design

if TYPE_CHECKING:
    from collections.abc import Collection

LEAST_CORNERS: Final = 8
LEAST_AREA_MM2: Final = 3800.0
"""Three squares: the least area that the confirmed corners of a half hidden card must span."""


def spans_enough(corner_ids: Collection[int]) -> bool:
    """Whether corners are many enough, and spread over a real area, to fix the card's plane."""
    if len(corner_ids) < LEAST_CORNERS:
        return False
    points = card_design(1).corners_mm[list(corner_ids)].astype(np.float32)
    return float(cv2.contourArea(cv2.convexHull(points))) >= LEAST_AREA_MM2
