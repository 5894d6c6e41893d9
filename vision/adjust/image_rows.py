"""Rows of the adjustment that come from photos: predicted pixels and their derivatives."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

from vision.adjust.network import Network
from vision.adjust.state import EXPOSURE, LENS, MARK, POSE, SCALE, SHEET, Layout, State
from vision.camera.projection import Intrinsics, Projection, project
from vision.units import FloatArray, IntArray

Put: TypeAlias = Callable[[IntArray, FloatArray], None]
BEHIND = 1.0
"""Points nearer to the camera plane than this, in mm, make a state impossible."""


@dataclass(frozen=True)
class WallPoints:
    """Points in the wall frame and how the unknowns move them.

    ``columns`` (n, k) are indices of unknowns, ``dp`` (n, 3, k) the derivatives; a column whose
    derivative is zero may repeat one.
    """

    points_mm: FloatArray
    columns: IntArray
    dp: FloatArray


def wall_points(network: Network, layout: Layout, state: State) -> WallPoints:
    """The wall-frame point of every sighting."""
    seen = network.sightings
    count, width = len(seen.shot), SHEET + SCALE
    points, dp = np.zeros((count, 3)), np.zeros((count, 3, width))
    columns = np.zeros((count, width), dtype=np.int64)
    is_mark = seen.sheet < 0
    if np.any(is_mark):
        start = layout.mark + MARK * seen.point[is_mark]
        columns[is_mark, :MARK] = start[:, None] + np.arange(MARK)
        points[is_mark] = state.x[columns[is_mark, :MARK]]
        dp[is_mark, :, :MARK] = np.eye(3)
    if not np.all(is_mark):
        rows = ~is_mark
        points[rows], columns[rows], dp[rows] = _sheet_points(
            network, layout, state, seen.sheet[rows], seen.point[rows]
        )
    return WallPoints(points, columns, dp)


def predict_pixels(network: Network, layout: Layout, state: State) -> FloatArray:
    """Predicted pixel (n, 2) of every sighting; NaN for points behind their camera."""
    in_camera = _in_camera(network, layout, state, wall_points(network, layout, state))
    pixels = project(in_camera, cameras_of_sightings(network, layout, state)).pixels
    pixels = pixels + _edge_shift(network, layout, state)
    pixels[in_camera[:, 2] < BEHIND] = np.nan
    return pixels


def predict_with_jacobian(
    network: Network, layout: Layout, state: State
) -> tuple[FloatArray, FloatArray]:
    """Predicted pixels (n, 2) and their derivatives (n, 2, p)."""
    seen = network.sightings
    points = wall_points(network, layout, state)
    in_camera = _in_camera(network, layout, state, points)
    projection = project(in_camera, cameras_of_sightings(network, layout, state))
    rotations = state.rotations[seen.shot]
    jacobian = np.zeros((len(seen.shot), 2, layout.size))
    rows = np.arange(len(seen.shot))[:, None, None]
    axes = np.arange(2)[None, :, None]

    def put(columns: IntArray, values: FloatArray) -> None:
        # a repeated column carries a zero derivative, so the last of its writes changes nothing
        jacobian[rows, axes, columns[:, None, :]] += values

    dq_dwall = projection.dq_dpoint @ rotations
    put(points.columns, dq_dwall @ points.dp)
    turned = np.einsum("nij,nj->ni", rotations, points.points_mm)
    dq_dpose = np.concatenate(
        [-projection.dq_dpoint @ _cross_matrices(turned), projection.dq_dpoint], axis=2
    )
    put(POSE * seen.shot[:, None] + np.arange(POSE), dq_dpose)
    _put_camera(network, layout, state, projection, put)
    edges = seen.edge >= 0
    if np.any(edges):
        columns = (layout.edge + seen.edge[edges])[:, None, None]
        index = np.flatnonzero(edges)[:, None, None]
        jacobian[index, axes, columns] = seen.edge_direction[edges][:, :, None]
    return projection.pixels + _edge_shift(network, layout, state), jacobian


def cameras_of_sightings(network: Network, layout: Layout, state: State) -> Intrinsics:
    """Camera constants of each sighting's photo."""
    shots = network.sightings.shot
    constants = camera_constants(network, layout, state)[shots]
    return Intrinsics(*(constants[:, column] for column in range(5)))


def camera_constants(network: Network, layout: Layout, state: State) -> FloatArray:
    """(s, 5): f, cx, cy in the upright picture, k1, k2 of each photo."""
    lens_of_shot = np.array([shot.lens for shot in network.shots], dtype=np.int64)
    lenses = state.x[layout.lens : layout.exposure].reshape(-1, LENS)[lens_of_shot]
    exposure = state.x[layout.exposure : layout.sheet].reshape(-1, EXPOSURE)
    turns = np.array([shot.sensor_turn for shot in network.shots]).reshape(-1, 2, 2)
    sizes = np.array([(shot.width_px, shot.height_px) for shot in network.shots]).reshape(-1, 2)
    centre = (sizes - 1) / 2 + np.einsum("sij,sj->si", turns, lenses[:, 1:3]) + exposure[:, 1:3]
    f = np.exp(lenses[:, 0]) * (1 + exposure[:, 0])
    return np.column_stack([f, centre, lenses[:, 3:5]])


