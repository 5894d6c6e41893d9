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
    """Given points of given sheets, for any state."""

    def __init__(
        self, network: Network, layout: Layout, sheets: IntArray, points: IntArray
    ) -> None:
        self._layout, self._sheets = layout, sheets
        pairs = zip(sheets, points, strict=True)
        nominal = [network.sheets[sheet].points_mm[point] for sheet, point in pairs]
        self._nominal = np.array(nominal).reshape(-1, 2)
        size = np.array([sheet.size_mm for sheet in network.sheets]).reshape(-1, 2)[sheets]
        self._from_middle = self._nominal - size / 2
        self._bow = (2 * self._from_middle / size) ** 2 - 1 / 3
        groups = np.array([sheet.scale_group for sheet in network.sheets], dtype=np.int64)[sheets]
        self._groups = groups
        self.columns: IntArray = np.concatenate(
            [
                layout.sheet + SHEET * sheets[:, None] + np.arange(SHEET),
                layout.scale + SCALE * groups[:, None] + np.arange(SCALE),
            ],
            axis=1,
        )

    def points(self, state: State) -> FloatArray:
        """(n, 3), wall frame, mm."""
        placed = self._placed(state)
        height = (
            placed[:, 3]
            + np.einsum("ni,ni->n", placed[:, 4:6], self._from_middle)
            + np.einsum("ni,ni->n", placed[:, 6:8], self._bow)
        )
        return np.column_stack([placed[:, :2] + self._flat(state, placed), height])

    def derivatives(self, state: State) -> FloatArray:
        """(n, 3, 10) with respect to x, y, turn, height, two tilts, two bows, two scales."""
        placed = self._placed(state)
        flat = self._flat(state, placed)
        dp = np.zeros((len(flat), 3, SHEET_COLUMNS))
        dp[:, 0, 0] = dp[:, 1, 1] = dp[:, 2, 3] = 1.0
        dp[:, 0, 2], dp[:, 1, 2] = -flat[:, 1], flat[:, 0]
        dp[:, 2, 4:6], dp[:, 2, 6:8] = self._from_middle, self._bow
        dp[:, :2, SHEET:] = _turns(placed) * self._nominal[:, None, :]
        return dp

    def _placed(self, state: State) -> FloatArray:
        block = state.x[self._layout.sheet : self._layout.scale].reshape(-1, SHEET)
        return np.asarray(block[self._sheets])

    def _flat(self, state: State, placed: FloatArray) -> FloatArray:
        scales = state.x[self._layout.scale : self._layout.mark].reshape(-1, SCALE)[self._groups]
        flat: FloatArray = np.einsum("nij,nj->ni", _turns(placed), self._nominal * scales)
        return flat


def _turns(placed: FloatArray) -> FloatArray:
    cos, sin = np.cos(placed[:, 2]), np.sin(placed[:, 2])
    turns: FloatArray = np.stack([np.stack([cos, -sin], -1), np.stack([sin, cos], -1)], axis=1)
    return turns
