"""Rectangles of known size and straight lines, as they are set in one photo after another."""

from __future__ import annotations

from typing import Any

from service.errors import ServiceError
from service.files.api.asked import LineInPhoto, RectangleInPhoto
from service.store.changes import change_wall
from service.store.rows import Acting, Json, PhotoRow, WallRow
from service.store.unit import Unit
from vision.card.design import BOARD_OUTLINE_MM
from vision.measure_wall.request import UNCHECKED_PRINT_U

_REFINED_U_PX = 0.3


def put_rectangle_in_photo(
    unit: Unit, acting: Acting, wall: WallRow, photo: PhotoRow, name: str, body: RectangleInPhoto
) -> WallRow:
    """Set a rectangle's corners, or its edges, in a photo; those in other photos stay.

    Raises
    ------
    ServiceError
        ``invalid``, ``nominal-size``.
    """
    if body.known_by == "nominal":
        raise ServiceError(
            "nominal-size",
            f"A nominal size names a tile or board and is not its size, so {name!r} is no scale.",
            do="Tape it, best over several tiles, and give that as the size.",
        )
    if body.size_mm is None or body.u_mm is None:
        detail = "size_mm: expected the two sides and how well they are known, or a card's serial."
        raise ServiceError("invalid", detail, field="size_mm")
    known = wall.facts["rectangles"].get(name, {"corners": {}})
    said = body.model_dump(mode="json", exclude={"corners", "edges", "serial", "point_sd_px"})
    corners = {**known["corners"], photo.id: [list(corner) for corner in body.corners]}
    value = {"name": name, **said, "corners": corners, **_edges(known, photo, body)}
    if any(other not in value.get("edges", {}) for other in known["corners"] if other != photo.id):
        # what stands by its corners elsewhere is known no better for edges found here
        value["edge_u_px"] = max(body.edge_u_px, known.get("edge_u_px", 0.0))
    what = f"set the {'corners' if body.edges is None else 'edges'} of {name} in {photo.filename}"
    path = ["rectangles", name]
    return change_wall(unit, acting, wall, path, value, "rectangle", what)[0]


def put_line_in_photo(
    unit: Unit, acting: Acting, wall: WallRow, photo: PhotoRow, name: str, body: LineInPhoto
) -> WallRow:
    """Set the points of a straight line in a photo; those in other photos stay.

    Raises
    ------
    ServiceError
        ``invalid``, if the points do not say enough.
    """
    known = wall.facts.get("lines", {}).get(name, {"points": {}})
    said = body.model_dump(mode="json", exclude={"points"}, exclude_none=True)
    points = {**known["points"], photo.id: [list(point) for point in body.points]}
    value = {"name": name, **said, "points": points}
    what = f"set the line {name} in {photo.filename}"
    return change_wall(unit, acting, wall, ["lines", name], value, "line", what)[0]


def take_out_of_photo(
    unit: Unit, acting: Acting, wall: WallRow, photo: PhotoRow, kind: str, name: str
) -> WallRow:
    """Take a rectangle or line out of a photo; out of the last one, off the wall.

    Raises
    ------
    ServiceError
        ``not-found``.
    """
    group, part = ("rectangles", "corners") if kind == "rectangle" else ("lines", "points")
    row: dict[str, Any] = wall.facts.get(group, {}).get(name, {part: {}})
    if photo.id not in row[part]:
        raise ServiceError("not-found", f"This photo has no {kind} {name!r}.")
    left = {
        key: {other: at for other, at in row[key].items() if other != photo.id}
        for key in (part, "edges")
        if key in row
    }
    value: Json = {**row, **left} if left[part] else None
    what = f"took the {kind} {name} out of {photo.filename}"
    return change_wall(unit, acting, wall, [group, name], value, kind, what)[0]


def _edges(known: Json, photo: PhotoRow, body: RectangleInPhoto) -> dict[str, Any]:
    """The rows of points along the edges, where there are any, and how well the worst is known."""
    others = {other: at for other, at in known.get("edges", {}).items() if other != photo.id}
    if body.edges is None:
        rows, spread = others, known.get("point_sd_px")
    else:
        here = [[list(point) for point in edge] for edge in body.edges]
        rows = {**others, photo.id: here}
        spread = max(body.point_sd_px or 1.0, known.get("point_sd_px", 0.0) if others else 0.0)
    return {"edges": rows, "point_sd_px": spread} if rows else {}


def refuse_found_card(photo: PhotoRow, serial: int) -> None:
    """Refuse to set a card by hand where it was found: it would count twice.

    Raises
    ------
    ServiceError
        ``invalid``.
    """
    cards = [] if photo.found is None else photo.found["sight"]["cards"]
    if any(card["serial"] == serial for card in cards):
        detail = f"Card {serial} was found in this photo by itself, and counts already."
        raise ServiceError("invalid", detail, field="serial", do="Leave it as it is.")


def board_between(record: dict[str, Any], body: RectangleInPhoto) -> RectangleInPhoto:
    """The black and white board of a card as a rectangle, its corners as the photo has them.

    Parameters
    ----------
    record
        Of the card that was found between the taps: `PhotoAsker.card`.
    """
    top_left, _, bottom_right, _ = BOARD_OUTLINE_MM.tolist()
    size = (bottom_right[0] - top_left[0], top_left[1] - bottom_right[1])
    outline = record["card"]["outline_px"]
    if not outline:
        raise ServiceError(
            "corners-not-seen",
            "The board's outline cannot be drawn from the squares that were seen.",
            do="Tap its four outer corners, or take a sharper photo.",
        )
    at = [(float(x), float(y)) for x, y in outline]
    return body.model_copy(
        update={
            "size_mm": size,
            "u_mm": (UNCHECKED_PRINT_U * size[0], UNCHECKED_PRINT_U * size[1]),
            "edge_u_px": _REFINED_U_PX,
            "corners": (at[3], at[2], at[1], at[0]),
        }
    )
