"""All cards in a photo, and why what looked like one is not among them."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

import cv2
import numpy as np

from vision.card.confirm import Confirmed, confirm, corners_in_frame
from vision.card.design import BOARD_OUTLINE_MM, MARKER_CELLS, card_design
from vision.card.figures import found_card
from vision.card.markers import BoardGuess, detect_markers, group_boards
from vision.card.pattern import read_pattern
from vision.card.rules import spans_enough

if TYPE_CHECKING:
    from collections.abc import Iterator

    from vision.card.found import FoundCard
    from vision.card.plane_map import PlaneMap
    from vision.units import FloatArray, GreyImage

MOST_PART: Final = 0.6
"""Share of the corners in the frame that must be confirmed unless the rest is plainly hidden."""
MOST_CONTRADICTED: Final = 0.25
"""Of the X-corners seen off the board, by those on it, for a half hidden card."""
LEAST_CELL_PX: Final = 2.3
_MOST_GUESSES: Final = 40
"""Texture makes single false markers; so many are looked into."""
_SURELY_CUT_OFF_FROM: Final = 3
"""Markers that agree on a board of which too little is in the photo: no other copy shows more."""
_SMALL_PHOTO_PX: Final = 2200
_LARGE_PHOTO_PX: Final = 6000


@dataclass(frozen=True)
class SearchNote:
    """Something seen but not used, or used with a reservation.

    Attributes
    ----------
    code
        ``too-small``, ``cut-off``, ``mostly-hidden``, ``not-confirmed`` or ``same-serial-twice``.
    serial
        Card it is about, 0 if unknown.
    at_px
        (x, y) of its middle.
    """

    code: str
    text: str
    serial: int
    at_px: tuple[float, float]


@dataclass(frozen=True)
class CardSearch:
    """Cards found, by serial, and notes on the rest."""

    cards: tuple[FoundCard, ...]
    notes: tuple[SearchNote, ...]


@dataclass(frozen=True)
class _Attempt:
    picture: GreyImage
    scale: float


@dataclass(frozen=True)
class _Candidate:
    guess: BoardGuess
    confirmed: Confirmed


@dataclass(frozen=True)
class _Findings:
    """What has been seen so far; grows."""

    accepted: list[_Candidate] = field(default_factory=list)
    notes: dict[tuple[str, int], SearchNote] = field(default_factory=dict)
    cut_off: set[int] = field(default_factory=set)

    def explain(self, expected: int) -> bool:
        """Whether so many cards are found or surely cut off, and one at least is found."""
        serials = {card.guess.serial for card in self.accepted}
        seen = len(self.accepted) + len(self.cut_off - serials)
        return bool(self.accepted) and seen >= expected


def find_cards(grey: GreyImage, expected: int = 1) -> CardSearch:
    """Find every card in an upright grey photo.

    Markers are searched in a smaller copy; only if fewer than ``expected`` cards are confirmed
    there, or markers are left over, the photo itself is searched, then copies made for dim, blurred
    and small pictures. A card that is plainly cut off by the frame counts as explained. The same
    serial hung twice gives two cards of that serial.

    Raises
    ------
    ValueError
        If ``grey`` is not a (h, w) uint8 array.
    """
    if grey.ndim != 2 or grey.dtype != np.uint8:
        raise ValueError(f"expected a (height, width) uint8 picture, not {grey.dtype} {grey.shape}")
    findings = _Findings()
    for number, attempt in enumerate(_attempts(grey)):
        open_questions = _look_into(grey, attempt, findings)
        if findings.explain(expected) and (number > 0 or not open_questions):
            break
    return _result(findings)


def _look_into(grey: GreyImage, attempt: _Attempt, findings: _Findings) -> bool:
    """Adds what one picture shows; whether another might show more of a card."""
    open_questions = False
    markers = detect_markers(attempt.picture, attempt.scale)
    for guess in group_boards(markers, (grey.shape[1], grey.shape[0]))[:_MOST_GUESSES]:
        if any(_on_card(guess, card.confirmed.plane_map) for card in findings.accepted):
            continue
        objection = _judge(grey, guess, findings)
        if objection == "cut-off" and len(guess.markers) >= _SURELY_CUT_OFF_FROM:
            findings.cut_off.add(guess.serial)
        else:
            open_questions |= objection is not None
    return open_questions


def _attempts(grey: GreyImage) -> Iterator[_Attempt]:
    """Pictures to search, the cheapest first."""
    long_side = max(grey.shape)
    if min(grey.shape) < 16:
        return
    shrink = 1 if long_side <= _SMALL_PHOTO_PX else 2 if long_side <= _LARGE_PHOTO_PX else 4
    first = _resized(grey, 1 / shrink)
    yield _Attempt(first, shrink)
    if shrink > 1:
        yield _Attempt(grey if shrink == 2 else _resized(grey, 0.5), 1 if shrink == 2 else 2)
    levelled = cv2.createCLAHE(clipLimit=6.0, tileGridSize=(8, 8)).apply(first)
    yield _Attempt(np.asarray(levelled, dtype=np.uint8), shrink)
    if min(grey.shape) >= 400:
        yield _Attempt(_resized(grey, 0.5 / shrink), 2 * shrink)
    if shrink == 1:
        yield _Attempt(_resized(grey, 2.0), 0.5)
    elif shrink == 4:
        yield _Attempt(grey, 1)


def _resized(grey: GreyImage, factor: float) -> GreyImage:
    if factor == 1:
        return grey
    shrink = factor < 1
    height, width = grey.shape
    if shrink:
        step = round(1 / factor)
        height, width = height - height % step, width - width % step
    size = (round(width * factor), round(height * factor))
    how = cv2.INTER_AREA if shrink else cv2.INTER_CUBIC
    return np.asarray(cv2.resize(grey[:height, :width], size, interpolation=how), dtype=np.uint8)


def _judge(grey: GreyImage, guess: BoardGuess, findings: _Findings) -> str | None:
    """None if a guess is confirmed; if not, notes why and gives the note's code."""
    confirmed = confirm(grey, guess.plane_map, guess.middles_mm)
    objection = _objection(grey, guess, confirmed)
    if objection is not None:
        code, text = objection
        if len(guess.markers) > 1:
            note = SearchNote(code, text, guess.serial, guess.markers[0].middle)
            findings.notes[(code, guess.serial)] = note
        return code
    accepted = findings.accepted
    if confirmed is not None and not any(
        _same_place(confirmed.plane_map, card.confirmed.plane_map) for card in accepted
    ):
        accepted.append(_Candidate(guess, confirmed))
    return None


