"""From photos and marks to sizes with their covariance: the door of the package."""

from vision.adjust.solution import SizeEstimates, WallSolution
from vision.camera.prior import LensKey
from vision.camera.profile import LensProfile
from vision.measure_wall.lens_profile import MadeProfile, make_profile
from vision.measure_wall.level_sense import level_runs_backwards
from vision.measure_wall.photo_advice import photo_advice
from vision.measure_wall.request import (
    CardRequest,
    Habits,
    LineRequest,
    PhotoRequest,
    PrintCheck,
    RectangleRequest,
    SizeRequest,
    Tap,
    WallRequest,
)
from vision.measure_wall.sight import Sight, look
from vision.measure_wall.wall import (
    PhotoFit,
    TapedSize,
    WallMeasurement,
    WallPoint,
    measure_wall,
)
from vision.measure_wall.what_helps import Candidate

__all__ = [
    "Candidate",
    "CardRequest",
    "Habits",
    "LensKey",
    "LensProfile",
    "LineRequest",
    "MadeProfile",
    "PhotoFit",
    "PhotoRequest",
    "PrintCheck",
    "RectangleRequest",
    "Sight",
    "SizeEstimates",
    "SizeRequest",
    "Tap",
    "TapedSize",
    "WallMeasurement",
    "WallPoint",
    "WallRequest",
    "WallSolution",
    "level_runs_backwards",
    "look",
    "make_profile",
    "measure_wall",
    "photo_advice",
]
