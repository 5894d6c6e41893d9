"""A sight as plain values that JSON carries whole, and back, to the last bit.

Floats are written as the shortest text that reads back to the same number, so a wall measured from
a kept sight gives the same report as one measured from the photo.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any, Final

import numpy as np

from vision.card.design import BOARD_OUTLINE_MM, card_design
from vision.card.found import FoundCard
from vision.card.plane_map import fit_plane_map
from vision.card.search import SearchNote
from vision.errors import Refusal
from vision.measure_wall.sight import Sight
from vision.photo.photograph import Header
from vision.quality.advice import Advice
from vision.units import read_only

_PLACES: Final = ("corner_ids", "pixels", "covariance_px2")
_FIGURES: Final = ("serial", "contrast", "blur_px", "pixels_per_cell", "tilt_deg", "saturated")


def sight_record(sight: Sight) -> dict[str, Any]:
    """The sight in lists, numbers and text."""
    refusal = sight.refusal
    return {
        "header": None if sight.header is None else asdict(sight.header),
        "cards": [_card_record(card, sight.header) for card in sight.cards],
        "advice": [asdict(item) for item in sight.advice],
        "notes": [asdict(note) for note in sight.notes],
        "refusal": None
        if refusal is None
        else {"code": refusal.code, "text": refusal.text, "do": refusal.do},
    }


def sight_from_record(record: Mapping[str, Any]) -> Sight:
    """The sight that `sight_record` wrote."""
    header, refusal = record["header"], record["refusal"]
    return Sight(
        header=None if header is None else Header(**header),
        cards=tuple(_card(row) for row in record["cards"]),
        advice=tuple(Advice(**row) for row in record["advice"]),
        refusal=None
        if refusal is None
        else Refusal(refusal["code"], refusal["text"], refusal["do"]),
        notes=tuple(
            SearchNote(row["code"], row["text"], row["serial"], (row["at_px"][0], row["at_px"][1]))
            for row in record["notes"]
        ),
    )


def _card_record(card: FoundCard, header: Header | None) -> dict[str, Any]:
    size = (0, 0) if header is None else (header.width_px, header.height_px)
    return {
        **{name: getattr(card, name).tolist() for name in _PLACES},
        **{name: getattr(card, name) for name in _FIGURES},
        "outline_px": _outline(card, size),
    }


def _outline(card: FoundCard, size: tuple[int, int]) -> list[list[float]]:
    """The board's four outer corners in the photo, to be drawn; empty where they cannot be."""
    points = card_design(card.serial).corners_mm[card.corner_ids]
    plane_map = fit_plane_map(points, card.pixels, size, bent=False)
    outline = None if plane_map is None else plane_map.pixels(BOARD_OUTLINE_MM)
    if outline is None or not np.isfinite(outline).all():
        return []
    return [[float(x), float(y)] for x, y in outline]


def _card(row: Mapping[str, Any]) -> FoundCard:
    corner_ids = np.array(row["corner_ids"], dtype=np.int64)
    corner_ids.setflags(write=False)
    return FoundCard(
        corner_ids=corner_ids,
        pixels=read_only(np.array(row["pixels"], dtype=np.float64)),
        covariance_px2=read_only(np.array(row["covariance_px2"], dtype=np.float64)),
        **{name: row[name] for name in _FIGURES},
    )
