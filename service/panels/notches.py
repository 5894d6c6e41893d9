"""What covers a soffit, seat, curb or pony wall, and what is said of the cut round it.

Common practice: what stands out is covered first and the wall's panel comes up to its cover, a
joint away; the upper or outer piece runs over the edge of the piece below it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.panels.model import Caution
from service.panels.openings import Liner, NotchCut
from service.panels.places import FALLS_TO, Point
from service.panels.sizes import mark, width

if TYPE_CHECKING:
    from service.panels.outline import Notch, Outline
    from service.panels.places import Tub
    from service.panels.practice import Practice
    from service.panels.walls import Alcove, WallShape

_FALLS = ("seat", "curb", "ledge", "pony wall")


def notch_cuts(
    shape: WallShape, outline: Outline, tub: Tub, shop: Practice
) -> tuple[NotchCut, ...]:
    """Every notch of one panel with the pieces that cover what it is cut round.

    Their tops fall to what the panel stands on, ``tub``.
    """
    found = [
        NotchCut(
            name=n.obstacle.name,
            kind=n.obstacle.kind,
            corner_mm=Point(n.x0, n.y0),
            width=mark(n.x1 - n.x0),
            height=mark(n.y1 - n.y0),
            liners=_covers(n, tub, shop),
            notes=_notes(n, shop),
        )
        for n in outline.notches
    ]
    low = shape.low_top
    if low is not None:
        across, over = outline.box[2] - outline.box[0], 2 * shop.build_up_mm
        down = outline.box[3] - outline.box[1]
        pieces = (
            Liner("end", width(low.thickness_mm + over), width(down), "covers both faces' edges"),
            Liner("cap", width(across + shop.build_up_mm), width(low.thickness_mm + over),
                  f"last; falls towards {FALLS_TO[tub]}, over the end piece"),
        )  # fmt: skip
        corner = Point(outline.box[0], outline.box[1])
        note = ("its top is covered by the cap: no finished edge there",)
        found.append(
            NotchCut(f"{shape.wall} low wall", "pony wall", corner, mark(across), mark(0.0),
                     pieces, note)
        )  # fmt: skip
    return tuple(found)


def shape_cautions(alcove: Alcove, shop: Practice) -> list[Caution]:
    """Falls, floors and low walls: what the codes and the maker want there."""
    found = []
    for shape in alcove.walls:
        for obstacle in shape.obstacles:
            if obstacle.kind in _FALLS:
                text = (
                    f"{obstacle.name}: its top falls towards the drain and is waterproof under the "
                    "sheet (ANSI A108.01 wants level surfaces in showers to slope, from memory); "
                    "local code governs"
                )
                found.append(Caution("wet-ledge", text, shape.wall, "check it with a level"))
        if shape.low_top is not None:
            text = (
                "a low wall: the height that codes want of a waterproof wall (IRC R307.2) is then "
                "up to the glass or wall that stands on it; local code governs"
            )
            found.append(Caution("low-wall", text, shape.wall))
    if alcove.tub == "floor":
        text = (
            "a bare floor: it is sloped to the drain and waterproofed up behind the sheets before "
            f"they are hung {mark(shop['joint.deck']).text} in above it; inspected where the local "
            "code wants it"
        )
        found.append(Caution("bare-floor", text))
    return found


def _covers(notch: Notch, tub: Tub, shop: Practice) -> tuple[Liner, ...]:
    obstacle = notch.obstacle
    if obstacle.depth_mm is None:
        return ()
    across, high = notch.x1 - notch.x0, notch.y1 - notch.y0
    joint, over = shop["joint.notch"], shop.build_up_mm
    deep = obstacle.depth_mm
    if obstacle.kind in ("seat", "ledge", "soffit"):
        faces = [Liner("front", width(across), width(high - joint), "first; a joint below it")]
        for name, free in (("left side", obstacle.left), ("right side", obstacle.right)):
            if free is not None:
                faces.append(Liner(name, width(deep), width(high - joint), "after the front"))
        name = "underside" if obstacle.kind == "soffit" else "top"
        how = "last; its edge laps the front" if name == "underside" else (
            f"last; falls towards {FALLS_TO[tub]} and laps the front"
        )  # fmt: skip
        return (*faces, Liner(name, width(across), width(deep + over), how))
    return (
        Liner("inner face", width(deep), width(high - joint), "first; a joint below it"),
        Liner("end", width(across + 2 * over), width(high - joint), "covers the faces' edges"),
        Liner("cap", width(deep + over), width(across + 2 * over),
              f"last; falls towards {FALLS_TO[tub]}, over face and end"),
    )  # fmt: skip


def _notes(notch: Notch, shop: Practice) -> tuple[str, ...]:
    joint = mark(shop["joint.notch"]).text
    first = f"the panel stops {joint} in short of it on every side"
    if notch.obstacle.depth_mm is not None:
        first = f"cover it first; the panel stops {joint} in short of its cover on every side"
    return (first, "drill the inside corners first: a square corner cracks")
