"""Starting values: photos, sheets and marks placed one after another, best tied first."""

from __future__ import annotations

from dataclasses import dataclass, field
from statistics import median
from typing import Final, TypeAlias

import numpy as np

from vision.adjust.edge_corners import with_edge_corners
from vision.adjust.network import CurveSightings, LineFrame, Network, Sightings
from vision.adjust.placing import (
    Pose,
    Rigid,
    fit_rigid,
    on_wall,
    onto_plane,
    plane_poses,
)
from vision.adjust.state import LENS, LINE, MARK, POSE, SHEET, State, layout_of
from vision.camera.projection import Intrinsics, undistort
from vision.units import FloatArray, IntArray

SHORTEST_HALF_MM: Final = 1.0
LOOSE_SPACING_MM: Final = 4000.0
CLASH_MM: Final = 130.0
"""Two sheets cannot lie closer than their width, so a shared sheet that is this far off plus
``CLASH_SHARE`` of the distance is another sheet of the same serial."""
CLASH_SHARE: Final = 0.10
TWIN_ERROR_RATIO: Final = 3.0
TWIN_ERROR_FLOOR: Final = 1e-4
"""Reprojection error, in units of the focal length, below which two poses are not told apart."""


_NO_ROWS: Final = np.zeros(0, dtype=np.int64)
_Tie: TypeAlias = tuple[list[Pose], int]
_NO_TIE: Final[_Tie] = ([], -1)


@dataclass
class _Placing:
    """What has been placed so far; private working state of one run."""

    sheets: dict[int, Rigid] = field(default_factory=dict)
    marks: dict[int, FloatArray] = field(default_factory=dict)
    shots: dict[int, Pose] = field(default_factory=dict)
    twins: dict[int, Pose] = field(default_factory=dict)
    roots: dict[tuple[str, int], int] = field(default_factory=dict)
    loose: set[int] = field(default_factory=set)
    clashes: set[int] = field(default_factory=set)


@dataclass(frozen=True)
class _Seen:
    """Where one pose of a photo puts its marks and the points (n, 2) of its sheets."""

    pose: Pose
    marks: dict[int, FloatArray]
    sheets: dict[int, FloatArray]


@dataclass(frozen=True)
class Start:
    """Starting values and what could not be tied.

    Attributes
    ----------
    state
        Values of all unknowns; only the shots in ``placed_shots`` have a pose.
    twins
        For each shot whose pose is doubtful, the second pose (rotation, shift).
    loose_sheets
        Sheets that no photo ties to the datum.
    unplaced_shots
        Photos that see no sheet and too few marks known from others.
    clashing_sheets
        Sheets that two photos see in places too far apart to be one sheet.
    line_frames
        Where each line lies on the wall, as the photo that shows most of it sees it.
    mark_roots
        For each placed mark the sheet from which its place was carried over; sizes between
        marks of different roots are not determined.
    """

    state: State
    twins: dict[int, Pose]
    loose_sheets: frozenset[int]
    unplaced_shots: tuple[int, ...]
    clashing_sheets: tuple[int, ...]
    mark_roots: dict[int, int]
    line_frames: tuple[LineFrame, ...]


def starting_values(network: Network, log_f: FloatArray) -> Start:
    """Place everything, with focal lengths exp(``log_f``) (lenses,)."""
    work = _Work(with_edge_corners(network), log_f)
    placing = _Placing()
    placing.sheets[network.datum_sheet] = Rigid(0.0, np.zeros(2))
    placing.roots["sheet", network.datum_sheet] = network.datum_sheet
    while len(placing.shots) < len(network.shots):
        if not (_place_next_shot(work, placing) or _start_loose(work, placing)):
            break
    unplaced = tuple(i for i in range(len(network.shots)) if i not in placing.shots)
    return Start(
        state=_assemble(network, log_f, placing),
        twins=placing.twins,
        loose_sheets=frozenset(placing.loose),
        unplaced_shots=unplaced,
        clashing_sheets=tuple(sorted(placing.clashes)),
        mark_roots={i: root for (kind, i), root in placing.roots.items() if kind == "mark"},
        line_frames=tuple(_line_frame(work, placing, i) for i in range(len(network.lines))),
    )


