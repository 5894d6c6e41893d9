"""What a named size of an alcove must say in a wall file."""

from __future__ import annotations

import json
from typing import Any

import pytest

from service.actions.measure.named_sizes import wall_sizes
from service.errors import FileError
from service.files.loading import parse_model
from service.files.wall import WallFile
from service.measuring.alcove.vocabulary import Role, Side


def _wall(corner: str | None = None, touched: str | None = None, **said: Any) -> WallFile:
    dimension = {"name": "a", "kind": "dx", "from": "p", "to": "q", **said}
    reading = {"id": "r", "dimension": "a", "value": "29 1/2", "surface": touched}
    document = {
        "bare_unit": "in",
        "corner": corner,
        "dimensions": [dimension],
        "readings": [reading],
    }
    return parse_model(json.dumps(document), "wall.json", WallFile)


@pytest.mark.parametrize(
    ("said", "field", "words"),
    [
        ({"role": "offset", "side": "left"}, "dimensions[0].down", "offset needs it"),
        ({"role": "width"}, "dimensions[0].down", "width needs it"),
        ({"role": "height"}, "dimensions[0].at", "at or side"),
        ({"role": "fixture down"}, "dimensions[0].fixture", "needs it"),
        ({"down": "16"}, "dimensions[0].role", "named size"),
        ({"role": "offset", "side": "inner", "down": "16"}, "corner", "is missing"),
        ({"role": "offset", "side": "front", "down": "16"}, "dimensions[0].side", "at the front"),
        ({"role": "corner diagonal", "side": "inner"}, "dimensions[0].side", "left or right"),
        ({"role": "offset", "side": "left", "down": "16 furlongs"}, "dimensions[0].down", "16"),
        ({"role": "ceiling rose"}, "dimensions[0].role", "offset"),
    ],
)
def test_what_is_missing_is_named(said: dict[str, Any], field: str, words: str) -> None:
    """A named size that does not say all that its role needs is refused by field."""
    with pytest.raises(FileError) as caught:
        _wall(**said)
    assert caught.value.field == field
    assert words in caught.value.expected


def test_a_reading_to_another_surface_is_another_size() -> None:
    """A reading to bare plaster does not go into a size that is to the tile."""
    said = {"role": "offset", "side": "left", "down": "16", "surface": "tile"}
    with pytest.raises(FileError, match="expected tile"):
        _wall(touched="bare", **said)
    assert _wall(touched="tile", **said).readings[0].surface == "tile"


def test_what_a_reading_touched_is_what_its_size_is_to() -> None:
    """Said of the reading alone, the surface is the size's, by role and by name alike; unsaid, the
    size has none."""
    said = {"role": "offset", "side": "left", "down": "16"}
    for touched in ("bare", None):
        (size,) = wall_sizes(_wall(touched=touched, **said)).sizes
        assert size.surface == touched


def test_readings_to_two_surfaces_are_of_two_sizes() -> None:
    """A second reading to another surface is refused; one that takes the first's place is not."""
    document = {
        "bare_unit": "in",
        "dimensions": [{"name": "a", "role": "offset", "side": "left", "down": "16"}],
        "readings": [
            {"id": "r1", "dimension": "a", "value": "29 1/2", "surface": "tile"},
            {"id": "r2", "dimension": "a", "value": "29 7/8", "surface": "bare"},
        ],
    }
    with pytest.raises(FileError) as caught:
        parse_model(json.dumps(document), "wall.json", WallFile)
    assert caught.value.field == "readings[1].surface"
    document["readings"][1]["replaces"] = "r1"  # type: ignore[index]
    wall = parse_model(json.dumps(document), "wall.json", WallFile)
    assert wall_sizes(wall).sizes[0].surface == "bare"


def test_left_and_right_of_an_end_wall_are_inner_and_outer() -> None:
    """On an end wall with its corner on the right, the right side is the inner one."""
    sizes = wall_sizes(_wall("right", role="offset", side="right", down="-3/4"))

    assert (sizes.corner, sizes.meets) == (Side.RIGHT, Side.LEFT)
    (size,) = sizes.sizes
    assert (size.role, size.side) == (Role.OFFSET, Side.INNER)
    assert size.down_mm == pytest.approx(-0.75 * 25.4)


def test_a_wall_without_roles_has_the_corner_that_its_file_tells() -> None:
    """Its plumb line named from above or from below, the inner edge is on the side told."""
    for line in (["p", "q"], ["q", "p"]):
        dimension = {"name": "inner 16", "kind": "to_line", "from": "i", "line": line}
        document = {
            "corner": "left",
            "photos": [{"file": "a.jpg", "marks": {"p": [1, 1], "q": [1, 9], "i": [5, 5]}}],
            "plumb": ["p", "q"],
            "dimensions": [dimension],
            "readings": [{"id": "r", "dimension": "inner 16", "value": "10 in"}],
        }
        sizes = wall_sizes(parse_model(json.dumps(document), "wall.json", WallFile))
        assert (sizes.corner, sizes.sizes[0].side) == (Side.LEFT, Side.INNER)
