"""A copy of a photo, however it came, is no second look at the wall."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

from tests.support.board_render import Camera, Finish, Scene, photograph, place
from tests.support.simulated_wall import ADVISED, SimulatedWall, simulate
from tests.vision.test_heic import heic
from tests.vision.test_photo_decode import camera_exif, encode
from vision.measure_wall import PhotoRequest, Sight, look, measure_wall
from vision.measure_wall.repeats import repeated_sights

SCENE = Scene((place(4, tilt_deg=12, distance_mm=700),), Camera((1600, 1200), 1302.0))


def shot(scene: Scene = SCENE) -> Image.Image:
    return Image.fromarray(photograph(scene)).convert("RGB")


def sent_on(image: Image.Image) -> bytes:
    """As a messenger hands it over: shrunk, packed hard, its header gone."""
    return encode(image.resize((1280, 960), Image.Resampling.LANCZOS), "JPEG", quality=70)


@pytest.fixture(scope="module")
def original() -> Image.Image:
    return shot()


@pytest.mark.parametrize("how", ["heic", "packed anew", "sent on"])
def test_a_copy_is_known_by_its_corners(original: Image.Image, how: str) -> None:
    """The one with its camera's data counts, in whichever order they come."""
    copies = {
        "heic": lambda: heic(original, quality=60),
        "packed anew": lambda: encode(original, "JPEG", quality=75),
        "sent on": lambda: sent_on(original),
    }
    first = look(encode(original, "JPEG", quality=92, exif=camera_exif()))
    copy = look(copies[how]())

    assert repeated_sights([first, copy]) == {1: 0}
    assert repeated_sights([copy, first]) == {0: 1}


def test_a_second_exposure_is_none(original: Image.Image) -> None:
    """The phone held as still as may be, a millimetre away: another look, with noise of its own."""
    later = replace(
        SCENE,
        cards=(place(4, tilt_deg=12, distance_mm=700, aside_mm=(1.0, 0.3)),),
        finish=Finish(seed=2),
    )
    exposures = [look(encode(each, "JPEG", quality=92)) for each in (original, shot(later))]

    assert repeated_sights(exposures) == {}


def with_copies(wall: SimulatedWall, seed: int, shrunk: float = 1.0) -> SimulatedWall:
    """Each photo once more, packed anew and perhaps shrunk, its marks set where they were."""
    rng = np.random.default_rng(seed)
    sights, photos = list(wall.sights), list(wall.request.photos)
    for sight, photo in zip(wall.sights, wall.request.photos, strict=True):
        sights.append(copied(sight, rng, shrunk))
        taps = tuple(
            replace(tap, at_px=(at_px(tap.at_px[0], shrunk), at_px(tap.at_px[1], shrunk)))
            for tap in photo.taps
        )
        photos.append(PhotoRequest(f"copy of {photo.name}", taps))
    request = replace(wall.request, photos=tuple(photos))
    return replace(wall, request=request, sights=tuple(sights))


def at_px(pixel: float, shrunk: float) -> float:
    return (pixel + 0.5) * shrunk - 0.5


def copied(sight: Sight, rng: np.random.Generator, shrunk: float) -> Sight:
    assert sight.header is not None
    width, height = sight.header.width_px, sight.header.height_px
    header = replace(sight.header, width_px=round(width * shrunk), height_px=round(height * shrunk))
    cards = tuple(
        replace(
            card,
            pixels=(card.pixels + 0.5) * shrunk
            - 0.5
            + 0.04 * rng.standard_normal(card.pixels.shape),
        )
        for card in sight.cards
    )
    return replace(sight, header=header, cards=cards)


@pytest.mark.parametrize("shrunk", [1.0, 0.5])
def test_copies_make_no_size_surer(shrunk: float) -> None:
    """As exact as without them: counted as photos of their own they took a sixth off u."""
    wall = simulate(np.random.default_rng(12), ADVISED, None, 0.25)
    twice = with_copies(wall, 13, shrunk)
    plain = measure_wall(wall.request, wall.sights).estimates()
    found = measure_wall(twice.request, twice.sights)

    assert found.repeated == {2: 0, 3: 1}
    estimates = found.estimates()
    assert np.allclose(estimates.mm, plain.mm, atol=1e-6)
    assert np.allclose(estimates.covariance_mm2, plain.covariance_mm2, rtol=1e-9)


def test_a_mark_that_only_the_copy_has_is_carried_over() -> None:
    """At its place in the larger picture, with its spread."""
    wall = simulate(np.random.default_rng(14), ADVISED, None, 0.25)
    whole = measure_wall(wall.request, wall.sights).estimates()
    twice = with_copies(wall, 15, 0.5)
    first, *rest = twice.request.photos
    fewer = replace(first, taps=tuple(tap for tap in first.taps if tap.name != "left-top"))
    halved = [replace(p, taps=tuple(replace(t, sd_px=0.5) for t in p.taps)) for p in rest[1:]]
    photos = (fewer, rest[0], *halved)
    found = measure_wall(replace(twice.request, photos=photos), twice.sights).estimates()

    assert found.names == whole.names
    assert np.allclose(found.mm, whole.mm, atol=1e-3)
    assert np.allclose(found.covariance_mm2, whole.covariance_mm2, rtol=1e-4)