def _objection(
    grey: GreyImage, guess: BoardGuess, confirmed: Confirmed | None
) -> tuple[str, str] | None:
    """Code and text of why this is not a card, None if it is one."""
    name = f"What looks like card {guess.serial}"
    if confirmed is None:
        return _unconfirmed(guess, name)
    count = len(confirmed.corners)
    reading = read_pattern(grey, guess.serial, confirmed.plane_map)
    if not reading.proves_serial(confirmed.corners):
        return "not-confirmed", f"{name} does not carry that card's markers."
    if count >= MOST_PART * len(card_design(1).corners_mm):
        return None
    if not spans_enough(confirmed.corners):
        if not spans_enough(confirmed.in_frame):
            return _cut_off(name)
        return "mostly-hidden", f"{name} shows only {count} of its 24 square corners."
    if confirmed.contradicted > MOST_CONTRADICTED * count:
        return "not-confirmed", f"{name}: too many of its square corners lie off the board."
    return None


def _cut_off(name: str) -> tuple[str, str]:
    return "cut-off", f"{name} is cut off by the picture's edge; take it in whole."


def _unconfirmed(guess: BoardGuess, name: str) -> tuple[str, str]:
    if not spans_enough(corners_in_frame(guess.plane_map)):
        return _cut_off(name)
    cell_px = min(marker.side_px for marker in guess.markers) / MARKER_CELLS
    if cell_px < LEAST_CELL_PX:
        return "too-small", f"{name} is too small in the photo, {cell_px:.1f} pixels a cell."
    return "not-confirmed", f"{name} shows no square corners where they must be."


def _middle(plane_map: PlaneMap) -> tuple[float, float]:
    pixel = plane_map.pixels(_middle_mm())[0]
    return float(pixel[0]), float(pixel[1])


def _middle_mm() -> FloatArray:
    return np.asarray(card_design(1).corners_mm.mean(axis=0, keepdims=True))


def _same_place(first: PlaneMap, second: PlaneMap) -> bool:
    """Whether one board's middle lies inside the other's board."""
    gap = np.hypot(*(np.array(_middle(first)) - np.array(_middle(second))))
    scale = np.linalg.svd(second.jacobians(_middle_mm())[0], compute_uv=False)[0]
    return bool(gap < 60.0 * scale)


def _on_card(guess: BoardGuess, plane_map: PlaneMap) -> bool:
    """Whether a guess's first marker lies on a card that is already found."""
    pixels = plane_map.pixels(BOARD_OUTLINE_MM).astype(np.float32)
    return cv2.pointPolygonTest(pixels, guess.markers[0].middle, False) >= 0


def _result(findings: _Findings) -> CardSearch:
    accepted, notes = findings.accepted, findings.notes
    cards = tuple(found_card(c.guess.serial, c.confirmed) for c in accepted)
    order = sorted(range(len(cards)), key=lambda i: (cards[i].serial, *cards[i].pixels[0]))
    found = {card.serial for card in cards}
    kept = [note for (_, serial), note in notes.items() if serial not in found]
    for serial, count in Counter(card.serial for card in cards).items():
        if count > 1:
            at = next(_middle(c.confirmed.plane_map) for c in accepted if c.guess.serial == serial)
            text = f"Card {serial} hangs {count} times in this photo; print different serials."
            kept.append(SearchNote("same-serial-twice", text, serial, at))
    return CardSearch(tuple(cards[i] for i in order), tuple(kept))
