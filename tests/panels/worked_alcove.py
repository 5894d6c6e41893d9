"""The alcove worked by hand, read as a shop would write it down, and planned."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from service.files.loading import load_model
from service.files.plan import PlanFile
from service.files.plan_values import alcove_values
from service.panels.plan import plan_panels
from service.panels.practice import Practice, read_practice
from tests.support.lengths import inch

from service.panels.model import Panel, Plan
from service.panels.walls import Alcove

FOLDER = Path(__file__).parent
SHIPPED = FOLDER.parents[1] / "service" / "panels" / "practice.toml"


@cache
def worked_practice() -> Practice:
    """The shipped practice with this alcove's assumptions over it."""
    own = (FOLDER / "worked_alcove_practice.toml").read_text()
    return read_practice(SHIPPED.read_text(), own)


@cache
def worked_alcove() -> Alcove:
    """The walls, without any report: every reading is plain."""
    plan = load_model(FOLDER / "worked_alcove_plan.json", PlanFile)
    return alcove_values(plan, {}, worked_practice())


@cache
def worked_plan() -> Plan:
    """The plan of the three panels."""
    return plan_panels(worked_alcove(), worked_practice())


def worked_panel(wall: str) -> Panel:
    """One panel of the plan."""
    return next(panel for panel in worked_plan().panels if panel.wall == wall)
