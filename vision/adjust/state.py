"""The unknowns: where each stands in the vector, and how a step moves them.

Rotations are kept as matrices and moved by a left-multiplied small rotation; everything else is
one vector ``x`` whose rotation slots stay zero.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from vision.adjust.network import FREE, Network
from vision.units import FloatArray

POSE, LENS, EXPOSURE, SHEET, SCALE, MARK, LINE = 6, 5, 3, 8, 2, 3, 6
"""Unknowns of each kind: rotation and shift; log f, cx, cy, k1, k2; relative f, cx, cy;
x, y, turn, height, two tilts, two bows; x and y scale; x, y, z; offset, turn and bow in the wall,
height, tilt and bow out of it."""
LOOSE_PLACE_MM = 5e3
LOOSE_TURN_RAD = 1.5
DATUM_U = 1e-6
"""Spread that holds the datum sheet's place and turn: far below any observation's."""


@dataclass(frozen=True)
class Layout:
    """First index of each kind of unknown in the vector."""

    shots: int
    lenses: int
    sheets: int
    scales: int
    marks: int
    edges: int
    lines: int

    @property
    def pose(self) -> int:
        return 0

    @property
    def lens(self) -> int:
        return self.shots * POSE

    @property
    def exposure(self) -> int:
        return self.lens + self.lenses * LENS

    @property
    def sheet(self) -> int:
        return self.exposure + self.shots * EXPOSURE

    @property
    def scale(self) -> int:
        return self.sheet + self.sheets * SHEET

    @property
    def mark(self) -> int:
        return self.scale + self.scales * SCALE

    @property
    def edge(self) -> int:
        return self.mark + self.marks * MARK

    @property
    def line(self) -> int:
        return self.edge + self.edges

    @property
    def size(self) -> int:
        return self.line + self.lines * LINE


@dataclass(frozen=True)
class State:
    """Values of all unknowns: rotations (s, 3, 3) ``R_camera_wall`` and the vector (p,)."""

    rotations: FloatArray
    x: FloatArray

    def moved(self, step: FloatArray) -> State:
        """This state after a step of the whole vector."""
        shots = len(self.rotations)
        x = self.x + step
        turns = step[: shots * POSE].reshape(shots, POSE)[:, :3]
        x[: shots * POSE].reshape(shots, POSE)[:, :3] = 0.0
        return State(_rotations(turns) @ self.rotations, x)


def _rotations(turns: FloatArray) -> FloatArray:
    """(n, 3, 3) rotations by vectors (n, 3), by Cayley's formula.

    The same as the exponential to second order, and a rotation however long the vector is.
    """
    half = turns / 2
    cross = np.zeros((len(turns), 3, 3))
    x, y, z = half.T
    cross[:, 2, 1], cross[:, 0, 2], cross[:, 1, 0] = x, y, z
    cross -= np.swapaxes(cross, 1, 2)
    share = 2 / (1 + (half * half).sum(axis=1))
    return np.asarray(np.eye(3) + share[:, None, None] * (cross + cross @ cross))


def layout_of(network: Network) -> Layout:
    """Where the network's unknowns stand."""
    return Layout(
        shots=len(network.shots),
        lenses=len(network.lenses),
        sheets=len(network.sheets),
        scales=len(network.scale_groups),
        marks=len(network.marks),
        edges=len(network.edge_u_px),
        lines=len(network.lines),
    )


def prior_means_and_spreads(network: Network) -> tuple[FloatArray, FloatArray]:
    """Mean and standard deviation (p,) of each unknown; ``FREE`` where there is no prior.

    Lens constants are left ``FREE`` here, since their prior may be correlated.
    """
    layout = layout_of(network)
    mean, spread = np.zeros(layout.size), np.full(layout.size, FREE)
    exposure = spread[layout.exposure : layout.sheet].reshape(-1, EXPOSURE)
    for index, shot in enumerate(network.shots):
        exposure[index] = shot.focus_u, shot.stabiliser_u_px, shot.stabiliser_u_px
    _sheet_priors(network, layout, mean, spread)
    scale = slice(layout.scale, layout.mark)
    mean[scale] = [value for group in network.scale_groups for value in group.mean]
    spread[scale] = [value for group in network.scale_groups for value in group.u]
    heights = slice(layout.mark + 2, layout.edge, MARK)
    mean[heights] = [mark.standoff_mm for mark in network.marks]
    spread[heights] = [mark.standoff_u_mm for mark in network.marks]
    spread[layout.edge : layout.line] = network.edge_u_px
    for index, line in enumerate(network.lines):
        start = layout.line + LINE * index
        mean[start + 3] = line.standoff_mm
        spread[start + 2 : start + LINE] = line.bow_u_mm, *line.height_u_mm
    return mean, spread


def _sheet_priors(network: Network, layout: Layout, mean: FloatArray, spread: FloatArray) -> None:
    means = mean[layout.sheet : layout.scale].reshape(-1, SHEET)
    spreads = spread[layout.sheet : layout.scale].reshape(-1, SHEET)
    for index, sheet in enumerate(network.sheets):
        means[index, 3] = sheet.standoff_mm
        spreads[index, 3] = sheet.standoff_u_mm
        spreads[index, 4:6] = sheet.tilt_u_rad
        spreads[index, 6:8] = sheet.bow_u_mm
        if index == network.datum_sheet:
            spreads[index, :3] = DATUM_U
        elif index in network.loose_sheets:
            spreads[index, :3] = LOOSE_PLACE_MM, LOOSE_PLACE_MM, LOOSE_TURN_RAD
