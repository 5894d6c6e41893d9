"""What runs in the limited process: the photo is kept decoded there while it is worked on."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from functools import lru_cache
from pathlib import Path
from typing import Any, Final

import numpy as np

from vision.card.found import FoundCard
from vision.card.seeded import refine_from_seed
from vision.errors import Refusal
from vision.measure_wall.record import sight_record
from vision.measure_wall.sight import Sight
from vision.photo.decode import decode_colour, decode_photo
from vision.photo.photograph import Photograph
from vision.plane.area import Area, PlaneFrame
from vision.plane.elevation import WallPhoto, draw_elevation
from vision.plane.snap import Doubt, Snap, SnapOffer, offer_plates, offer_snaps, trace_edge
from vision.plane.snap.offer import REACH_SD
from vision.plane.suggest import Suggestion, suggest
from vision.plane.view import WallView
from vision.quality.advice import card_advice
from vision.units import FloatArray, GreyImage, read_only

_PHOTOS_KEPT: Final = 2
_POINTS: Final = ("corner", "crossing", "line end")
_PLATE_TAP_SD_PX: Final = 4.0
"""Nobody sees the middle of a bare plate to a pixel, however well the photo is enlarged."""
_SAME_PX: Final = 1.2
_MOST_SNAPS: Final = 4
_SEVERAL: Final = Doubt(
    "several-near", "Several things lie near this point: choose one, or keep it as you set it."
)
_SUGGEST_MM_PER_PX: Final = 1.5
_STEPS_ALONG: Final = 200
_LINE_REACH_PX: Final = 6.0
"""A suggested line is known to two millimetres or so."""
_MOST_REACH_PX: Final = 12.0


def answer_in_child(photo: Path, question: str) -> str:
    """Answer one question about a photo; question and answer are JSON text.

    ``ready`` decodes the photo ahead of the others; ``snaps`` what a point may have meant;
    ``suggestions`` what may be marked; ``card`` the card between four taps; ``edges`` what goes
    from corner to corner of a rectangle.
    """
    asked = json.loads(question)
    answers: dict[str, Callable[[Path, Mapping[str, Any]], dict[str, Any]]] = {
        "ready": _ready,
        "snaps": _snaps,
        "suggestions": _suggestions,
        "card": _card,
        "edges": _edges,
    }
    try:
        answer = answers[asked["ask"]](photo, asked)
    except Refusal as refusal:
        told = {"code": refusal.code, "text": refusal.text, "do": refusal.do}
        answer = {"refused": told}
    return json.dumps(answer, allow_nan=False)


@lru_cache(maxsize=_PHOTOS_KEPT)
def _decoded(photo: str) -> Photograph:
    """By a path that is named by the photo's own hash, so that it never shows another one."""
    return decode_photo(Path(photo).read_bytes())


def _ready(photo: Path, _asked: Mapping[str, Any]) -> dict[str, Any]:
    _decoded(str(photo))
    return {}


def _snaps(photo: Path, asked: Mapping[str, Any]) -> dict[str, Any]:
    grey = _decoded(str(photo)).grey
    limits = np.array(grey.shape[::-1], dtype=np.float64) - 1
    tap = np.clip(np.array(asked["at"], dtype=np.float64), 0.0, limits)
    offer = offer_snaps(grey, tap, asked["sd_px"])
    points = [snap for snap in offer.snaps if snap.kind in _POINTS]
    plates: Sequence[Snap] = ()
    if asked["view"] is not None and (asked["round"] or not points):
        sd_px = max(asked["sd_px"], _PLATE_TAP_SD_PX)
        found = offer_plates(grey, _view(asked["view"]), tap, sd_px, asked["height_mm"])
        plates = found.snaps
    doubt = _doubt(offer, plates, points)
    snaps = _distinct((*plates, *offer.snaps))[:_MOST_SNAPS]
    told = None if doubt is None else {"code": doubt.code, "text": doubt.text}
    return {"snaps": [_snap(snap) for snap in snaps], "doubt": told}


