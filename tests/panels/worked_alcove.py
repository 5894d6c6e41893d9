"""The alcove worked by hand, read as a shop would write it down, and planned.

An invented room, computed by hand with every step shown, as a check of the calculator that shares
nothing with it. Readings in inches; `down` below the level line, `y` below the finished top, which
is 1 in above the line. The plumbing wall is at the left. Sheet 1/8, bed 1/8, joints 1/8, tile
3/8 proud from 15 below the line, plaster above it packed out flush.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from service.files.loading import load_model
from service.files.plan import PlanFile
from service.files.plan_values import alcove_values
from service.files.price_book import read_price_book
from service.panels.plan import plan_panels
from service.panels.practice import Practice, read_practice

if TYPE_CHECKING:
    from service.panels.model import Cutout, Edge, Panel, Plan, Point, TakeoffLine
    from service.panels.walls import Alcove

FOLDER = Path(__file__).parent
PLAN = FOLDER / "worked_alcove_plan.json"
SHIPPED = FOLDER.parents[1] / "service" / "panels" / "practice.toml"
SIXTY_FOURTH = 1 / 64


def inch(text: str) -> float:
    """`29 9/16` as a number, by means of its own."""
    return float(sum(Fraction(part) for part in text.split()))


@cache
def shipped_practice() -> Practice:
    """The practice as shipped."""
    return read_practice(SHIPPED.read_text())


@cache
def worked_practice() -> Practice:
    """The shipped practice with this alcove's assumptions over it."""
    own = (FOLDER / "worked_alcove_practice.toml").read_text()
    return read_practice(SHIPPED.read_text(), own)


@cache
def worked_alcove() -> Alcove:
    """The walls, without any report: every reading is plain."""
    return alcove_values(load_model(PLAN, PlanFile), {}, worked_practice())


@cache
def worked_plan() -> Plan:
    """The plan of the three panels."""
    book = read_price_book((FOLDER / "worked_alcove_prices.csv").read_text(), "prices.csv")
    return plan_panels(worked_alcove(), worked_practice(), book)


def worked_panel(wall: str) -> Panel:
    """One panel of the plan."""
    return next(panel for panel in worked_plan().panels if panel.wall == wall)


def hole(panel: Panel, name: str) -> Cutout:
    """One cut-out."""
    return next(cutout for cutout in panel.cutouts if cutout.name == name)


def material(item: str) -> TakeoffLine:
    """One line of the take-off."""
    return next(line for line in worked_plan().takeoff if line.item == item)


def edge_points(panel: Panel, edge: Edge) -> list[tuple[float, float]]:
    """The marks of one edge as points in inches, unrounded."""
    return [inches(mark.at_mm) for mark in panel.marks if mark.edge == edge]


def inches(point: Point) -> tuple[float, float]:
    """A point in inches."""
    return point.x / 25.4, point.y / 25.4