class _Work:
    """Sightings sorted by photo, with rays for the assumed focal lengths."""

    def __init__(self, network: Network, log_f: FloatArray) -> None:
        self.network = network
        seen = network.sightings
        self.rays = self._rays(log_f, seen)
        self.curve_rays = self._rays(log_f, network.curves)
        self._heights = np.zeros(len(seen.shot))
        marks = np.flatnonzero(seen.sheet < 0)
        standoffs = np.array([mark.standoff_mm for mark in network.marks])
        self._heights[marks] = standoffs[seen.point[marks]]
        self._rows = [_rows_of_sheets(seen, shot) for shot in range(len(network.shots))]
        self._sheets = [_most_points_first(rows) for rows in self._rows]

    def sheets_of(self, shot: int) -> list[int]:
        """Sheets seen in a photo with enough points, most points first."""
        return self._sheets[shot]

    def rows(self, shot: int, sheet: int) -> IntArray:
        """Rows of a sheet (or of all marks, with -1) in a photo."""
        return self._rows[shot].get(sheet, _NO_ROWS)

    def nominal(self, rows: IntArray) -> FloatArray:
        """Sheet points of rows, with the prior print scale."""
        seen = self.network.sightings
        sheet = self.network.sheets[int(seen.sheet[rows[0]])]
        scale = np.array(self.network.scale_groups[sheet.scale_group].mean)
        return np.asarray(sheet.points_mm[seen.point[rows]] * scale)

    def poses(self, shot: int, sheet: int) -> list[Pose]:
        """Poses of a photo against one of its sheets."""
        rows = self.rows(shot, sheet)
        return plane_poses(self.nominal(rows), self.rays[rows])

    def on_wall(self, shot: int, pose: Pose) -> _Seen:
        """Marks and sheets of a photo, placed on the wall through its pose."""
        blocks = [self.rows(shot, thing) for thing in (-1, *self.sheets_of(shot))]
        rows, ends = np.concatenate(blocks), np.cumsum([len(block) for block in blocks])
        points = onto_plane(pose, self.rays[rows], self._heights[rows])
        of_marks, *of_sheets = np.split(points, ends[:-1])
        marks, finite = self.network.sightings.point[blocks[0]], np.isfinite(of_marks).all(axis=1)
        return _Seen(
            pose,
            dict(zip(marks[finite].tolist(), of_marks[finite], strict=True)),
            dict(zip(self.sheets_of(shot), of_sheets, strict=True)),
        )

    def _rays(self, log_f: FloatArray, seen: Sightings | CurveSightings) -> FloatArray:
        shots = self.network.shots
        lens = np.array([shot.lens for shot in shots], dtype=np.int64)
        sizes = np.array([(s.width_px, s.height_px) for s in shots], dtype=np.float64)
        centre = ((sizes.reshape(-1, 2) - 1) / 2)[seen.shot]
        means = np.array([lens.mean for lens in self.network.lenses])[lens]
        k, f = means[:, 3:5][seen.shot], np.exp(log_f)[lens][seen.shot]
        camera = Intrinsics(f, centre[:, 0], centre[:, 1], k[:, 0], k[:, 1])
        return undistort(seen.pixels, camera)


def _rows_of_sheets(seen: Sightings, shot: int) -> dict[int, IntArray]:
    """Rows of a photo by sheet, those of marks under -1."""
    rows = np.flatnonzero(seen.shot == shot)
    sheets = seen.sheet[rows]
    return {sheet: rows[sheets == sheet] for sheet in sorted(set(sheets.tolist()))}


def _most_points_first(rows: dict[int, IntArray]) -> list[int]:
    enough = [sheet for sheet, own in rows.items() if sheet >= 0 and len(own) >= 4]
    return sorted(enough, key=lambda sheet: -len(rows[sheet]))


def _place_next_shot(work: _Work, placing: _Placing) -> bool:
    """Place the photo that is tied best to what is placed; False if none is."""
    waiting = [i for i in range(len(work.network.shots)) if i not in placing.shots]
    for tie in (_by_sheet, _by_marks, _by_own_sheet):
        for shot in waiting:
            poses, root = tie(work, placing, shot)
            if poses:
                _settle(work, placing, shot, poses, root)
                return True
    return False


def _by_sheet(work: _Work, placing: _Placing, shot: int) -> _Tie:
    for sheet in work.sheets_of(shot):
        if sheet in placing.sheets:
            poses = work.poses(shot, sheet)
            if poses:
                placed = [on_wall(pose, placing.sheets[sheet]) for pose in poses]
                return placed, placing.roots["sheet", sheet]
    return _NO_TIE


