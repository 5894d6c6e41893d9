"""From photos and marks to sizes with their covariance: the door of the package."""

from vision.measure_wall.request import (
    CardRequest,
    Habits,
    PhotoRequest,
    PrintCheck,
    RectangleRequest,
    SizeRequest,
    Tap,
    WallRequest,
)
from vision.measure_wall.sight import Sight, look
from vision.measure_wall.wall import TapedSize, WallMeasurement, WallPoint, measure_wall

__all__ = [
    "CardRequest",
    "Habits",
    "PhotoRequest",
    "PrintCheck",
    "RectangleRequest",
    "Sight",
    "SizeRequest",
    "Tap",
    "TapedSize",
    "WallMeasurement",
    "WallPoint",
    "WallRequest",
    "look",
    "measure_wall",
]
