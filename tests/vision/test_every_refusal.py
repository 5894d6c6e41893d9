"""One input for every typed refusal: what is given, and that just that code answers it."""

from __future__ import annotations

import ast
from collections.abc import Callable
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from tests.support.board_render import Camera, Scene, photograph, place
from tests.support.simulated_lines import TrueRectangle
from tests.support.simulated_wall import Plan, SimulatedWall, simulate
from tests.vision.test_card_seeded import taps
from tests.vision.test_lens_profile import ROUND_THE_CARD, STRAIGHT_ON
from vision.card.seeded import refine_from_seed
from vision.errors import Refusal
from vision.measure_wall import (
    PhotoRequest,
    RectangleRequest,
    SizeRequest,
    WallRequest,
    look,
    make_profile,
)
from vision.measure_wall import measure_wall as measure
from vision.photo.decode import Limits, decode_photo
from vision.units import GreyImage

ROOT = Path(__file__).parents[2]


def refusal_codes() -> set[str]:
    """First arguments of every ``Refusal(...)`` in the package."""
    calls = [
        node
        for path in (ROOT / "vision").rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Refusal"
    ]
    return {
        first.value
        for call in calls
        for first in call.args[:1]
        if isinstance(first, ast.Constant) and isinstance(first.value, str)
    }


def encoded(grey: GreyImage, kind: str = "PNG") -> bytes:
    stream = BytesIO()
    Image.fromarray(grey).save(stream, kind)
    return stream.getvalue()


GREY = np.random.default_rng(4).integers(0, 255, (64, 96), dtype=np.uint8)
CAMERA = Camera((700, 560))
TAPS = np.array([[200.0, 100.0], [420.0, 110.0], [410.0, 430.0], [190.0, 420.0]])


def decoded(data: bytes, limits: Limits | None = None) -> None:
    decode_photo(data, limits or Limits())


def looked(grey: GreyImage) -> None:
    refusal = look(encoded(grey)).refusal
    if refusal is not None:
        raise refusal


def without_tables() -> None:
    data = bytearray(encoded(GREY, "JPEG"))
    at = data.index(b"\xff\xdb")
    data[at + 2 : at + 4] = (3).to_bytes(2)
    decoded(bytes(data))


def wall(seed: int = 12, plan: Plan | None = None) -> SimulatedWall:
    return simulate(np.random.default_rng(seed), plan)


def twice_in_a_photo() -> None:
    found = wall()
    first, second = found.sights[0].cards
    both = replace(found.sights[0], cards=(first, replace(second, serial=first.serial)))
    measure(found.request, [both, found.sights[1]])


def no_card_of_that_number() -> None:
    found = wall()
    measure(replace(found.request, datum_card=9), found.sights)


def a_line_between_one_mark_and_itself() -> None:
    found = wall()
    photos = tuple(
        replace(
            photo,
            taps=(*photo.taps, *(replace(t, name="twin") for t in photo.taps if t.name == "valve")),
        )
        for photo in found.request.photos
    )
    size = SizeRequest("down", "to_line", "left-low", line=("valve", "twin"))
    measure(replace(found.request, photos=photos, sizes=(size,)), found.sights)


def a_nominal_tile_alone() -> None:
    tile = {"tile": TrueRectangle((620.0, 560.0, 0.1), (300.0, 200.0))}
    found = wall(plan=replace(Plan(), rectangles=tile))
    named = tuple(replace(each, is_nominal=True) for each in found.request.rectangles)
    bare = [replace(sight, cards=()) for sight in found.sights]
    measure(replace(found.request, rectangles=named), bare)


def one_sheet_tapped_on_two_things() -> None:
    """In one photo on the lower card, in the other on the upper."""
    found = wall(21)
    corners = {
        photo.name: tuple((float(x), float(y)) for x, y in sight.cards[i].pixels[[20, 23, 3, 0]])
        for i, (photo, sight) in enumerate(zip(found.request.photos, found.sights, strict=True))
    }
    sheet = RectangleRequest("sheet", (108.0, 180.0), (0.1, 0.1), 0.5, 0.1, corners)
    measure(replace(found.request, rectangles=(sheet,)), found.sights)


def profile_from(plan: Plan, count: int = 7, *, models: int = 1) -> None:
    found = wall(3, plan)
    sights = [
        replace(sight, header=replace(sight.header, model=f"Model {i % models}"))
        for i, sight in enumerate(found.sights[:count])
        if sight.header is not None
    ]
    make_profile([photo.name for photo in found.request.photos[:count]], sights)


def card_picture(serial: int = 3) -> GreyImage:
    return photograph(Scene((place(serial, tilt_deg=15, distance_mm=900),), CAMERA, samples=3))


def tapped_as(serial: int) -> None:
    """The right corners, under another card's number."""
    camera = Camera((1400, 1100))
    shown = place(6, tilt_deg=20, spin_deg=5)
    refine_from_seed(photograph(Scene((shown,), camera)), serial, taps(shown, 2.0))


INPUTS: dict[str, Callable[[], object]] = {
    "empty": lambda: decoded(b""),
    "not-a-photo": lambda: decoded(b"%PDF-1.7"),
    "heic": lambda: decoded(b"\0\0\0\x18ftypavif" + bytes(20)),
    "too-many-bytes": lambda: decoded(encoded(GREY), Limits(max_bytes=100)),
    "too-many-pixels": lambda: decoded(encoded(GREY), Limits(max_pixels=100)),
    "truncated": lambda: decoded(encoded(GREY, "JPEG")[:-900]),
    "damaged": without_tables,
    "panorama": lambda: looked(np.tile(GREY, (1, 3))),
    "mirrored": lambda: looked(card_picture()[:, ::-1]),
    "no-card": lambda: measure(WallRequest((PhotoRequest("a"),)), [look(encoded(GREY))]),
    "duplicate-serial": twice_in_a_photo,
    "datum-card-not-found": no_card_of_that_number,
    "line-too-short": a_line_between_one_mark_and_itself,
    "nominal-size": a_nominal_tile_alone,
    "not-observable": one_sheet_tapped_on_two_things,
    "too-few-photos": lambda: profile_from(ROUND_THE_CARD, 5),
    "mixed-lenses": lambda: profile_from(ROUND_THE_CARD, models=2),
    "lens-not-determined": lambda: profile_from(STRAIGHT_ON),
    "bad-taps": lambda: refine_from_seed(GREY, 3, TAPS[[0, 2, 1, 3]]),
    "corners-not-seen": lambda: refine_from_seed(np.full((560, 700), 99, np.uint8), 3, TAPS),
    "other-serial": lambda: tapped_as(3),
}


def test_there_is_an_input_for_every_refusal() -> None:
    """None is missing here, and none is here that the package no longer speaks."""
    assert set(INPUTS) == refusal_codes()


@pytest.mark.parametrize("code", INPUTS)
def test_the_refusal_is_reached_and_says_what_to_do(code: str) -> None:
    """The code is that one; what was found and what to do are each a sentence."""
    with pytest.raises(Refusal) as caught:
        INPUTS[code]()
    refusal = caught.value
    assert refusal.code == code
    assert refusal.text.endswith((".", "!"))
    assert refusal.do.endswith(".")
