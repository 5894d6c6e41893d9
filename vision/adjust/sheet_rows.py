"""Points of cards and rectangles on the wall, and how the unknowns move them.

A sheet stands off the wall by its height, its tilts about the middle, and a parabolic bow along
each side whose mean over the side is zero.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from vision.adjust.network import Network
from vision.adjust.state import SCALE, SHEET, Layout, State
from vision.units import FloatArray, IntArray

SHEET_COLUMNS: Final = SHEET + SCALE
"""Unknowns on which a sheet's point depends: its own, and its print scale."""


class SheetPoints:
    """Points of given sheets, (n, 2) nominal mm each, for any state."""

    def __init__(
        self, network: Network, layout: Layout, sheets: IntArray, nominal: FloatArray
    ) -> None:
        self._layout, self._sheets, self._nominal = layout, sheets, nominal
        size = np.array([sheet.size_mm for sheet in network.sheets]).reshape(-1, 2)[sheets]
        from_middle = nominal - size / 2
        bow = (2 * from_middle / size) ** 2 - 1 / 3
        self._lifted = np.concatenate([np.ones((len(nominal), 1)), from_middle, bow], axis=1)
        groups = np.array([sheet.scale_group for sheet in network.sheets], dtype=np.int64)
        self._group_of_sheet = groups
        self.columns: IntArray = np.concatenate(
            [
                layout.sheet + SHEET * sheets[:, None] + np.arange(SHEET),
                layout.scale + SCALE * groups[sheets][:, None] + np.arange(SCALE),
            ],
            axis=1,
        )

    def points(self, state: State) -> FloatArray:
        """(n, 3), wall frame, mm."""
        placed, turns, scales = self._placed(state)
        sheets = self._sheets
        found = np.empty((len(sheets), 3))
        # the turn joined with the print scale maps nominal points onto the wall
        maps = turns * scales[:, None, :]
        found[:, :2] = (maps[sheets] @ self._nominal[:, :, None])[:, :, 0] + placed[sheets, :2]
        found[:, 2] = (placed[sheets, 3:8] * self._lifted).sum(axis=1)
        return found

    def derivatives(self, state: State) -> FloatArray:
        """(n, 3, 10) with respect to x, y, turn, height, two tilts, two bows, two scales."""
        _, turns, scales = self._placed(state)
        sheets = self._sheets
        flat = ((turns * scales[:, None, :])[sheets] @ self._nominal[:, :, None])[:, :, 0]
        slopes = np.zeros((len(sheets), 3, SHEET_COLUMNS))
        slopes[:, 0, 0] = slopes[:, 1, 1] = 1.0
        slopes[:, 0, 2], slopes[:, 1, 2] = -flat[:, 1], flat[:, 0]
        slopes[:, 2, 3:8] = self._lifted
        slopes[:, :2, SHEET:] = turns[sheets] * self._nominal[:, None, :]
        return slopes

    def _placed(self, state: State) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Of each sheet: its unknowns (m, 8), its turn (m, 2, 2), its print scale (m, 2)."""
        layout = self._layout
        placed = state.x[layout.sheet : layout.scale].reshape(-1, SHEET)
        scales = state.x[layout.scale : layout.mark].reshape(-1, SCALE)[self._group_of_sheet]
        return placed, turn_matrices(placed[:, 2]), scales


def turn_matrices(angles: FloatArray) -> FloatArray:
    """(n, 2, 2) rotations by angles (n,), radians from x towards y."""
    turns = np.empty((len(angles), 2, 2))
    turns[:, 0, 0] = turns[:, 1, 1] = np.cos(angles)
    turns[:, 1, 0] = np.sin(angles)
    turns[:, 0, 1] = -turns[:, 1, 0]
    return turns
