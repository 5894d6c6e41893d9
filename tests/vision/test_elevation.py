"""The rectified picture against scenes made without the package's camera code.

Truth: `tests/support/board_render` draws cards and joints through its own camera with a bent lens;
the views given to the elevation carry that camera's numbers.
"""

from __future__ import annotations

from functools import cache
from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from tests.support.board_render import (
    BOARD_ORIGIN_MM,
    Camera,
    Finish,
    Placed,
    Scene,
    opencv_board,
    photograph,
    place,
    tiled_wall,
)
from vision.card.search import find_cards
from vision.plane.area import Area, PlaneFrame, area_round
from vision.plane.elevation import Elevation, WallPhoto, draw_elevation
from vision.plane.overlay import DrawnMark, DrawnSize, drawn_over, encoded
from vision.plane.view import WallView
from vision.units import FloatArray

CAMERA = Camera((1600, 1200), 1200.0, 0.04, -0.01)
PAGE = PlaneFrame(np.zeros(2), np.array([1.0, 0.0]))
AREA = Area(-200.0, -100.0, 420.0, 400.0, 0.8)
"""Page millimetres: the card lies from 0 to 216 and 279."""


def view_of(card: Placed) -> WallView:
    """The renderer's camera in the package's terms."""
    width, height = CAMERA.size
    constants = [CAMERA.focal_px, (width - 1) / 2, (height - 1) / 2, CAMERA.k1, CAMERA.k2]
    return WallView(CAMERA.size, np.array(constants), card.rotation, card.translation)


def wall_photo(card: Placed, exposure: float = 1.0) -> WallPhoto:
    """A photo of card and tiled wall, grey in three channels."""
    finish = Finish(blur_px=0.7, exposure=exposure, jpeg=None)
    grey = photograph(Scene((card,), CAMERA, finish, wall=tiled_wall(), samples=4))
    return WallPhoto(view_of(card), lambda: np.repeat(grey[..., None], 3, axis=2))


def card_corners_mm() -> FloatArray:
    """(24, 2) page millimetres of the X-corners, from OpenCV's own board."""
    corners = np.asarray(opencv_board(3).getChessboardCorners(), dtype=np.float64)
    x0, y0 = BOARD_ORIGIN_MM
    return np.column_stack([corners[:, 0] + x0, y0 + 252.0 - corners[:, 1]])


@cache
def two_views() -> Elevation:
    """Drawn from two oblique photos, one of them darker."""
    cards = (
        place(3, distance_mm=900, tilt_deg=22, turn_deg=18, spin_deg=6),
        place(3, distance_mm=950, tilt_deg=-15, turn_deg=-27, spin_deg=-8),
    )
    photos = [wall_photo(cards[0]), wall_photo(cards[1], 0.8)]
    return draw_elevation(photos, AREA, PAGE)


def grey_of(elevation: Elevation) -> np.typing.NDArray[np.uint8]:
    """Its first channel, fit for the card search."""
    return np.ascontiguousarray(elevation.colours[..., 0])


def test_card_corners_lie_where_the_card_is() -> None:
    """The 24 corners, found in the picture, at their page millimetres: rms < 0.1 mm."""
    (card,) = find_cards(grey_of(two_views())).cards
    expected = AREA.pixels(card_corners_mm()[card.corner_ids])
    away = card.pixels - expected
    assert len(card.corner_ids) == 24
    assert np.sqrt(np.mean(away**2)) * AREA.mm_per_px < 0.1
    assert np.abs(away.mean(axis=0)).max() < 0.1


@pytest.mark.parametrize("axis", [0, 1])
def test_straight_joints_stay_straight(axis: int) -> None:
    """A joint's middle wanders by less than 0.3 px rms over the picture, and lies true."""
    grey = grey_of(two_views()).astype(float)
    # joints are 3 mm wide and begin at every 150 mm of the page: one left of it, one above it
    at = AREA.pixels(np.array([[1.5 - 150.0, 301.5]]))[0]
    lines = grey.T if axis else grey
    middle = at[1] if axis else at[0]
    seen = (two_views().seen.T if axis else two_views().seen)[:, int(middle)]
    first = round(middle) - 5
    places = []
    for row in np.flatnonzero(seen)[5:-5:7]:
        glaze = np.median(lines[row, first - 20 : first + 31])
        depth = np.clip(glaze - lines[row, first : first + 11], 0, None)
        if depth.max() > 40:
            places.append(first + float(np.sum(np.arange(11) * depth) / depth.sum()))
    off = np.array(places) - middle
    assert len(off) > 30
    assert np.abs(np.median(off)) < 0.25
    assert np.median(np.abs(off - np.median(off))) < 0.3