def _by_marks(work: _Work, placing: _Placing, shot: int) -> _Tie:
    rows = [r for r in work.rows(shot, -1) if _mark(work, r) in placing.marks]
    roots = {placing.roots["mark", _mark(work, r)] for r in rows}
    if len(rows) < 4 or len(roots) != 1:
        return _NO_TIE
    points = np.array([placing.marks[_mark(work, r)] for r in rows])
    return plane_poses(points, work.rays[np.array(rows)]), roots.pop()


def _by_own_sheet(work: _Work, placing: _Placing, shot: int) -> _Tie:
    """A photo of an unplaced sheet that shares two or more marks with what is placed."""
    for sheet in work.sheets_of(shot):
        for pose in work.poses(shot, sheet)[:1]:
            own = work.on_wall(shot, pose).marks
            shared = [m for m in own if m in placing.marks]
            roots = {placing.roots["mark", m] for m in shared}
            if len(shared) >= 2 and len(roots) == 1:
                motion = fit_rigid(
                    np.array([own[m] for m in shared]),
                    np.array([placing.marks[m] for m in shared]),
                )
                placing.sheets[sheet] = motion
                placing.roots["sheet", sheet] = min(roots)
                return [on_wall(pose, motion)], min(roots)
    return _NO_TIE


def _start_loose(work: _Work, placing: _Placing) -> bool:
    """Put a sheet that nothing ties well apart, so that its photo can be used by itself."""
    for shot in range(len(work.network.shots)):
        if shot in placing.shots:
            continue
        for sheet in work.sheets_of(shot):
            if sheet not in placing.sheets and work.poses(shot, sheet):
                away = LOOSE_SPACING_MM * (len(placing.loose) + 1)
                placing.sheets[sheet] = Rigid(0.0, np.array([away, 0.0]))
                placing.roots["sheet", sheet] = sheet
                placing.loose.add(sheet)
                return True
    return False


def _settle(work: _Work, placing: _Placing, shot: int, poses: list[Pose], root: int) -> None:
    """Take the pose that agrees best with all that is placed, and place what it adds."""
    ranked = sorted(
        (work.on_wall(shot, pose) for pose in poses),
        key=lambda seen: (_misfit(work, placing, shot, seen), seen.pose.error),
    )
    seen, pose = ranked[0], ranked[0].pose
    placing.shots[shot] = pose
    if len(ranked) > 1 and ranked[1].pose.error < TWIN_ERROR_RATIO * pose.error + TWIN_ERROR_FLOOR:
        placing.twins[shot] = ranked[1].pose
    for sheet, points in seen.sheets.items():
        if not np.isfinite(points).all():
            continue
        found = fit_rigid(work.nominal(work.rows(shot, sheet)), points)
        if sheet not in placing.sheets:
            placing.sheets[sheet] = found
            placing.roots["sheet", sheet] = root
        elif _clash(work, placing, shot, sheet, found):
            placing.clashes.add(sheet)
    _note_mark_clash(work, placing, shot, seen.marks)
    for mark, point in seen.marks.items():
        placing.marks.setdefault(mark, point)
        placing.roots.setdefault(("mark", mark), root)


def _misfit(work: _Work, placing: _Placing, shot: int, seen: _Seen) -> float:
    """Median distance on the wall between where a pose puts things and where they are."""
    gaps = _gaps(placing, seen.marks)
    for sheet, points in seen.sheets.items():
        if sheet in placing.sheets:
            expected = placing.sheets[sheet].apply(work.nominal(work.rows(shot, sheet)))
            gaps.append(float(np.hypot(*(points - expected).T).mean()))
    finite = [gap for gap in gaps if np.isfinite(gap)]
    return median(finite) if finite else np.inf


def _gaps(placing: _Placing, marks: dict[int, FloatArray]) -> list[float]:
    """How far marks lie from where they have been placed."""
    shared = [mark for mark in marks if mark in placing.marks]
    if not shared:
        return []
    off = np.array([marks[m] for m in shared]) - np.array([placing.marks[m] for m in shared])
    gaps: list[float] = np.hypot(*off.T).tolist()
    return gaps


def _clash(work: _Work, placing: _Placing, shot: int, sheet: int, found: Rigid) -> bool:
    middle = np.array([work.network.sheets[sheet].size_mm]) / 2
    expected = placing.sheets[sheet].apply(middle)[0]
    gap = float(np.linalg.norm(found.apply(middle)[0] - expected))
    others = [placing.sheets[s].shift for s in work.sheets_of(shot) if s in placing.sheets]
    reach = max(float(np.linalg.norm(expected - other)) for other in others)
    return gap > CLASH_MM + CLASH_SHARE * reach


