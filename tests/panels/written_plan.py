"""Plans written as a shop writes them, in the file's own terms, and planned."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from service.files.plan import PlanFile
from service.files.plan_values import alcove_values
from service.panels.plan import plan_panels
from service.panels.practice import read_practice
from tests.panels.worked_alcove import SHIPPED, inch

if TYPE_CHECKING:
    from service.panels.model import Panel, Plan

INCH = 25.4


def written_plan(plan: dict[str, Any], practice: str | None = None) -> Plan:
    """The plan of a plan file's contents, with a shop's own practice over the shipped one."""
    shop = read_practice(SHIPPED.read_text(), practice)
    whole = {"job": {"name": "by hand", "scope": "over tile"}} | plan
    return plan_panels(alcove_values(PlanFile.model_validate(whole), {}, shop), shop)


def heights(value: str, *places: str) -> list[dict[str, str]]:
    """One deck height at several places."""
    return [{"at": at, "value": value} for at in places]


def side(value: str, *downs: str, surface: str | None = None) -> list[dict[str, Any]]:
    """One offset at several heights."""
    return [{"down": down, "value": value, "surface": surface} for down in downs]


def back_wall(left: str = "30", right: str = "30", deck: str = "60", **more: Any) -> dict[str, Any]:
    """A plumb back wall, so wide either side of its plumb line, its deck level."""
    return {
        "wall": "back",
        "line_to_deck": heights(deck, f"-{left}", "0", right),
        "left": side(left, "0", "30", "60"),
        "right": side(right, "0", "30", "60"),
    } | more


def end_wall(wall: str, corner: str, room: str, outer: str, **more: Any) -> dict[str, Any]:
    """A plumb end wall with a factory return: from its plumb line to the corner, to the deck's
    last height towards the room and to the outer edge; deck 60, level."""
    if wall == "far end":
        place, deck = "left", heights("60", f"-{corner}", "0", room)
    else:
        place, deck = "right", heights("60", corner, "0", f"-{room}")
    return {
        "wall": wall,
        "corner": place,
        place: side(corner, "0", "30", "60"),
        "line_to_deck": deck,
        "outer": {"from_plumb": outer, "finish": "return"},
    } | more


def sheet(name: str, *finished: str, price: str | None = None, **more: Any) -> dict[str, Any]:
    """A stock sheet named by its size, `60 x 96 left`."""
    width, height = name.replace(" x ", "|").split(" ")[0].split("|")
    return {"name": name, "size": [width, height], "finished": finished, "price": price} | more


def panel(plan: Plan, wall: str) -> Panel:
    """One panel of a plan."""
    return next(found for found in plan.panels if found.wall == wall)


def codes(plan: Plan) -> set[str]:
    """Codes of everything a person must look at."""
    return {caution.code for caution in plan.warnings}


def box(found: Panel) -> tuple[str, str]:
    """Box as printed."""
    return found.box.width.text, found.box.height.text


def points(found: Panel) -> list[tuple[float, float]]:
    """The outline in inches."""
    return [(x / INCH, y / INCH) for x, y in found.outline_mm]


def square_inches(*pairs: tuple[str, str]) -> float:
    """Sum of rectangles, mm2."""
    return sum(inch(a) * inch(b) for a, b in pairs) * INCH**2