def test_the_finer_photo_rules() -> None:
    """Of a white and a black photo the one taken twice as near is seen."""
    near, far = (view_of(place(3, distance_mm=d)) for d in (700.0, 1400.0))
    width, height = CAMERA.size
    photos = [
        WallPhoto(view, lambda grey=grey: np.full((height, width, 3), grey, np.uint8))  # type: ignore[misc]
        for view, grey in ((far, 100), (near, 140))
    ]
    area = Area(0.0, 0.0, 200.0, 200.0, 2.0)
    drawn = draw_elevation(photos, area, PAGE)
    # the second is brought to the first's brightness where both show, so that no seam is seen
    assert np.ptp(drawn.colours) <= 2
    alone = draw_elevation(photos[1:], area, PAGE)
    assert alone.colours.mean() == pytest.approx(140, abs=1)


def test_places_that_no_photo_shows_are_white() -> None:
    """Outside every frame the picture is white and said to be unseen."""
    drawn = draw_elevation([wall_photo(place(3))], Area(-3000, 0, -2800, 100, 2.0), PAGE)
    assert not drawn.seen.any()
    assert drawn.colours.min() == 255


@pytest.mark.parametrize(
    ("scale", "said"), [(0.01, "for each pixel"), (50.0, "for each pixel"), (0.21, "megapixels")]
)
def test_pictures_that_would_not_do_are_refused(scale: float, said: str) -> None:
    """A scale out of range, or one that makes a picture past the limit."""
    with pytest.raises(ValueError, match=said):
        area_round(np.array([[0.0, 0.0], [2200.0, 2200.0]]), 60.0, scale)


def test_an_empty_area_is_refused() -> None:
    """An area has a width and a height."""
    with pytest.raises(ValueError, match="not empty"):
        Area(0.0, 0.0, 0.0, 10.0, 1.0)


def test_frames_go_there_and_back() -> None:
    """A turned frame carries points over and back to 1e-9 mm."""
    angle = 0.3
    frame = PlaneFrame(np.array([5.0, -7.0]), np.array([np.cos(angle), np.sin(angle)]))
    points = np.array([[1.0, 2.0], [-300.0, 40.0]])
    assert np.allclose(frame.from_wall(frame.on_wall(points)), points, atol=1e-9)


def drawn_ellipse(sigma_mm: float) -> FloatArray:
    """Rows and columns of the pixels that an ellipse of that spread colours."""
    area = Area(0.0, 0.0, 400.0, 400.0, 1.0)
    blank = np.full((400, 400, 3), 255, np.uint8)
    mark = DrawnMark("a", np.array([210.0, 215.0, 0.0]), sigma_mm**2 * np.eye(2))
    picture = drawn_over(blank, area, area.pixels, [mark], [])
    return np.argwhere(np.all(picture == (213, 94, 0), axis=2)).astype(float)


def test_error_ellipses_have_their_stated_size() -> None:
    """95 % of a plane normal error of 2 mm lies within 4.895 mm, drawn ten times as large."""
    rows = drawn_ellipse(2.0)
    radius = np.hypot(rows[:, 1] + 0.5 - 210.0, 400 - rows[:, 0] - 0.5 - 215.0)
    ring = radius[radius > 40]
    assert np.median(ring) == pytest.approx(48.95, abs=1.5)


def test_pictures_are_files_without_metadata() -> None:
    """PNG and JPEG of the size that was asked for."""
    picture = drawn_over(
        np.full((200, 300, 3), 90, np.uint8),
        Area(0.0, 0.0, 300.0, 200.0, 1.0),
        Area(0.0, 0.0, 300.0, 200.0, 1.0).pixels,
        [],
        [DrawnSize(np.array([10.0, 10.0]), np.array([200.0, 150.0]), "width: 8 ± 1/16 in")],
    )
    for kind in ("PNG", "JPEG"):
        image = Image.open(BytesIO(encoded(picture, kind)))
        assert image.format == kind
        assert image.size == (300, 200)
        assert not image.getexif()
