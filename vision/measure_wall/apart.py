"""A mark that photos put in different places: widened to what lies between them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations

import numpy as np

from vision.adjust.network import Network
from vision.adjust.start import Start
from vision.adjust.state import POSE, layout_of
from vision.units import FloatArray, IntArray

Places = Sequence[dict[int, FloatArray]]
AS_GOOD_AS_NOT = 1e8
"""Times a covariance, so that a sighting pulls at nothing and its mark stays in place."""


def as_good_as_unseen(network: Network, rows: IntArray) -> Network:
    """The network with sightings that count for next to nothing."""
    covariance = network.sightings.covariance_px2.copy()
    covariance[rows] *= AS_GOOD_AS_NOT
    return replace(network, sightings=replace(network.sightings, covariance_px2=covariance))


def widened_to_gap(network: Network, rows: IntArray, start: Start, places: Places) -> Network:
    """The network with sightings of one mark as uncertain as they lie apart.

    ``places`` are where each photo by its own pose in ``start`` puts its marks. Each of two
    sightings gets the gap over the root of two, in its own pixels, so that the place between them
    is uncertain by half the gap.
    """
    seen, layout, state = network.sightings, layout_of(network), start.state
    mark = int(seen.point[rows[0]])
    points = [places[shot][mark] for shot in seen.shot[rows] if mark in places[shot]]
    gap = max((float(np.linalg.norm(a - b)) for a, b in combinations(points, 2)), default=0.0)
    shifts = state.x[layout.pose : layout.lens].reshape(-1, POSE)[:, 3:]
    covariance = seen.covariance_px2.copy()
    for row in rows:
        shot = int(seen.shot[row])
        focal = float(np.exp(network.lenses[network.shots[shot].lens].mean[0]))
        wide = gap * focal / float(np.linalg.norm(shifts[shot])) / np.sqrt(2)
        covariance[row] = covariance[row] + wide**2 * np.eye(2)
    return replace(network, sightings=replace(seen, covariance_px2=covariance))
