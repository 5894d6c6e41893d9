"""The files keep the shape that was published: its examples validate and load."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from service.errors import FileError
from service.files.loading import load_model
from service.files.plan import PlanFile
from service.files.report import Report
from service.files.schema import MODELS, json_schema
from service.files.wall import WallFile
from tests.files.contract_examples import PLAN, REPORT, WALL

EXAMPLES = {"wall": WALL, "report": REPORT, "plan": PLAN}


def errors(kind: str, value: Any) -> list[str]:
    validator = Draft202012Validator(json_schema(kind))
    return [error.message for error in validator.iter_errors(value)]


@pytest.mark.parametrize("kind", sorted(MODELS))
def test_schema_is_valid(kind: str) -> None:
    """Each published schema is itself a valid JSON Schema of 2020-12."""
    schema = json_schema(kind)

    Draft202012Validator.check_schema(schema)
    assert schema["$schema"].endswith("2020-12/schema")


@pytest.mark.parametrize("kind", sorted(EXAMPLES))
def test_example_validates(kind: str) -> None:
    """An outside validator finds nothing wrong with the published example."""
    assert errors(kind, json.loads(EXAMPLES[kind])) == []


@pytest.mark.parametrize("kind", sorted(EXAMPLES))
def test_schema_refuses_an_example_without_its_core(kind: str) -> None:
    """The schemas are not empty promises: an example with a wrong core value fails them."""
    value = json.loads(EXAMPLES[kind])
    first = {"wall": "photos", "report": "dimensions", "plan": "walls"}[kind]

    assert errors(kind, value | {first: 7})


@pytest.mark.parametrize("kind", sorted(MODELS))
def test_every_field_is_described(kind: str) -> None:
    """Whoever reads a schema learns what each field means, and numbers say their unit or sense."""
    schema = json_schema(kind)
    bare = [
        f"{owner.get('title')}.{name}"
        for owner in [schema, *schema["$defs"].values()]
        for name, field in owner.get("properties", {}).items()
        if '"description"' not in json.dumps(field) and '"$ref"' not in json.dumps(field)
    ]

    assert bare == []


@pytest.mark.parametrize("price", ["12.5", "free", "1,000", "-1", 12.5])
def test_schema_and_loader_agree_on_money(tmp_path: Path, price: str | float) -> None:
    """What the schema says of an amount of money is what the loader takes."""
    value = json.loads(PLAN)
    value["stock"][0]["price"] = price
    path = tmp_path / "plan.json"
    path.write_text(json.dumps(value), encoding="utf-8")

    try:
        load_model(path, PlanFile)
    except FileError:
        assert errors("plan", value)
    else:
        assert errors("plan", value) == []


def test_report_loads(tmp_path: Path) -> None:
    """The published report is read back with its figures."""
    path = tmp_path / "report.json"
    path.write_text(REPORT, encoding="utf-8")

    report = load_model(path, Report)

    assert report.dimensions[0].best_interval95_mm == (1519.6, 1522.0)
    assert report.gate.blocking[0].why == "not taped"


def test_report_of_a_later_program_loads(tmp_path: Path) -> None:
    """A key that a later program adds to a report does not stop this one from reading it."""
    path = tmp_path / "report.json"
    path.write_text(json.dumps(json.loads(REPORT) | {"later": [1]}), encoding="utf-8")

    assert load_model(path, Report).adjustment is not None


def test_plan_loads(tmp_path: Path) -> None:
    """The published plan is read, lengths as they were written."""
    path = tmp_path / "plan.json"
    path.write_text(PLAN, encoding="utf-8")

    plan = load_model(path, PlanFile)

    assert plan.walls[0].left[0].value == "29 9/16"
    assert str(plan.stock[0].price) == "0.00"


def test_wall_example_names_its_first_loose_mark(tmp_path: Path) -> None:
    """The published wall is an excerpt: it is read up to the first mark that is in no photo."""
    path = tmp_path / "wall.json"
    path.write_text(WALL, encoding="utf-8")

    with pytest.raises(FileError) as caught:
        load_model(path, WallFile)

    assert caught.value.field == "level[0]"


def test_wall_example_loads_with_its_marks(tmp_path: Path) -> None:
    """With the marks that the excerpt leaves out the published wall is read whole."""
    value = json.loads(WALL)
    names = ["right-low", "line-a", "line-b", "plumb-top", "plumb-low"]
    value["photos"][0]["marks"] |= {name: [10.0 * i, 5.0] for i, name in enumerate(names)}
    path = tmp_path / "wall.json"
    path.write_text(json.dumps(value), encoding="utf-8")

    wall = load_model(path, WallFile)

    assert wall.photos[0].marks["valve"].standoff_mm == 9.5
    assert wall.photos[0].marks["left-low"].at == (678.6, 3114.6)
    assert wall.readings[0].instrument.class_ == "II"
