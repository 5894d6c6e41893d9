"""What a wall file may not say, and the one line with which each is refused."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from service.errors import FileError
from service.files.loading import load_model
from service.files.wall import WallFile

Value = dict[str, Any]

GOOD: Value = {
    "bare_unit": "in",
    "photos": [
        {"file": "a.jpg", "marks": {"p": [1, 2], "q": {"at": [3, 4]}, "r": [5, 6.5]}},
        {"file": "b.jpg", "marks": {"p": [1, 2]}},
    ],
    "level": ["p", "q"],
    "dimensions": [
        {"name": "wide", "kind": "distance", "from": "p", "to": "q"},
        {"name": "down", "kind": "to_line", "from": "r", "line": ["p", "q"]},
        {"name": "by tape", "kind": "dx", "from": "x", "to": "y"},
    ],
    "readings": [{"id": "r1", "dimension": "wide", "value": "59 7/8"}],
}
CARD = {"serial": 1}
RECTANGLE = {
    "name": "card",
    "size_mm": [85.6, 53.98],
    "u_mm": [0.07, 0.03],
    "corners": {"a.jpg": [[0, 10], [10, 10], [10, 0], [0, 0]]},
}
EDGES = [[[1, 10], [9, 10]], [[10, 9], [10, 1]], [[9, 0], [1, 0]], [[0, 1], [0, 9]]]
LINE = {"name": "deck", "points": {"a.jpg": [[0, 10], [50, 10], [99, 11]]}}
READING = {"id": "r2", "dimension": "wide", "value": "60"}


def load(tmp_path: Path, value: Value) -> WallFile:
    path = tmp_path / "wall.json"
    path.write_text(json.dumps(value), encoding="utf-8")
    return load_model(path, WallFile)


def changed(change: Callable[[Value], object]) -> Value:
    value = copy.deepcopy(GOOD)
    change(value)
    return value


def test_good_wall_loads(tmp_path: Path) -> None:
    """The wall that every case below spoils is itself fine, its tape-only dimension included."""
    wall = load(tmp_path, GOOD)

    assert wall.dimensions[2].points == ("x", "y")
    assert wall.photos[0].mark_sd_px == 1.0


def test_readings_alone_are_a_wall(tmp_path: Path) -> None:
    """Photos may be missing where there are readings."""
    value = {
        "dimensions": [{"name": "wide", "from": "p", "to": "q"}],
        "readings": [{"id": "r1", "dimension": "wide", "value": "1521 mm"}],
    }

    assert load(tmp_path, value).readings[0].value == "1521 mm"


@pytest.mark.parametrize(
    ("field", "said", "change"),
    [
        ("", "photos or readings", lambda v: [v.pop(k) for k in list(v)]),
        (
            "photos[1].file",
            "'a.jpg' is in photos[0]",
            lambda v: v["photos"][1].update(file="a.jpg"),
        ),
        ("photos[0].marks.q.at", "", lambda v: v["photos"][0]["marks"].update(q=[1, 2, 3])),
        ("photos[0].marks.q.at[1]", "number", lambda v: v["photos"][0]["marks"].update(q=[1, "2"])),
        ("photos[0].marks.q.at", "missing", lambda v: v["photos"][0]["marks"].update(q={})),
        (
            "photos[0].marks.q.sd",
            "known here: at, sd_px",
            lambda v: v["photos"][0]["marks"]["q"].update(sd=1),
        ),
        ("photos[0].mark_sd_px", "at least 0.01", lambda v: v["photos"][0].update(mark_sd_px=0)),
        (
            "photos[1].marks.p.standoff_mm",
            "expected 9 as in photos[0], not 8",
            lambda v: [
                v["photos"][i]["marks"].update(p={"at": [1, 2], "standoff_mm": 9 - i})
                for i in (0, 1)
            ],
        ),
        ("level[1]", "'zz' is in none", lambda v: v.update(level=["p", "zz"])),
        ("level", "two different", lambda v: v.update(level=["p", "p"])),
        ("plumb[0]", "'zz' is in none", lambda v: v.update(plumb=["zz", "p"])),
        ("dimensions[0].to", "'zz' is in none", lambda v: v["dimensions"][0].update(to="zz")),
        ("dimensions[0].to", "missing", lambda v: v["dimensions"][0].pop("to")),
        ("dimensions[1].line", "'zz'", lambda v: v["dimensions"][1].update(line=["p", "zz"])),
        ("dimensions[1].line", "missing", lambda v: v["dimensions"][1].pop("line")),
        ("dimensions[1].to", "has none", lambda v: v["dimensions"][1].update(to="q")),
        ("dimensions[0]", "different marks", lambda v: v["dimensions"][0].update(to="p")),
        ("dimensions[0].from", "with a role", lambda v: v["dimensions"][0].pop("from")),
        (
            "dimensions[0].from",
            "though 'q' is there",
            lambda v: (v["dimensions"][0].pop("from"), v["dimensions"][0].update(role="depth")),
        ),
        ("dimensions[1].name", "'wide'", lambda v: v["dimensions"][1].update(name="wide")),
        ("dimensions[0].kind", "'distance'", lambda v: v["dimensions"][0].update(kind="length")),
        ("readings[0].dimension", "'high'", lambda v: v["readings"][0].update(dimension="high")),
        ("readings[1].id", "'r1'", lambda v: v["readings"].append(READING | {"id": "r1"})),
        ("readings[0].replaces", "'r9'", lambda v: v["readings"][0].update(replaces="r9")),
        (
            "readings[0].replaces",
            "replace itself",
            lambda v: (
                v["readings"][0].update(replaces="r2"),
                v["readings"].append(READING | {"replaces": "r1"}),
            ),
        ),
        ("readings[0].value", "no unit", lambda v: v.pop("bare_unit")),
        ("readings[0].value", "in quotes", lambda v: v["readings"][0].update(value=59.875)),
        ("readings[0].value", "smaller than one", lambda v: v["readings"][0].update(value="1 9/8")),
        ("readings[0].value", "greater than zero", lambda v: v["readings"][0].update(value="0")),
        ("readings[0].u_mm", "at least 0.0001", lambda v: v["readings"][0].update(u_mm=-1)),
        ("readings[0].u_mm", "at least 0.0001", lambda v: v["readings"][0].update(u_mm=1e-300)),
        (
            "readings[0].instrument.class",
            "'HB44'",
            lambda v: v["readings"][0].update(instrument={"class": "IV"}),
        ),
        (
            "photos[0].marks.q.at[0]",
            "at most 1000000",
            lambda v: v["photos"][0]["marks"].update(q=[1e300, 2]),
        ),
        (
            "photos[0].marks.q.standoff_mm",
            "at least -1000",
            lambda v: v["photos"][0]["marks"].update(q={"at": [1, 2], "standoff_mm": -1e200}),
        ),
        ("cards[1].serial", "1 is in cards[0]", lambda v: v.update(cards=[CARD, CARD])),
        ("cards[0].serial", "at least 1", lambda v: v.update(cards=[{"serial": 0}])),
        (
            "cards[0].print_check[0].measured",
            "no unit",
            lambda v: (
                v.pop("bare_unit"),
                v["readings"].clear(),
                v.update(
                    cards=[
                        CARD
                        | {"print_check": [{"axis": "x", "nominal_mm": 170, "measured": "169.6"}]}
                    ]
                ),
            ),
        ),
        (
            "rectangles[0].corners.c.jpg",
            "'a.jpg', 'b.jpg'",
            lambda v: v.update(
                rectangles=[
                    RECTANGLE | {"corners": {"c.jpg": [[0, 10], [10, 10], [10, 0], [0, 0]]}}
                ]
            ),
        ),
        (
            "rectangles[0].corners.a.jpg",
            "counter-clockwise",
            lambda v: v.update(
                rectangles=[
                    RECTANGLE | {"corners": {"a.jpg": [[0, 0], [10, 0], [10, 10], [0, 10]]}}
                ]
            ),
        ),
        (
            "rectangles[0].corners",
            "corners or edges",
            lambda v: v.update(rectangles=[RECTANGLE | {"corners": {}}]),
        ),
        (
            "rectangles[0].edges.a.jpg",
            "not both",
            lambda v: v.update(rectangles=[RECTANGLE | {"edges": {"a.jpg": EDGES}}]),
        ),
        (
            "rectangles[0].edges.a.jpg",
            "counter-clockwise",
            lambda v: v.update(
                rectangles=[RECTANGLE | {"corners": {}, "edges": {"a.jpg": EDGES[::-1]}}]
            ),
        ),
        (
            "lines[0].points.c.jpg",
            "'a.jpg', 'b.jpg'",
            lambda v: v.update(lines=[LINE | {"points": {"c.jpg": [[0, 0], [9, 9], [5, 5]]}}]),
        ),
        (
            "lines[0].points.a.jpg",
            "that are apart",
            lambda v: v.update(lines=[LINE | {"points": {"a.jpg": [[5, 5], [5, 5], [5, 5]]}}]),
        ),
        (
            "lines[0].points",
            "three or more points",
            lambda v: v.update(lines=[LINE | {"points": {"a.jpg": [[0, 0], [9, 9]]}}]),
        ),
        ("lines[1].name", "'deck' is in lines[0]", lambda v: v.update(lines=[LINE, LINE])),
        (
            "rectangles[0].size_mm[0]",
            "at least 0.000001",
            lambda v: v.update(rectangles=[RECTANGLE | {"size_mm": [0, 5]}]),
        ),
        ("colour", "not a known key; known here: wall, bare_unit", lambda v: v.update(colour=1)),
        ("bare_unit", "'in', 'mm', 'cm' or 'm'", lambda v: v.update(bare_unit="inch")),
        ("photos", "", lambda v: v.update(photos={})),
    ],
)
def test_wall_is_refused(
    tmp_path: Path, field: str, said: str, change: Callable[[Value], object]
) -> None:
    """Each fault is refused in one line that names the file, the field and what was expected."""
    with pytest.raises(FileError) as caught:
        load(tmp_path, changed(change))

    message = str(caught.value)
    assert caught.value.field == field
    assert said in message
    assert message.startswith(str(tmp_path / "wall.json"))
    assert "\n" not in message


def test_rectangle_in_order_loads(tmp_path: Path) -> None:
    """A rectangle whose corners go round as stated is taken, however it is turned."""
    corners = RECTANGLE["corners"]["a.jpg"]  # type: ignore[index]
    for turn in range(4):
        turned = corners[turn:] + corners[:turn]
        value = GOOD | {"rectangles": [RECTANGLE | {"corners": {"a.jpg": turned}}]}

        assert len(load(tmp_path, value).rectangles) == 1


def test_lines_and_edges_load(tmp_path: Path) -> None:
    """Two points suffice where the direction is known; edges stand in place of corners."""
    level = {"name": "joint", "direction": "level", "points": {"b.jpg": [[0, 10], [99, 11]]}}
    edged = RECTANGLE | {"corners": {}, "edges": {"a.jpg": EDGES}}

    wall = load(tmp_path, GOOD | {"lines": [LINE, level], "rectangles": [edged]})

    assert [line.direction for line in wall.lines] == [None, "level"]
    assert len(wall.rectangles[0].edges["a.jpg"]) == 4


def test_name_with_line_break_is_refused(tmp_path: Path) -> None:
    """A name cannot break the one line of an error, nor a drawing's label."""
    with pytest.raises(FileError, match="control characters"):
        load(tmp_path, GOOD | {"wall": "back\nwall"})