def _note_mark_clash(
    work: _Work, placing: _Placing, shot: int, marks: dict[int, FloatArray]
) -> None:
    """Most shared marks lie elsewhere: the sheet that placed this photo is not the same one."""
    gaps = _gaps(placing, marks)
    sheets = [s for s in work.sheets_of(shot) if s in placing.sheets]
    if len(gaps) < 2 or len(sheets) != 1:
        return
    spread = np.ptp(np.array([placing.marks[m] for m in marks if m in placing.marks]), axis=0)
    # a few marks may be set wrong; a third that fit speak for the sheet
    fitting = sorted(gaps)[(len(gaps) - 1) // 3]
    if fitting > CLASH_MM + CLASH_SHARE * float(np.max(spread)):
        placing.clashes.add(sheets[0])


def _line_frame(work: _Work, placing: _Placing, line: int) -> LineFrame:
    """A line through all points of it that a placed photo shows.

    Each photo puts its points a little beside where the others do, so that the direction comes
    from the photo that follows the line farthest, the stretch from all.
    """
    seen = work.network.curves
    height = work.network.lines[line].standoff_mm
    found: list[FloatArray] = []
    for shot, pose in placing.shots.items():
        rows = np.flatnonzero((seen.line == line) & (seen.shot == shot))
        points = onto_plane(pose, work.curve_rays[rows], np.full(len(rows), height))
        points = points[np.all(np.isfinite(points), axis=1)]
        if len(points) >= 2:
            found.append(points)
    if not found:
        return LineFrame(np.zeros(2), 0.0, 1.0)
    longest = max(found, key=lambda points: float(np.max(np.ptp(points, axis=0))))
    centred = longest - longest.mean(axis=0)
    along = np.linalg.svd(centred, full_matrices=False)[2][0]
    reach = (np.concatenate(found) - longest.mean(axis=0)) @ along
    middle = longest.mean(axis=0) + along * (reach.max() + reach.min()) / 2
    half = max(float(np.ptp(reach)) / 2, SHORTEST_HALF_MM)
    return LineFrame(middle, float(np.arctan2(along[1], along[0])), half)


def _mark(work: _Work, row: int) -> int:
    return int(work.network.sightings.point[row])


def _assemble(network: Network, log_f: FloatArray, placing: _Placing) -> State:
    layout = layout_of(network)
    x = np.zeros(layout.size)
    rotations = np.tile(np.eye(3), (len(network.shots), 1, 1))
    for shot, pose in placing.shots.items():
        rotations[shot] = pose.rotation
        x[POSE * shot + 3 : POSE * shot + 6] = pose.shift
    for index, lens in enumerate(network.lenses):
        start = layout.lens + LENS * index
        x[start : start + LENS] = lens.mean
        x[start] = log_f[index]
    for index, sheet in enumerate(network.sheets):
        start = layout.sheet + SHEET * index
        x[start + 3] = sheet.standoff_mm
        if index in placing.sheets:
            x[start : start + 2] = placing.sheets[index].shift
            x[start + 2] = placing.sheets[index].angle
    x[layout.scale : layout.mark] = [v for group in network.scale_groups for v in group.mean]
    for index, line in enumerate(network.lines):
        x[layout.line + LINE * index + 3] = line.standoff_mm
    for index, mark in enumerate(network.marks):
        start = layout.mark + MARK * index
        x[start : start + 2] = placing.marks.get(index, np.zeros(2))
        x[start + 2] = mark.standoff_mm
    return State(rotations, x)


def mark_places(network: Network, start: Start) -> list[dict[int, FloatArray]]:
    """Where each photo, by its own starting pose, puts its marks: wall frame, mm, by mark."""
    layout = layout_of(network)
    log_f = start.state.x[layout.lens : layout.exposure].reshape(-1, LENS)[:, 0]
    work = _Work(with_edge_corners(network), log_f)
    shifts = start.state.x[layout.pose : layout.lens].reshape(-1, POSE)[:, 3:]
    poses = zip(start.state.rotations, shifts, strict=True)
    return [work.on_wall(i, Pose(turn, shift, 0.0)).marks for i, (turn, shift) in enumerate(poses)]
