"""Walls that cannot be measured as they are asked for, each refused by name."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tests.support.simulated_wall import (
    Plan,
    simulate,
)
from tests.vision.measured_wall import EXACT
from vision.errors import Refusal
from vision.measure_wall import (
    measure_wall,
)


def test_no_card_at_all_is_refused() -> None:
    """The refusal says to tape a card on the wall."""
    wall = simulate(np.random.default_rng(11))

    with pytest.raises(Refusal, match="card") as refused:
        measure_wall(wall.request, [replace(s, cards=()) for s in wall.sights])

    assert refused.value.code == "no-card"


def test_two_sheets_of_one_serial_in_a_photo_are_refused_by_name() -> None:
    """Serial 1 twice in one photo names serial 1."""
    wall = simulate(np.random.default_rng(12))
    twice = replace(wall.sights[0].cards[1], serial=1)
    sights = [replace(wall.sights[0], cards=(wall.sights[0].cards[0], twice)), wall.sights[1]]

    with pytest.raises(Refusal, match="serial 1") as refused:
        measure_wall(wall.request, sights)

    assert refused.value.code == "duplicate-serial"


def test_two_sheets_of_one_serial_in_two_photos_are_refused_by_name() -> None:
    """Each photo shows one sheet, both with serial 1: shared marks lie 1.1 m apart."""
    wall = simulate(np.random.default_rng(13))
    sights = [
        replace(wall.sights[0], cards=wall.sights[0].cards[:1]),
        replace(wall.sights[1], cards=(replace(wall.sights[1].cards[1], serial=1),)),
    ]

    with pytest.raises(Refusal, match="serial 1") as refused:
        measure_wall(wall.request, sights)

    assert refused.value.code == "duplicate-serial"


def test_a_datum_card_that_no_photo_shows_is_refused() -> None:
    """The refusal lists the cards found."""
    wall = simulate(np.random.default_rng(14))

    with pytest.raises(Refusal, match="1, 2") as refused:
        measure_wall(replace(wall.request, datum_card=9), wall.sights)

    assert refused.value.code == "datum-card-not-found"


def test_a_line_of_two_marks_on_one_spot_is_refused() -> None:
    """Two names for one point give no line."""
    wall = simulate(np.random.default_rng(15), nuisances=EXACT)
    photos = []
    for photo in wall.request.photos:
        at = {tap.name: tap.at_px for tap in photo.taps}
        taps = [replace(t, at_px=at["line-a"]) if t.name == "line-b" else t for t in photo.taps]
        photos.append(replace(photo, taps=tuple(taps)))

    with pytest.raises(Refusal, match="line-b") as refused:
        measure_wall(replace(wall.request, photos=tuple(photos)), wall.sights)

    assert refused.value.code == "line-too-short"


def test_a_card_in_two_places_is_refused_with_all_that_it_may_be() -> None:
    """Half a metre apart in two photos: two sheets, one moved, or another wall's photo."""
    wall, other = (
        simulate(np.random.default_rng(32), replace(Plan(), cards={1: (0.0, 0.0, 0.0), 2: at}))
        for at in ((1100.0, 150.0, 0.05), (500.0, 400.0, 0.05))
    )
    with pytest.raises(Refusal) as caught:
        measure_wall(wall.request, (wall.sights[0], other.sights[1]))
    assert caught.value.code == "duplicate-serial"
    assert all(word in str(caught.value) for word in ("moved", "another wall", "0.jpg", "1.jpg"))
