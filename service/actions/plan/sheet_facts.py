"""What one sheet is made from beside its measured sizes, as it is printed: told when it changes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from service.documents.wording import edge_words, inches
from service.measuring.release.facts import NothingChecks, SheetNeeds
from service.panels.sizes import mark

if TYPE_CHECKING:
    from collections.abc import Iterator

    from service.panels.model import Panel
    from service.panels.practice import Practice
    from service.panels.walls import Alcove, WallShape

_JOINTS: Final = ("deck", "side", "corner", "ceiling", "floor", "apron")


def sheet_needs(panel: Panel, alcove: Alcove, shop: Practice) -> SheetNeeds:
    """What the sheet of a panel hangs on: what nothing checks, and all that is cut."""
    shape = alcove.wall(panel.wall)
    facts = dict(_allowances(shop)) | dict(_cut(panel))
    return SheetNeeds(panel.wall, _looks(panel, shape, alcove), facts)


def _looks(panel: Panel, shape: WallShape | None, alcove: Alcove) -> dict[NothingChecks, str]:
    top = alcove.top
    above = inches(mark(top.above_line_mm))
    found = {}
    if top.to_ceiling:
        found[NothingChecks.TOP] = f"to the ceiling, {above} above the level line"
    else:
        found[NothingChecks.HOLD_DOWN] = above
        found[NothingChecks.TOP] = f"{above} above the level line"
        if top.line_above_floor_mm is not None:
            floor = inches(mark(top.line_above_floor_mm + top.above_line_mm))
            found[NothingChecks.TOP] += f", {floor} above the floor"
    if panel.hand != "none":
        found[NothingChecks.HAND] = f"{panel.hand} hand"
    outer = None if shape is None else shape.outer
    if panel.hand != "none" and outer is not None and outer.taped is None:
        place = inches(mark(outer.from_plumb_mm))
        found[NothingChecks.OUTER_EDGE] = f"{place} from the plumb line, {outer.finish}"
    valves = _valves(shape)
    if valves:
        found[NothingChecks.FACE_TO_VALVE] = "; ".join(valves)
    return found


def _valves(shape: WallShape | None) -> list[str]:
    """Every fixture that sits at a depth behind the face: a valve, or whatever states one."""
    found = []
    for fixture in () if shape is None else shape.fixtures:
        if fixture.datum_mm is not None:
            found.append(f"{fixture.name} {inches(mark(fixture.datum_mm))}")
        elif fixture.guard_mm is not None or "valve" in fixture.name:
            found.append(f"{fixture.name}: depth not taken")
    return found


def _allowances(shop: Practice) -> Iterator[tuple[str, str]]:
    yield "build-up", inches(mark(shop.build_up_mm))
    joints = (f"{name} {inches(mark(shop[f'joint.{name}']))}" for name in _JOINTS)
    yield "joints", ", ".join(joints)


def _cut(panel: Panel) -> Iterator[tuple[str, str]]:
    yield "hand", panel.hand
    yield "box", f"{inches(panel.box.width)} x {inches(panel.box.height)}"
    yield "sheet", _sheet(panel)
    seen: set[str] = set()
    for one in panel.marks:
        name = f"mark on the {edge_words(one.edge)} at {one.station.text} in"
        name = name if name not in seen else f"{name}, mark {one.order}"
        seen.add(name)
        yield name, f"{one.value.text} in"
    for hole in panel.cutouts:
        at = f"{hole.from_side.text} in from the side, {hole.from_top.text} in down"
        yield f"hole {hole.name}", f"{inches(hole.diameter)} across with {hole.saw}, {at}"
    for cut in panel.windows:
        at = f"{cut.from_side.text} in from the side, {cut.from_top.text} in down"
        yield f"opening {cut.name}", f"{inches(cut.width)} x {inches(cut.height)}, {at}"
        for piece in cut.liners:
            yield (
                f"liner {piece.name} of {cut.name}",
                (f"{inches(piece.length)} x {inches(piece.depth)}"),
            )
    for notch in panel.notches:
        x, y = (mark(mm).text for mm in notch.corner_mm)
        at = f"its corner at {x} in across, {y} in down"
        yield f"{notch.kind} {notch.name}", f"{inches(notch.width)} x {inches(notch.height)}, {at}"
        for piece in notch.liners:
            size = f"{inches(piece.length)} x {inches(piece.depth)}"
            yield f"cover {piece.name} of {notch.name}", size
    for turn in panel.returns:
        yield f"return, {edge_words(turn.edge)}", inches(turn.depth)
    for number, seam in enumerate(panel.seams, 1):
        yield (
            "seam" if number == 1 else f"seam {number}",
            f"{seam.direction}, {seam.at.text} in, behind a {seam.behind}",
        )
    yield from _pattern(panel)


def _sheet(panel: Panel) -> str:
    if panel.sheet is None:
        return "none in stock"
    edges = " + ".join(panel.sheet.finished) or "none"
    return f"{panel.sheet.name}, finished {edges}"


def _pattern(panel: Panel) -> Iterator[tuple[str, str]]:
    pattern = panel.pattern
    if pattern is None:
        return
    tile = " x ".join(inches(side) for side in pattern.tile)
    yield "pattern", f"{tile}, joint {pattern.joint_mm:.1f} mm, from {pattern.offset.text} in"
    yield "level joints", ", ".join(size.text for size in pattern.course_joints)
    yield "upright joints", ", ".join(size.text for size in pattern.column_joints)
    if pattern.other_columns:
        yield (
            "upright joints, every second course",
            ", ".join(size.text for size in pattern.other_columns),
        )
