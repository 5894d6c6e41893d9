"""Rows of the adjustment that come from points seen in photos: cards' corners and marks."""

from __future__ import annotations

import numpy as np

from vision.adjust.network import Network
from vision.adjust.sheet_rows import SHEET_COLUMNS, SheetPoints
from vision.adjust.state import MARK, Layout, State
from vision.adjust.views import VIEW_COLUMNS, Views
from vision.units import FloatArray, IntArray


class ImageRows:
    """Predicted pixel of every sighting of a network, for any state.

    What depends on the network alone (which unknowns a sighting depends on, and in which
    column) is worked out once.
    """

    def __init__(self, network: Network, layout: Layout, views: Views) -> None:
        seen = network.sightings
        self._layout, self._views, self._seen = layout, views, seen
        self._mark_rows = np.flatnonzero(seen.sheet < 0)
        self._sheet_rows = np.flatnonzero(seen.sheet >= 0)
        self._edge_rows = np.flatnonzero(seen.edge >= 0)
        pairs = zip(seen.sheet[self._sheet_rows], seen.point[self._sheet_rows], strict=True)
        nominal = [network.sheets[sheet].points_mm[point] for sheet, point in pairs]
        self._sheets = SheetPoints(
            network, layout, seen.sheet[self._sheet_rows], np.array(nominal).reshape(-1, 2)
        )
        self._mark_columns = (layout.mark + MARK * seen.point[self._mark_rows])[
            :, None
        ] + np.arange(MARK)
        self.columns: IntArray = self._all_columns()

    def predict(self, state: State) -> FloatArray:
        """Predicted pixels (n, 2); NaN for points behind their camera."""
        points = self.points(state)
        return self._views.pixels(state, self._seen.shot, points) + self._edge_shift(state)

    def linearise(self, state: State) -> tuple[FloatArray, FloatArray]:
        """Predicted pixels (n, 2), and derivatives (n, 2, k) by the unknowns of ``columns``."""
        looked = self._views.look(state, self._seen.shot, self.points(state))
        slopes = np.zeros((len(looked.pixels), 2, self.columns.shape[1]))
        slopes[:, :, :VIEW_COLUMNS] = looked.by_view
        marks, sheets = self._mark_rows, self._sheet_rows
        slopes[marks, :, VIEW_COLUMNS : VIEW_COLUMNS + MARK] = looked.by_point[marks]
        slopes[sheets, :, VIEW_COLUMNS : VIEW_COLUMNS + SHEET_COLUMNS] = looked.by_point[
            sheets
        ] @ self._sheets.derivatives(state)
        slopes[:, :, -1] = self._seen.edge_direction
        return looked.pixels + self._edge_shift(state), slopes

    def points(self, state: State) -> FloatArray:
        """Points (n, 3) of the wall that were seen, wall frame."""
        points = np.empty((len(self._seen.shot), 3))
        points[self._mark_rows] = state.x[self._mark_columns]
        points[self._sheet_rows] = self._sheets.points(state)
        return points

    def _all_columns(self) -> IntArray:
        """(n, 25) column of each derivative; one past the last where there is none."""
        count = len(self._seen.shot)
        columns = np.full((count, VIEW_COLUMNS + SHEET_COLUMNS + 1), self._layout.size)
        columns[:, :VIEW_COLUMNS] = self._views.columns(self._seen.shot)
        columns[self._mark_rows, VIEW_COLUMNS : VIEW_COLUMNS + MARK] = self._mark_columns
        columns[self._sheet_rows, VIEW_COLUMNS:-1] = self._sheets.columns
        columns[self._edge_rows, -1] = self._layout.edge + self._seen.edge[self._edge_rows]
        return columns

    def _edge_shift(self, state: State) -> FloatArray:
        if len(self._edge_rows) == 0:
            return np.zeros((1, 2))
        offsets = np.append(state.x[self._layout.edge : self._layout.line], 0.0)[self._seen.edge]
        return np.asarray(offsets[:, None] * self._seen.edge_direction)
