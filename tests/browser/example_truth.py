"""What is true of the example's photos and walls, from the files that were written with them."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any, Final

from tests.rules.sources import CHECKOUT

EXAMPLE: Final = CHECKOUT / "fixtures" / "example"
PLASTER_MM: Final = -3.0


@cache
def truth() -> dict[str, Any]:
    """The rendered scene: where every mark is in every photo, before any hand missed it."""
    loaded: dict[str, Any] = json.loads((EXAMPLE / "truth.json").read_text(encoding="utf-8"))
    return loaded


@cache
def wall_file(wall: str) -> dict[str, Any]:
    """The wall as an installer filled it in."""
    loaded: dict[str, Any] = json.loads(
        (EXAMPLE / "seed-1" / f"{wall}.json").read_text(encoding="utf-8")
    )
    return loaded


def photo_file(name: str) -> Path:
    return EXAMPLE / "photos" / name


def true_marks(photo: str) -> dict[str, tuple[float, float]]:
    """Pixel of every mark that was set in a photo of the example, where it truly is."""
    found = next(row for row in truth()["photos"] if row["file"] == f"photos/{photo}")
    wall = wall_file(found["wall"].replace(" ", "-"))
    set_there = next(row["marks"] for row in wall["photos"] if row["file"].endswith(f"/{photo}"))
    return {name: (found["marks_px"][name][0], found["marks_px"][name][1]) for name in set_there}


def surface(wall: str, mark: str) -> str:
    """What a mark lies on, in the words of the photo page's choice."""
    for photo in wall_file(wall)["photos"]:
        if mark in photo["marks"]:
            away = photo["marks"][mark].get("standoff_mm", 0.0)
            return "plaster" if away < PLASTER_MM else "same" if away < -PLASTER_MM else "proud"
    raise KeyError(mark)
