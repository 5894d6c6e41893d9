"""The facts under a panel's drawing, and the steps page in words."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from service.documents.pdf.number_column import Heading, Row, Words
from service.documents.wording import edge_words, inches, millimetres, reference_words

if TYPE_CHECKING:
    from service.panels.model import Panel, PanelPattern

_NUMBER_MM: Final = 10.0
_LABEL_MM: Final = 52.0


def facts(panel: Panel) -> tuple[Row, ...]:
    """Sheet, box, finished edges and returns, for the foot of both views."""
    box = panel.box
    rows: list[Row] = []
    if panel.sheet:
        sheet = panel.sheet
        edges = " + ".join(sheet.finished) or "none"
        hand = "" if sheet.hand == "none" else f", {sheet.hand.upper()} hand"
        rows.append(Words("Sheet", f"{sheet.name}{hand}"))
        rows.append(Words("Finished", f"{edges} (as seen from the room)"))
    else:
        rows.append(Words("Sheet", "none in stock fits: see the plan's warnings"))
    rows.append(Words("Box", f"{inches(box.width)} x {inches(box.height)}"))
    rows += [
        Words("Return", f"{edge_words(turn.edge)} {inches(turn.depth)}") for turn in panel.returns
    ]
    rows.append(Words("Black corner", f"{_corner_words(panel)}; chain lines are level and plumb"))
    return tuple(rows)


def steps(panel: Panel) -> tuple[Row, ...]:
    """Everything about one panel in words, in the order it is done."""
    rows: list[Row] = []
    if panel.why_not:
        rows.append(Heading("WHY THIS SHEET IS NOT FOR CUTTING"))
        rows += [Words("•", reason, _NUMBER_MM) for reason in panel.why_not]
    rows.append(Heading(f"MARKS: from the finished TOP and the {reference_words(panel)}"))
    rows += [
        Words(str(mark.order), mark.how, _NUMBER_MM)
        for mark in sorted(panel.marks, key=lambda mark: mark.order)
    ]
    rows += _hole_words(panel)
    if panel.widths:
        rows.append(Heading("CHECK before the saw: overall width, rounded down"))
        rows += [
            Words(
                f"{inches(width.down)} down",
                f"{inches(width.value)} ({millimetres(width.value.mm)} mm)",
                _LABEL_MM,
            )
            for width in panel.widths
        ]
    if panel.returns:
        rows.append(Heading("RETURNS: no deeper than this, or the sheet rocks"))
        rows += [
            Words(edge_words(turn.edge), f"{inches(turn.depth)}: {turn.why}", _LABEL_MM)
            for turn in panel.returns
        ]
    if panel.pattern:
        rows += _pattern_words(panel.pattern)
    if panel.notes:
        rows.append(Heading("NOTES"))
        rows += [Words("•", note, _NUMBER_MM) for note in panel.notes]
    return tuple(rows)


def _corner_words(panel: Panel) -> str:
    if panel.wall == "back":
        return "finished top, left edge as seen from the room"
    return "finished top meets finished outer edge"


def _hole_words(panel: Panel) -> list[Row]:
    if not panel.cutouts:
        return []
    rows: list[Row] = [
        Heading(
            "HOLES: look for hidden pipes and wires first; marked on the back the sheet is a"
            " mirror image, the numbers are the same"
        )
    ]
    for hole in panel.cutouts:
        most = f"; the plate covers up to {inches(hole.max_diameter)}" if hole.max_diameter else ""
        words = f"{inches(hole.diameter)} across, saw {hole.saw}{most}"
        rows.append(Words(hole.name, ". ".join((words, *hole.notes)), _LABEL_MM))
    return rows


def _pattern_words(pattern: PanelPattern) -> list[Row]:
    tile = " x ".join(inches(side) for side in pattern.tile)
    rows: list[Row] = [
        Heading("PATTERN: full tile at the finished top"),
        Words("tile", f"{tile}, joint {pattern.joint_mm:.1f} mm", _LABEL_MM),
        Words(
            "level joints",
            "tops at " + ", ".join(map(inches, pattern.course_joints)) + " below the top",
            _LABEL_MM,
        ),
    ]
    rows += [
        Words(
            f"cut tile, {edge_words(cut.side)}",
            f"{inches(cut.width)} wide at {inches(cut.down)} down",
            _LABEL_MM,
        )
        for cut in pattern.cuts
    ]
    rows += [
        Words(
            f"lowest course, {edge_words(cut.side)}",
            f"{inches(cut.width)} high from {inches(cut.down)} down",
            _LABEL_MM,
        )
        for cut in pattern.bottom_courses
    ]
    return rows + [Words("•", note, _NUMBER_MM) for note in pattern.notes]
