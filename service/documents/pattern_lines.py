"""Simulated tile on a panel's front view: level joints, and upright ones course by course."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from service.documents.clipping import level_runs, upright_runs
from service.documents.drawing import Layer, Line, Place, Primitive

if TYPE_CHECKING:
    from service.panels.model import Panel, PanelPattern


def pattern_lines(panel: Panel, edge: tuple[Place, ...]) -> list[Primitive]:
    """One light line per joint, at the height or place that the plan states for it.

    Where every second course is shifted, each upright joint is drawn in its own courses only.
    """
    pattern = panel.pattern
    if pattern is None:
        return []
    lines: list[Primitive] = []
    for joint in pattern.course_joints:
        for left, right in level_runs(edge, -joint.mm):
            lines.append(Line(Layer.PATTERN, Place(left, -joint.mm), Place(right, -joint.mm)))
    for number, joints in enumerate((pattern.column_joints, pattern.other_columns)):
        for joint in joints:
            x = panel.front_sign * joint.mm
            for low, high in _in_courses(upright_runs(edge, x), pattern, number):
                lines.append(Line(Layer.PATTERN, Place(x, low), Place(x, high)))
    return lines


def _in_courses(
    runs: tuple[tuple[float, float], ...], pattern: PanelPattern, first: int
) -> list[tuple[float, float]]:
    """The runs cut to every second course, from the `first` (0 is the top one); y up."""
    if not pattern.other_columns:
        return list(runs)
    tops = [0.0, *(-(joint.mm + pattern.joint_mm) for joint in pattern.course_joints)]
    ends = [*(-joint.mm for joint in pattern.course_joints), -math.inf]
    courses = list(zip(tops, ends, strict=True))[first::2]
    cut = [
        (max(low, end), min(high, top)) for low, high in runs for top, end in courses
    ]  # fmt: skip
    return [(low, high) for low, high in cut if high - low > 1e-6]
