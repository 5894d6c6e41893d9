"""What a plan file may not say."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from service.errors import FileError
from service.files.loading import load_model
from service.files.plan import PlanFile
from tests.files.contract_examples import PLAN

Value = dict[str, Any]


def load(tmp_path: Path, value: Value) -> PlanFile:
    path = tmp_path / "plan.json"
    path.write_text(json.dumps(value), encoding="utf-8")
    return load_model(path, PlanFile)


def wall(value: Value) -> Value:
    found: Value = value["walls"][0]
    return found


@pytest.mark.parametrize(
    ("field", "said", "change"),
    [
        ("walls", "at least 1", lambda v: v.update(walls=[])),
        (
            "walls[0].wall",
            "is missing; expected: back, the long one",
            lambda v: wall(v).pop("wall"),
        ),
        (
            "stock[0].price",
            "at most 2 decimals",
            lambda v: v["stock"][0].update(price="1.005"),
        ),
        ("stock[0].price", "at most 12 digits", lambda v: v["stock"][0].update(price="1e40")),
        ("walls[0].wall", "'back', 'plumbing' or 'far end'", lambda v: wall(v).update(wall="left")),
        ("walls[1].wall", "'back' is in walls[0]", lambda v: v["walls"].append(wall(v))),
        ("walls[0].left[0].value", "missing", lambda v: wall(v)["left"][0].pop("value")),
        ("bare_unit", "'in', 'mm', 'cm' or 'm'", lambda v: v.update(bare_unit="?")),
        ("walls[0].left[0].down", "'x'", lambda v: wall(v)["left"][0].update(down="1 x")),
        (
            "walls[0].right[0].value",
            "greater than",
            lambda v: wall(v)["right"][0].update(value="0"),
        ),
        (
            "walls[0].left[0].dimension",
            "lists no reports",
            lambda v: (
                wall(v).update(reports=[]),
                wall(v)["left"][0].update(dimension="left 16"),
            ),
        ),
        ("walls[0].surfaces[0].do", "'keep'", lambda v: wall(v)["surfaces"][0].update(do="sand")),
        ("walls[0].outer.finish", "'return'", lambda v: wall(v)["outer"].update(finish="none")),
        ("walls[0].fixtures[0].hole", "'y'", lambda v: wall(v)["fixtures"][0].update(hole="3 y")),
        (
            "walls[0].fixtures[1].name",
            "'valve' is in walls[0].fixtures[0]",
            lambda v: wall(v)["fixtures"].append(wall(v)["fixtures"][0]),
        ),
        ("stock[0].size[1]", "greater than zero", lambda v: v["stock"][0].update(size=["60", "0"])),
        ("stock[0].price", "in quotes", lambda v: v["stock"][0].update(price=12.5)),
        ("stock[0].price", "in quotes", lambda v: v["stock"][0].update(price="free")),
        ("stock[1].name", "'60 x 96'", lambda v: v["stock"].append(v["stock"][0])),
        ("pattern.tile[1]", "missing", lambda v: v["pattern"].update(tile=["12"])),
        ("top.above_line", "", lambda v: v["top"].update(above_line="up")),
    ],
)
def test_plan_is_refused(
    tmp_path: Path, field: str, said: str, change: Callable[[Value], object]
) -> None:
    """Each fault is refused in one line that names the field and what was expected."""
    value = json.loads(PLAN)
    change(value)

    with pytest.raises(FileError) as caught:
        load(tmp_path, value)

    assert caught.value.field == field
    assert said in caught.value.expected


def test_dimension_stands_for_a_value(tmp_path: Path) -> None:
    """A size may name the report's dimension in place of a value."""
    value = json.loads(PLAN)
    wall(value)["left"][0] = {"down": "16", "dimension": "left 16"}

    offset = load(tmp_path, value).walls[0].left[0]

    assert (offset.value, offset.dimension) == (None, "left 16")


def test_bare_number_is_in_the_stated_unit(tmp_path: Path) -> None:
    """A plan's bare numbers are inches; stated to be mm, a fraction among them is refused."""
    value = json.loads(PLAN)

    assert load(tmp_path, value).bare_unit == "in"
    with pytest.raises(FileError, match="a fraction of mm"):
        load(tmp_path, value | {"bare_unit": "mm"})
