"""The facts under a panel's drawing, and the steps page in words."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING, Final

from service.documents.pdf.number_column import Heading, Row, Words
from service.documents.release_words import (
    change_lines,
    look_lines,
    override_lines,
)
from service.documents.wording import (
    SIDES_AS_SEEN,
    beyond_face,
    both_units,
    edge_words,
    hole_letters,
    inches,
    millimetres,
    reference_words,
)
from service.panels.sizes import mark

if TYPE_CHECKING:
    from service.panels.model import Edge, Panel, PanelPattern

_FEW: Final = 6
_NUMBER_MM: Final = 10.0
_LABEL_MM: Final = 52.0


def facts(panel: Panel, *, notes: bool = True) -> tuple[Row, ...]:
    """Sheet, box, finished edges and returns, for the foot of both views; of the notes no more
    than where they are, if they are not wanted."""
    box = panel.box
    rows: list[Row] = []
    if panel.sheet:
        sheet = panel.sheet
        edges = " + ".join(sheet.finished) or "none"
        hand = "" if sheet.hand == "none" else f", {sheet.hand.upper()} hand"
        rows.append(Words("Sheet", f"{sheet.name}{hand}"))
        rows.append(Words("Finished", f"{edges} (as seen from the room)"))
    elif panel.seam:
        rows.append(Words("Sheet", seam_words(panel)))
    else:
        rows.append(Words("Sheet", "none in stock fits: see the plan's warnings"))
    rows.append(Words("Box", both_units(box.width, box.height)))
    if panel.scribe:
        rows.append(Words("Scribe", _scribe_words(panel)))
    if panel.returns:
        turns = (f"{edge_words(turn.edge)} {inches(turn.depth)}" for turn in panel.returns)
        rows.append(Words("Return depth", ", ".join(turns)))
    if panel.top == "sloped ceiling":
        rows.append(Words("Top", "all heights are down from a level line through its top corner"))
    if notes:
        rows += [Words("Note", note) for note in panel.notes]
    elif panel.notes:
        many = f"{len(panel.notes)} notes" if len(panel.notes) > 1 else "one note"
        rows.append(Words("Before", f"{many}: read them on the steps page"))
    rows.append(Words("Black corner", f"{_corner_words(panel)}; chain lines are level and plumb"))
    return tuple(rows)


def seam_words(panel: Panel) -> str:
    """Where a panel of two sheets or more is parted."""
    if not panel.seams:
        return ""
    first, many = panel.seams[0], len(panel.seams)
    places = " and ".join(seam.place for seam in panel.seams)
    parts = "two" if many == 1 else str(many + 1)
    words = f"{first.direction} seam{'s' if many > 1 else ''}"
    return f"{parts} parts, {words} {places}, behind a {first.behind}"


def steps(panel: Panel) -> tuple[Row, ...]:
    """Everything about one panel in words, in the order it is done."""
    rows: list[Row] = []
    if panel.why_not:
        rows.append(Heading("WHY THIS SHEET IS NOT FOR CUTTING"))
        rows += _reason_rows(panel.why_not)
    changes = change_lines(panel)
    if panel.release is not None and changes:
        rows.append(Heading(f"CHANGED SINCE REVISION {panel.release.revision}"))
        rows += [Words("•", change, _NUMBER_MM) for change in changes]
    rows.append(Heading("BEFORE YOU START"))
    before = (*override_lines(panel), *look_lines(panel), *panel.notes)
    rows += [Words("•", note, _NUMBER_MM) for note in before]
    seen = SIDES_AS_SEEN if panel.wall == "back" else ""
    rows.append(Heading(f"MARKS: from the TOP and the {reference_words(panel)}{seen}"))
    rows += [
        Words(str(mark.order), mark.how, _NUMBER_MM)
        for mark in sorted(panel.marks, key=lambda mark: mark.order)
    ]
    if panel.seam:
        rows += [Heading("SEAM"), Words("•", seam_words(panel), _NUMBER_MM)]
    rows += _hole_words(panel)
    letters = hole_letters(panel)[len(panel.cutouts) :]
    for letter, cut in zip(letters, panel.windows, strict=True):
        name = f"{letter} {cut.name}"
        words = f"LINERS of {name}: in this order" if cut.liners else f"OPENING for {name}"
        rows.append(Heading(words))
        rows += [
            Words(
                piece.name,
                f"{both_units(piece.length, piece.depth)}: {piece.how}",
                _LABEL_MM,
            )
            for piece in cut.liners
        ]
        rows += [Words("•", note, _NUMBER_MM) for note in cut.notes]
    for notch in panel.notches:
        rows.append(Heading(f"ROUND the {notch.name}: covered in this order" if notch.liners
                            else f"ROUND the {notch.name}"))  # fmt: skip
        rows += [
            Words(p.name, f"{both_units(p.length, p.depth)}: {p.how}", _LABEL_MM)
            for p in notch.liners
        ]
        rows += [Words("•", note, _NUMBER_MM) for note in notch.notes]
    if panel.widths:
        rows.append(Heading("CHECK before the saw: overall width, rounded down"))
        widths = (f"{both_units(w.value)} at {inches(w.down)} down" for w in panel.widths)
        rows.append(Words("width", "; ".join(widths), _LABEL_MM))
    if panel.returns:
        rows.append(Heading("RETURNS: no deeper than this, or the sheet rocks"))
        rows += [
            Words(edge_words(turn.edge), f"{both_units(turn.depth)}: {turn.why}", _LABEL_MM)
            for turn in panel.returns
        ]
    if panel.pattern:
        rows += _pattern_words(panel.pattern)
    return tuple(rows)


def _scribe_words(panel: Panel) -> str:
    found = panel.scribe
    if found is None:
        return ""
    largest = f"{inches(found.width)} x {inches(found.height)}"
    if not found.edges and not panel.notches:
        return f"nothing: {largest} goes in square"
    words = [f"{_short(edge)} {inches(size)}" for edge, size in found.edges]
    words += [f"round the {cut.name}" for cut in panel.notches if cut.height.mm]
    edges = ", ".join(words) or "nothing"
    return f"{edges}; the largest square piece is {largest}"


def _short(edge: Edge) -> str:
    return "top" if edge == "top" else edge_words(edge)


def _reason_rows(reasons: tuple[str, ...]) -> list[Row]:
    """One reason a line while they are few, else a few to a paragraph."""
    if len(reasons) > _FEW:
        parts = [reasons[start : start + _FEW] for start in range(0, len(reasons), _FEW)]
        return [Words("•", "; ".join(part), _NUMBER_MM) for part in parts]
    return [Words("•", reason, _NUMBER_MM) for reason in reasons]


def _corner_words(panel: Panel) -> str:
    if panel.wall == "back":
        return "top, left edge as seen from the room"
    return "top meets finished outer edge"


def _hole_words(panel: Panel) -> list[Row]:
    if not panel.cutouts:
        return []
    rows: list[Row] = [
        Heading(
            "HOLES: look for hidden pipes and wires first; marked on the back the sheet is a"
            " mirror image, the numbers are the same"
        )
    ]
    for letter, hole in zip(hole_letters(panel), panel.cutouts, strict=False):
        words = [f"{both_units(hole.diameter)} across, {hole.saw}"]
        if hole.max_diameter:
            words.append(f"the plate covers up to {both_units(hole.max_diameter)}")
        if hole.valve_datum:
            words.append(f"valve datum {beyond_face(hole.valve_datum, in_front=False)}")
        if hole.nipple_out:
            words.append(f"nipple {beyond_face(hole.nipple_out, in_front=True)}")
        rows.append(Words(f"{letter} {hole.name}", "; ".join((*words, *hole.notes)), _LABEL_MM))
    return rows


def _pattern_words(pattern: PanelPattern) -> list[Row]:
    tile = " x ".join(inches(side) for side in pattern.tile)
    joint = inches(mark(pattern.joint_mm))
    rows: list[Row] = [
        Heading("PATTERN"),
        Words("tile", f"{tile}, joint {joint} ({millimetres(pattern.joint_mm)} mm)", _LABEL_MM),
        Words(
            "level joints",
            "tops at " + ", ".join(map(inches, pattern.course_joints)) + " below the top",
            _LABEL_MM,
        ),
    ]
    for edge, group in groupby(pattern.cuts, lambda cut: cut.side):
        cuts = (f"{inches(cut.width)} at {inches(cut.down)} down" for cut in group)
        rows.append(Words(f"cut tile, {edge} edge", "; ".join(cuts), _LABEL_MM))
    for edge, group in groupby(pattern.bottom_courses, lambda cut: cut.side):
        cuts = (f"{inches(cut.width)} high from {inches(cut.down)} down" for cut in group)
        rows.append(Words(f"lowest course, {edge} edge", "; ".join(cuts), _LABEL_MM))
    return rows + [Words("•", note, _NUMBER_MM) for note in pattern.notes]