def _distinct(snaps: Sequence[Snap]) -> list[Snap]:
    """Two searches may come to one thing."""
    kept: list[Snap] = []
    for snap in snaps:
        if all(np.hypot(*(snap.pixel - other.pixel)) > _SAME_PX for other in kept):
            kept.append(snap)
    return kept


def _doubt(offer: SnapOffer, plates: Sequence[Snap], points: Sequence[Snap]) -> Doubt | None:
    """Where a plate and a corner contend, or two plates, only the person can tell."""
    if not plates:
        return offer.doubt
    return None if len(plates) == 1 and not points else _SEVERAL


def _snap(snap: Snap) -> dict[str, Any]:
    return {
        "kind": snap.kind,
        "at": snap.pixel.tolist(),
        "cov_px2": ((snap.covariance_px2 + snap.covariance_px2.T) / 2).tolist(),
        "text": snap.text,
    }


def _suggestions(photo: Path, asked: Mapping[str, Any]) -> dict[str, Any]:
    view = _view(asked["view"])
    frame = PlaneFrame(np.array(asked["origin_mm"]), np.array(asked["along"]))
    left, bottom, right, top = asked["area_mm"]
    area = Area(left, bottom, right, top, _SUGGEST_MM_PER_PX)
    colours = WallPhoto(view, lambda: np.asarray(decode_colour(photo.read_bytes()), np.uint8))
    found = suggest(draw_elevation([colours], area, frame))
    placed = [(one, _in_photo(one, view, frame)) for one in found]
    grey = _decoded(str(photo)).grey
    return {
        "suggestions": [
            {
                "kind": one.kind,
                "text": one.text,
                "strength": one.strength,
                "at": (at if len(at) == 1 else at[[0, -1]]).tolist(),
                "line": _edge(grey, at, _LINE_REACH_PX) if one.kind == "deck line" else None,
            }
            for one, at in placed
            if at is not None
        ]
    }


def _in_photo(one: Suggestion, view: WallView, frame: PlaneFrame) -> FloatArray | None:
    """Pixels (n, 2) of a suggestion; of a line those along what the photo shows, None for none."""
    ends = one.points_mm
    places = (
        ends
        if len(ends) == 1
        else ends[0] + np.linspace(0, 1, 200)[:, None] * np.diff(ends, axis=0)
    )
    flat = frame.on_wall(np.asarray(places, np.float64))
    pixels = view.pixels(np.column_stack([flat, np.zeros(len(flat))]))
    inside = np.all((pixels >= 0) & (pixels <= np.array(view.size_px) - 1), axis=1)
    if not inside.any():
        return None
    return pixels if len(ends) == 1 else pixels[inside]


def _edges(photo: Path, asked: Mapping[str, Any]) -> dict[str, Any]:
    grey = _decoded(str(photo)).grey
    corners = np.array(asked["corners"], dtype=np.float64)
    reach = min(REACH_SD * asked["sd_px"] + 1.0, _MOST_REACH_PX)
    sides = zip(corners, np.roll(corners, -1, axis=0), strict=True)
    return {"edges": [_edge(grey, np.array(side), reach) for side in sides]}


def _edge(grey: GreyImage, way: FloatArray, reach_px: float) -> dict[str, Any] | None:
    traced = trace_edge(grey, way, reach_px)
    if traced is None:
        return None
    return {"points": np.round(traced.pixels, 3).tolist(), "sd_px": round(traced.sd_px, 3)}


def _card(photo: Path, asked: Mapping[str, Any]) -> dict[str, Any]:
    decoded = _decoded(str(photo))
    taps = np.array(asked["corners"], dtype=np.float64)
    card = refine_from_seed(decoded.grey, asked["serial"], taps)
    return _card_record(decoded, card)


def _card_record(decoded: Photograph, card: FoundCard) -> dict[str, Any]:
    record = sight_record(Sight(decoded.header, (card,), card_advice(card)))
    return {"card": record["cards"][0], "advice": record["advice"]}


def _view(told: Mapping[str, Any]) -> WallView:
    width, height = told["size_px"]
    values = (read_only(np.array(told[name])) for name in ("camera", "rotation", "shift"))
    return WallView((width, height), *values)
