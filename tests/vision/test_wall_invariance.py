"""What must not change a wall's sizes or intervals: frames, orders, turned photos, units."""

from __future__ import annotations

import random
from dataclasses import replace
from math import pi

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.actions.measure.asked import readings_of, wall_request
from service.files.wall import WallFile
from tests.support.simulated_lines import TrueLine, TrueRectangle
from tests.support.simulated_wall import ADVISED, SimulatedWall, simulate
from vision.card.found import FoundCard
from vision.measure_wall import PhotoRequest, Sight, measure_wall
from vision.units import FloatArray

FEW = settings(max_examples=6, deadline=None)
PLAN = replace(
    ADVISED,
    cameras=(*ADVISED.cameras, ((620.0, 500.0, 1600.0), (600.0, 340.0))),
    lines={
        "deck": TrueLine((-150, -245), (1400, -240)),
        "joint": TrueLine((300, -200), (301, 800)),
    },
    rectangles={"letter": TrueRectangle((700, 300, 0.1), (215.9, 279.4))},
)


def _figures(wall: SimulatedWall) -> tuple[FloatArray, FloatArray]:
    """Sizes in the scene's order and their standard uncertainties."""
    found = measure_wall(wall.request, wall.sights).estimates()
    order = [found.names.index(name) for name in sorted(found.names)]
    return found.mm[order], np.sqrt(np.diag(found.covariance_mm2))[order]


def _same(wall: SimulatedWall, other: SimulatedWall, mm: float) -> None:
    (sizes, u), (other_sizes, other_u) = _figures(wall), _figures(other)
    np.testing.assert_allclose(other_sizes, sizes, rtol=0, atol=mm)
    np.testing.assert_allclose(other_u, u, rtol=1e-4)


@FEW
@given(turn=st.floats(-pi, pi), x=st.floats(700, 1000), y=st.floats(300, 500))
def test_a_frame_moved_and_turned_anyhow_changes_nothing(turn: float, x: float, y: float) -> None:
    """A second card at any turn and place as datum: the whole scene moves, lengths stay to 1 µm."""
    plan = replace(PLAN, cards={1: PLAN.cards[1], 2: (x, y, turn)}, rectangles={})
    wall = simulate(np.random.default_rng(1), plan, None, 0.25)

    _same(wall, replace(wall, request=replace(wall.request, datum_card=2)), 1e-3)


@FEW
@given(seed=st.integers(0, 10**6))
def test_photos_marks_lines_and_cards_in_any_order_change_nothing(seed: int) -> None:
    """Everything that has an order in the file is shuffled."""
    wall = simulate(np.random.default_rng(2), PLAN, None, 0.25)
    dice = random.Random(seed)
    pairs = list(zip(wall.request.photos, wall.sights, strict=True))
    dice.shuffle(pairs)
    photos = tuple(
        replace(photo, taps=tuple(dice.sample(photo.taps, len(photo.taps)))) for photo, _ in pairs
    )
    sights = tuple(
        replace(sight, cards=tuple(dice.sample(sight.cards, len(sight.cards))))
        for _, sight in pairs
    )
    request = replace(
        wall.request,
        photos=photos,
        cards=tuple(dice.sample(wall.request.cards, 2)),
        lines=tuple(
            replace(line, points_px=dict(dice.sample(list(line.points_px.items()), 3)))
            for line in wall.request.lines[::-1]
        ),
    )

    _same(wall, replace(wall, request=request, sights=sights), 1e-4)


@pytest.mark.parametrize("orientation", [3, 6, 8])
def test_photos_stored_turned_change_nothing(orientation: int) -> None:
    """The same pixels under another EXIF orientation: the lens turns with the sensor."""
    plan = replace(PLAN, lines={}, rectangles={})
    wall = simulate(np.random.default_rng(3), plan, None, 0.25)
    turned = [
        _turned(photo, sight, orientation)
        for photo, sight in zip(wall.request.photos, wall.sights, strict=True)
    ]
    photos, sights = zip(*turned, strict=True)

    _same(wall, replace(wall, request=replace(wall.request, photos=photos), sights=sights), 1e-4)


def _turned(photo: PhotoRequest, sight: Sight, orientation: int) -> tuple[PhotoRequest, Sight]:
    """A photo as it stands upright when its file says ``orientation`` (CIPA DC-008)."""
    header = sight.header
    assert header is not None
    width, height = header.width_px, header.height_px

    def upright(pixels: FloatArray) -> FloatArray:
        x, y = pixels[..., 0], pixels[..., 1]
        places = {3: (width - 1 - x, height - 1 - y), 6: (height - 1 - y, x), 8: (y, width - 1 - x)}
        return np.stack(places[orientation], axis=-1)

    def card(found: FoundCard) -> FoundCard:
        return replace(found, pixels=upright(found.pixels))

    sides = (width, height) if orientation == 3 else (height, width)
    taps = []
    for tap in photo.taps:
        x, y = upright(np.array(tap.at_px))
        taps.append(replace(tap, at_px=(float(x), float(y))))
    stored = replace(header, orientation=orientation, width_px=sides[0], height_px=sides[1])
    cards = tuple(card(found) for found in sight.cards)
    return replace(photo, taps=tuple(taps)), replace(sight, header=stored, cards=cards)


@FEW
@given(tenths=st.integers(1000, 30000))
def test_readings_in_any_unit_are_the_same_readings(tenths: int) -> None:
    """Millimetres, centimetres, metres, and a bare number by the file's unit: equal to the bit."""
    texts = [
        (f"{tenths / 10:.1f} mm", None),
        (f"{tenths / 100:.2f} cm", None),
        (f"{tenths / 10000:.4f} m", None),
        (f"{tenths / 10:.1f}", "mm"),
    ]
    read = [_read(text, unit) for text, unit in texts]

    assert len({mm for mm, _ in read}) == 1
    assert len({ruler for _, ruler in read}) == 1


@pytest.mark.parametrize("text", ["59 7/8", '59-7/8"', "4' 11 7/8\"", "59.875 in"])
def test_inches_in_any_writing_are_the_same_readings(text: str) -> None:
    """All are 59 7/8 in, 1520.825 mm."""
    mm, ruler = _read(text, "in")

    assert mm == pytest.approx(1520.825, abs=1e-9)
    assert ruler == mm


def _read(text: str, unit: str | None) -> tuple[float, float]:
    """A reading's mm and a ruler check's, as the measuring gets them."""
    check = {"axis": "x", "nominal_mm": 170, "measured": text, "half_width_mm": 0.25}
    wall = WallFile.model_validate(
        {
            "bare_unit": unit,
            "photos": [{"file": "a.jpg"}],
            "cards": [{"serial": 1, "print_check": [check]}],
            "dimensions": [{"name": "width", "from": "p", "to": "q"}],
            "readings": [{"id": "r", "dimension": "width", "value": text}],
        }
    )
    (reading,) = readings_of(wall)
    return reading.mm, wall_request(wall).cards[0].checks[0].measured_mm
