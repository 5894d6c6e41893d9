"""The plan page's form knows every setting that a plan file takes."""

from __future__ import annotations

import re

import pytest
from pydantic import BaseModel

from service.files import plan_parts, plan_shapes
from service.files.plan import PlanFile
from tests.rules.sources import CHECKOUT

FIELDS = (CHECKOUT / "web/js/parts/plan_fields.js").read_text(encoding="utf-8")
FORM = (CHECKOUT / "web/js/parts/plan_settings.js").read_text(encoding="utf-8")
TYPED = set(re.findall(r"(?:length|taped|choice)\('(\w+)|key: '(\w+)", FIELDS + FORM))
KEYS = {one or other for one, other in TYPED}
ELSEWHERE = {
    "Job": {"name", "scope"},  # the job's own
    # Known from the job and its walls; points are marks, which the pages turn into sizes.
    "PlanWall": {"wall", "reports", "hold_down", "corner", "points"},
    "PlanFile": {"job", "practice", "bare_unit", "prices", "release"},  # their own parts
}
PARTS: list[type[BaseModel]] = [
    PlanFile,
    *(
        part
        for module in (plan_parts, plan_shapes)
        for part in vars(module).values()
        if isinstance(part, type)
        and issubclass(part, BaseModel)
        and part.__module__ == module.__name__
    ),
]


@pytest.mark.parametrize("part", PARTS, ids=lambda part: part.__name__)
def test_every_key_of_a_plan_can_be_typed(part: type[BaseModel]) -> None:
    """A key that a plan file takes has a field, a list of rows, or a part of its own."""
    wanted = set(part.model_fields) - ELSEWHERE.get(part.__name__, set())
    rows = set(re.findall(r"'(\w+)', '[A-Z]|plan\.(\w+)", FORM))
    known = KEYS | {one or other for one, other in rows} | {"left", "right"}

    assert wanted - known == set()
