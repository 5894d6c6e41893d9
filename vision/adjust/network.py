"""The wall's measuring network: what was seen and what is known beforehand, as plain values.

Frames. Wall: x right, y up, z out of the wall, mm; its origin and turn are those of the datum
sheet, its mean plane is held by the height priors. Camera: x right, y down, z forward. Sheet:
as printed or as the object lies, x right, y up.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, fields
from typing import Any

import numpy as np

from vision.units import FloatArray, IntArray

FREE = float("inf")
"""Spread of an unknown that has no prior."""


@dataclass(frozen=True)
class Lens:
    """Prior of one lens group; the centre is relative to the picture's centre, sensor frame.

    ``mean`` is (log f, cx, cy, k1, k2), ``covariance`` (5, 5) of the same.
    """

    name: str
    source: str
    mean: FloatArray
    covariance: FloatArray


@dataclass(frozen=True)
class Shot:
    """One photo: which lens, how its sensor lay, and how far this exposure may differ."""

    name: str
    lens: int
    width_px: int
    height_px: int
    sensor_turn: FloatArray
    """(2, 2) rotation that takes a sensor-frame offset into the upright picture."""
    focus_u: float
    stabiliser_u_px: float


@dataclass(frozen=True)
class ScaleGroup:
    """True over nominal size along x and y, shared by sheets of one print job.

    ``is_size`` where it is that of a rectangle whose size was stated, and no print. ``common_u`` is
    the part of ``u`` that is one and the same error in all groups that have such a part.
    """

    name: str
    mean: tuple[float, float]
    u: tuple[float, float]
    is_size: bool = False
    common_u: float = 0.0


@dataclass(frozen=True)
class Sheet:
    """A flat object of known shape: a printed card or a plain rectangle.

    ``points_mm`` is (n, 2) nominal. ``standoff`` is the height of its middle over the wall's
    mean plane. ``bow_u_mm`` is the spread of the sagitta along each side.
    """

    name: str
    points_mm: FloatArray
    size_mm: tuple[float, float]
    scale_group: int
    standoff_mm: float
    standoff_u_mm: float
    tilt_u_rad: float
    bow_u_mm: float


@dataclass(frozen=True)
class Mark:
    """A marked point and the prior of its height over the wall's mean plane."""

    name: str
    standoff_mm: float
    standoff_u_mm: float


@dataclass(frozen=True)
class Sightings:
    """Image observations, one row each.

    Attributes
    ----------
    shot
        (n,) index of the photo.
    sheet
        (n,) index of the sheet, or -1 for a mark.
    point
        (n,) index into the sheet's points, or of the mark.
    pixels
        (n, 2) observed positions.
    covariance_px2
        (n, 2, 2).
    defined_mm
        (n,) how sharply the thing itself is defined on the wall.
    edge
        (n,) index of the edge-offset nuisance, or -1.
    edge_direction
        (n, 2) where an edge offset of one pixel moves the point.
    """

    shot: IntArray
    sheet: IntArray
    point: IntArray
    pixels: FloatArray
    covariance_px2: FloatArray
    defined_mm: FloatArray
    edge: IntArray
    edge_direction: FloatArray


@dataclass(frozen=True)
class Line:
    """A straight line on the wall: priors of what it may lack of that.

    Over the stretch that is marked, ``bow_u_mm`` is the spread of the middle against the ends in
    the wall's plane; ``height_u_mm`` those of its height, of half the ends' difference in height,
    and of its bow out of the plane.
    """

    name: str
    bow_u_mm: float
    standoff_mm: float
    height_u_mm: tuple[float, float, float]


@dataclass(frozen=True)
class LineFrame:
    """Where a line's unknowns count from: middle (2,) and direction on the wall, half its stretch.

    Set by the starting values.
    """

    middle_mm: FloatArray
    angle_rad: float
    half_mm: float


@dataclass(frozen=True)
class CurveSightings:
    """Points seen along lines of the wall and along the edges of sheets, one row each.

    Only how far a point lies beside its curve counts. ``line`` is the index of a line, or -1 for
    the edge ``side`` of ``sheet`` (the first from its lower left to its lower right corner, then
    counter-clockwise); ``edge`` the index of an edge-offset nuisance, or -1.
    """

    shot: IntArray
    line: IntArray
    sheet: IntArray
    side: IntArray
    pixels: FloatArray
    sd_px: FloatArray
    defined_mm: FloatArray
    edge: IntArray


@dataclass(frozen=True)
class KnownDirection:
    """A line that is level, or plumb, within ``u_rad``."""

    line: int
    is_plumb: bool
    u_rad: float


@dataclass(frozen=True)
class SquareCorner:
    """A level line and a plumb line (indices of marks) that are square to each other."""

    level: tuple[int, int]
    plumb: tuple[int, int]
    u_rad: float


@dataclass(frozen=True)
class Network:
    """Everything one wall's adjustment works on.

    ``loose_sheets`` are those that no photo ties to the datum: they get a wide prior in place
    of none, so that sizes within their own photos can still be had.
    """

    lenses: tuple[Lens, ...]
    shots: tuple[Shot, ...]
    scale_groups: tuple[ScaleGroup, ...]
    sheets: tuple[Sheet, ...]
    marks: tuple[Mark, ...]
    sightings: Sightings
    datum_sheet: int
    edge_u_px: FloatArray
    square_corners: tuple[SquareCorner, ...] = ()
    loose_sheets: frozenset[int] = field(default_factory=frozenset)
    lines: tuple[Line, ...] = ()
    curves: CurveSightings = field(default_factory=lambda: join_curves([]))
    directions: tuple[KnownDirection, ...] = ()
    line_frames: tuple[LineFrame, ...] = ()


def join_sightings(tables: list[Sightings]) -> Sightings:
    """One table of several."""
    empty = Sightings(
        shot=np.zeros(0, dtype=np.int64),
        sheet=np.zeros(0, dtype=np.int64),
        point=np.zeros(0, dtype=np.int64),
        pixels=np.zeros((0, 2)),
        covariance_px2=np.zeros((0, 2, 2)),
        defined_mm=np.zeros(0),
        edge=np.zeros(0, dtype=np.int64),
        edge_direction=np.zeros((0, 2)),
    )
    return Sightings(*_joined([empty, *tables]))


def join_curves(tables: list[CurveSightings]) -> CurveSightings:
    """One table of several."""
    empty = CurveSightings(
        shot=np.zeros(0, dtype=np.int64),
        line=np.zeros(0, dtype=np.int64),
        sheet=np.zeros(0, dtype=np.int64),
        side=np.zeros(0, dtype=np.int64),
        pixels=np.zeros((0, 2)),
        sd_px=np.zeros(0),
        defined_mm=np.zeros(0),
        edge=np.zeros(0, dtype=np.int64),
    )
    return CurveSightings(*_joined([empty, *tables]))


def _joined(tables: Sequence[Sightings | CurveSightings]) -> list[Any]:
    names = [each.name for each in fields(tables[0])]
    return [np.concatenate([getattr(table, name) for table in tables]) for name in names]
