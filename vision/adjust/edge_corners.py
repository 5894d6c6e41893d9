"""Corners of sheets of which only edges were seen, good enough to start from."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from vision.adjust.network import CurveSightings, Network, Sightings, join_sightings
from vision.units import FloatArray


def with_edge_corners(network: Network) -> Network:
    """The network with a sighting for each corner where two edges of a sheet meet in a photo."""
    seen = network.curves
    pairs = sorted(set(zip(seen.shot.tolist(), seen.sheet.tolist(), strict=True)))
    tables = [_corners(seen, shot, sheet) for shot, sheet in pairs if sheet >= 0]
    if not tables:
        return network
    return replace(network, sightings=join_sightings([network.sightings, *tables]))


def _corners(seen: CurveSightings, shot: int, sheet: int) -> Sightings:
    rows = (seen.shot == shot) & (seen.sheet == sheet)
    sides = [_line(seen.pixels[rows & (seen.side == side)]) for side in range(4)]
    meeting = [np.cross(sides[corner - 1], sides[corner]) for corner in range(4)]
    return Sightings(
        shot=np.full(4, shot),
        sheet=np.full(4, sheet),
        point=np.arange(4),
        pixels=np.array([point[:2] / point[2] for point in meeting]),
        covariance_px2=np.tile(np.eye(2), (4, 1, 1)),
        defined_mm=np.zeros(4),
        edge=np.full(4, -1),
        edge_direction=np.zeros((4, 2)),
    )


def _line(pixels: FloatArray) -> FloatArray:
    """The line (a, b, c) with a x + b y + c = 0 that fits points (n, 2) best."""
    middle = pixels.mean(axis=0)
    normal = np.linalg.svd(pixels - middle)[2][1]
    return np.array([*normal, -normal @ middle])