def sheet_surface(
    network: Network, layout: Layout, state: State, sheet: int, points_mm: FloatArray
) -> FloatArray:
    """Wall-frame points (n, 3) of nominal sheet points (n, 2)."""
    index = np.full(len(points_mm), sheet)
    return _place_on_wall(network, layout, state, index, points_mm)[0]


def _in_camera(network: Network, layout: Layout, state: State, points: WallPoints) -> FloatArray:
    shots = network.sightings.shot
    shifts = state.x[: layout.lens].reshape(-1, POSE)[shots, 3:]
    turned = np.einsum("nij,nj->ni", state.rotations[shots], points.points_mm)
    return np.asarray(turned + shifts)


def _edge_shift(network: Network, layout: Layout, state: State) -> FloatArray:
    seen = network.sightings
    offsets = np.append(state.x[layout.edge :], 0.0)[seen.edge]
    return np.asarray(offsets[:, None] * seen.edge_direction)


def _put_camera(
    network: Network, layout: Layout, state: State, projection: Projection, put: Put
) -> None:
    """Derivatives with respect to the lens and to this exposure's departures from it."""
    shots = network.sightings.shot
    lens = np.array([shot.lens for shot in network.shots], dtype=np.int64)[shots]
    turns = np.array([shot.sensor_turn for shot in network.shots])[shots]
    dlog = projection.dq_dlogf[:, :, None]
    put(
        layout.lens + LENS * lens[:, None] + np.arange(LENS),
        np.concatenate([dlog, turns, projection.dq_dk], axis=2),
    )
    focus = state.x[layout.exposure : layout.sheet].reshape(-1, EXPOSURE)[shots, 0]
    identity = np.broadcast_to(np.eye(2), (len(shots), 2, 2))
    put(
        layout.exposure + EXPOSURE * shots[:, None] + np.arange(EXPOSURE),
        np.concatenate([dlog / (1 + focus)[:, None, None], identity], axis=2),
    )


def _sheet_points(
    network: Network, layout: Layout, state: State, sheets: IntArray, point: IntArray
) -> tuple[FloatArray, IntArray, FloatArray]:
    nominal = np.array([network.sheets[s].points_mm[i] for s, i in zip(sheets, point, strict=True)])
    points, dp = _place_on_wall(network, layout, state, sheets, nominal)
    group = np.array([sheet.scale_group for sheet in network.sheets])[sheets]
    columns = np.concatenate(
        [
            layout.sheet + SHEET * sheets[:, None] + np.arange(SHEET),
            layout.scale + SCALE * group[:, None] + np.arange(SCALE),
        ],
        axis=1,
    )
    return points, columns, dp


def _place_on_wall(
    network: Network, layout: Layout, state: State, sheets: IntArray, nominal: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Points (n, 3) and their derivatives (n, 3, 10) for nominal sheet points (n, 2).

    A sheet stands off the wall by its height, its tilts about the middle, and a parabolic bow
    along each side that is zero in the mean over the side.
    """
    placed = state.x[layout.sheet : layout.scale].reshape(-1, SHEET)[sheets]
    group = np.array([sheet.scale_group for sheet in network.sheets])[sheets]
    scale = state.x[layout.scale : layout.mark].reshape(-1, SCALE)[group]
    size = np.array([sheet.size_mm for sheet in network.sheets])[sheets]
    cos, sin = np.cos(placed[:, 2]), np.sin(placed[:, 2])
    turn = np.stack([np.stack([cos, -sin], -1), np.stack([sin, cos], -1)], axis=1)
    flat = np.einsum("nij,nj->ni", turn, nominal * scale)
    from_middle = nominal - size / 2
    bow = (2 * from_middle / size) ** 2 - 1 / 3
    height = (
        placed[:, 3]
        + np.einsum("ni,ni->n", placed[:, 4:6], from_middle)
        + np.einsum("ni,ni->n", placed[:, 6:8], bow)
    )
    dp = np.zeros((len(nominal), 3, SHEET + SCALE))
    dp[:, 0, 0] = dp[:, 1, 1] = dp[:, 2, 3] = 1.0
    dp[:, 0, 2], dp[:, 1, 2] = -flat[:, 1], flat[:, 0]
    dp[:, 2, 4:6], dp[:, 2, 6:8] = from_middle, bow
    dp[:, :2, SHEET:] = turn * nominal[:, None, :]
    return np.column_stack([placed[:, :2] + flat, height]), dp


def _cross_matrices(vectors: FloatArray) -> FloatArray:
    matrices = np.zeros((len(vectors), 3, 3))
    x, y, z = vectors.T
    matrices[:, 0, 1], matrices[:, 0, 2], matrices[:, 1, 2] = -z, y, -x
    matrices[:, 1, 0], matrices[:, 2, 0], matrices[:, 2, 1] = z, -y, x
    return matrices
