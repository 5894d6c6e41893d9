"""A card from four taps, for photos too blurred or too oblique for the search.

Markers stop being readable long before square corners stop being measurable, so a person's taps
on the board's outer corners are enough to start from.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from vision.card.confirm import Confirmed, confirm
from vision.card.design import BOARD_OUTLINE_MM, SERIALS, card_design
from vision.card.figures import found_card
from vision.card.pattern import read_pattern
from vision.card.plane_map import PlaneMap, fit_plane_map
from vision.card.rules import spans_enough
from vision.errors import Refusal

if TYPE_CHECKING:
    from vision.card.found import FoundCard
    from vision.units import FloatArray, GreyImage

_UNREADABLE: Final = 0.3
"""Mean correlation below which a turned reading of the markers proves nothing."""


def refine_from_seed(grey: GreyImage, serial: int, outer_corners: FloatArray) -> FoundCard:
    """Refine card ``serial`` from taps on the four outer corners of its black and white board.

    Parameters
    ----------
    grey
        (h, w) upright photo.
    serial
        The number printed on the card.
    outer_corners
        (4, 2) pixels of the board's corners: top left, top right, bottom right, bottom left as
        the printed words read. Taps in another order or direction are put right where the
        markers can still be read.

    Raises
    ------
    Refusal
        ``bad-taps`` if the taps make no four-sided shape, ``corners-not-seen`` if the board is
        not where they say, ``other-serial`` if the markers spell another card.
    """
    taps = _clockwise(np.asarray(outer_corners, dtype=np.float64).reshape(-1, 2))
    size = (grey.shape[1], grey.shape[0])
    for turn in range(4):
        confirmed = _confirm_from(grey, np.roll(taps, -turn, axis=0), size)
        if confirmed is not None:
            return found_card(serial, _the_right_way_up(grey, serial, confirmed))
    raise Refusal(
        "corners-not-seen",
        "The board's square corners are not seen where the taps put them.",
        "Tap the four outer corners of the black and white board, or take a sharper photo.",
    )


def _clockwise(taps: FloatArray) -> FloatArray:
    if taps.shape != (4, 2) or not np.isfinite(taps).all():
        raise _bad_taps()
    following = np.roll(taps, -1, axis=0) - taps
    turns = following[:, 0] * np.roll(following, -1, axis=0)[:, 1]
    turns = turns - following[:, 1] * np.roll(following, -1, axis=0)[:, 0]
    if np.all(turns > 0):
        return taps
    if np.all(turns < 0):
        return taps[[0, 3, 2, 1]]
    raise _bad_taps()


def _bad_taps() -> Refusal:
    return Refusal(
        "bad-taps",
        "The taps do not make a four-sided shape.",
        "Tap the board's four outer corners one after the other, going round.",
    )


def _confirm_from(grey: GreyImage, taps: FloatArray, size: tuple[int, int]) -> Confirmed | None:
    seed = fit_plane_map(BOARD_OUTLINE_MM, taps, size, bent=False)
    if seed is None:
        return None
    confirmed = confirm(grey, seed, card_design(1).corners_mm)
    return confirmed if confirmed is not None and spans_enough(confirmed.corners) else None


def _the_right_way_up(grey: GreyImage, serial: int, confirmed: Confirmed) -> Confirmed:
    """The square corners look the same upside down; the markers do not."""
    turned = confirmed.turned_half()
    upright, upside_down = (
        read_pattern(grey, serial, way.plane_map) for way in (confirmed, turned)
    )
    if max(upright.mean, upside_down.mean) < _UNREADABLE:
        _refuse_other_serial(grey, serial, (confirmed.plane_map, turned.plane_map))
        return confirmed
    return confirmed if upright.mean >= upside_down.mean else turned


def _refuse_other_serial(grey: GreyImage, serial: int, ways: tuple[PlaneMap, ...]) -> None:
    for other in range(1, SERIALS + 1):
        if any(read_pattern(grey, other, way).proves_serial() for way in ways):
            raise Refusal(
                "other-serial",
                f"The markers are those of card {other}, not of card {serial}.",
                f"Give the number printed on the card: {other}.",
                {"serial": other},
            )
