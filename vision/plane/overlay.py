"""Lines, sizes and error ellipses drawn over a picture of the wall.

Colours are of the Okabe-Ito palette, which the colour-blind tell apart; every drawn text stands on
a plate of its own so that it reads on any tile.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from io import BytesIO
from itertools import pairwise
from math import ceil, floor
from typing import Final, Literal, TypeAlias

import numpy as np
from PIL import Image, ImageDraw, ImageFont

from vision.plane.area import Area
from vision.plane.elevation import ColourImage
from vision.units import FloatArray

ToPixels: TypeAlias = Callable[[FloatArray], FloatArray]
"""Wall points (n, 2), mm, to pixels (n, 2) of the picture."""
Font: TypeAlias = ImageFont.FreeTypeFont | ImageFont.ImageFont
Box: TypeAlias = tuple[float, float, float, float]

ELLIPSE_TIMES: Final = 10
"""Ellipses are drawn so many times as large, else they would hide under the mark."""
_SURE: Final = 2.4477
"""Half axes of a 95 % ellipse in standard deviations: sqrt of chi-squared(2) at 95 %."""
GRID_MM: Final = 100.0
_BLUE, _ORANGE, _GREEN, _BLACK = (0, 114, 178), (213, 94, 0), (0, 158, 115), (0, 0, 0)
_GRID: Final = (86, 180, 233)
_PLATE: Final = (255, 255, 255)
_PLACES: Final = (0.5, 0.38, 0.62, 0.27, 0.73, 0.17, 0.83)
_LIFTS: Final = (0.0, -1.0, 1.0, -2.0, 2.0)
_TURN: Final = 60


@dataclass(frozen=True)
class DrawnMark:
    """A mark in the picture's wall frame, mm, with its covariance (2, 2)."""

    name: str
    at_mm: FloatArray
    covariance_mm2: FloatArray


@dataclass(frozen=True)
class DrawnSize:
    """A size from place to place with the text that says it, interval included."""

    start_mm: FloatArray
    end_mm: FloatArray
    text: str


def drawn_over(
    picture: ColourImage,
    area: Area,
    to_pixels: ToPixels,
    marks: Sequence[DrawnMark],
    sizes: Sequence[DrawnSize],
    face: bytes | None = None,
) -> ColourImage:
    """The picture with grid, sizes and error ellipses; ``area`` bounds the grid, ``face`` is a
    typeface's file with the letters of the names (None: the library's own, which is Latin)."""
    image = Image.fromarray(picture)
    text_px = max(11, round(min(image.size) / 75))
    pen = _Pen(ImageDraw.Draw(image), _font(face, text_px), image.size)
    _draw_grid(pen, area, to_pixels)
    for size in sizes:
        start, end = to_pixels(np.stack([size.start_mm, size.end_mm])[:, :2])
        pen.line(start, end, _BLUE, max(2, text_px // 8))
    for mark in marks:
        _draw_mark(pen, to_pixels, mark)
    for mark in marks:
        pen.label_beside(to_pixels(mark.at_mm[None, :2])[0], mark.name)
    for size in sizes:
        start, end = to_pixels(np.stack([size.start_mm, size.end_mm])[:, :2])
        pen.label_on(start, end, size.text)
    pen.note(
        f"Not for cutting. Grid {GRID_MM:.0f} mm; 95 % ellipses {ELLIPSE_TIMES} times as large."
    )
    return np.asarray(image)


def encoded(picture: ColourImage, kind: Literal["PNG", "JPEG"]) -> bytes:
    """The picture as a file of that kind, without any metadata."""
    stream = BytesIO()
    Image.fromarray(picture).save(stream, kind, quality=90)
    return stream.getvalue()


def _font(face: bytes | None, text_px: int) -> Font:
    if face is None:
        return ImageFont.load_default(text_px)
    return ImageFont.truetype(BytesIO(face), text_px)


class _Pen:
    """Draws in pixels and keeps labels off one another."""

    def __init__(self, draw: ImageDraw.ImageDraw, font: Font, size: tuple[int, int]) -> None:
        self._draw, self._font, self._size = draw, font, size
        self._taken: list[Box] = []

    def line(
        self, start: FloatArray, end: FloatArray, colour: tuple[int, int, int], width: int
    ) -> None:
        """A straight line; nothing where an end is not in front of the camera."""
        if np.isfinite(start).all() and np.isfinite(end).all():
            self._draw.line([*map(float, start), *map(float, end)], fill=colour, width=width)

    def loop(self, points: FloatArray, colour: tuple[int, int, int], width: int) -> None:
        """A closed line through pixels (n, 2)."""
        if np.isfinite(points).all():
            ring = [(float(x), float(y)) for x, y in np.vstack([points, points[:1]])]
            self._draw.line(ring, fill=colour, width=width)

    def label_on(self, start: FloatArray, end: FloatArray, text: str) -> None:
        """A label on a line, where it hides no other."""
        if not (np.isfinite(start).all() and np.isfinite(end).all()):
            return
        step = 1.5 * self._extent(text)[1]
        boxes = [
            self._box(start + share * (end - start) + np.array([0.0, lift * step]), text)
            for lift in _LIFTS
            for share in _PLACES
        ]
        free = [box for box in boxes if not self._hides(box)]
        self._plate((free or boxes)[0], text, _BLUE)

    def label_beside(self, at: FloatArray, text: str) -> None:
        """A label next to a mark, on the side that is free."""
        if not np.isfinite(at).all():
            return
        width, height = self._extent(text)
        ways = ((1, -1), (1, 1), (-1, -1), (-1, 1))
        boxes = [
            self._box(at + np.array([i * (width / 2 + 8), j * (height * k + 8)]), text)
            for k in (0.5, 2.0, 3.5)
            for i, j in ways
        ]
        free = [box for box in boxes if not self._hides(box)]
        self._plate((free or boxes)[0], text, _ORANGE)

    def note(self, text: str) -> None:
        """A line of text in the lower left corner."""
        width, height = self._extent(text)
        self._plate((4, self._size[1] - height - 8, 12 + width, self._size[1] - 4), text, _BLACK)

    def grid_text(self, at: FloatArray, text: str) -> None:
        """A number of the grid, if it is in the picture."""
        if np.isfinite(at).all() and np.all(at >= -1) and np.all(at <= np.array(self._size)):
            self._plate(self._box(at, text), text, _BLACK)

    def _extent(self, text: str) -> tuple[float, float]:
        left, top, right, bottom = self._draw.textbbox((0, 0), text, font=self._font)
        return right - left, bottom - top

    def _box(self, middle: FloatArray, text: str) -> Box:
        width, height = self._extent(text)
        x = float(np.clip(middle[0], width / 2 + 4, self._size[0] - width / 2 - 4))
        y = float(np.clip(middle[1], height / 2 + 4, self._size[1] - height / 2 - 4))
        return (x - width / 2 - 4, y - height / 2 - 4, x + width / 2 + 4, y + height / 2 + 4)

    def _hides(self, box: Box) -> bool:
        return any(
            box[0] < b[2] and b[0] < box[2] and box[1] < b[3] and b[1] < box[3] for b in self._taken
        )

    def _plate(self, box: Box, text: str, colour: tuple[int, int, int]) -> None:
        self._taken.append(box)
        self._draw.rectangle(box, fill=_PLATE, outline=colour)
        middle = ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
        self._draw.text(middle, text, fill=_BLACK, font=self._font, anchor="mm")


def _draw_grid(pen: _Pen, area: Area, to_pixels: ToPixels) -> None:
    """A line every `GRID_MM`, in short pieces since a photo bends them; numbers every fifth."""
    spans = ((area.left_mm, area.right_mm), (area.bottom_mm, area.top_mm))
    for axis in (0, 1):
        low, high = spans[axis]
        for step in range(ceil(low / GRID_MM), floor(high / GRID_MM) + 1):
            run = np.linspace(*spans[1 - axis], 25)
            fixed = np.full_like(run, step * GRID_MM)
            points = np.column_stack([fixed, run] if axis == 0 else [run, fixed])
            pixels = to_pixels(points)
            for start, end in pairwise(pixels):
                pen.line(start, end, _GRID, 2 if step % 5 == 0 else 1)
            if step % 5 == 0:
                pen.grid_text(pixels[-1 if axis == 0 else 0], f"{step * GRID_MM:.0f}")


def _draw_mark(pen: _Pen, to_pixels: ToPixels, mark: DrawnMark) -> None:
    values, axes = np.linalg.eigh(mark.covariance_mm2)
    half = _SURE * ELLIPSE_TIMES * np.sqrt(np.maximum(values, 0))
    angle = np.linspace(0, 2 * np.pi, _TURN, endpoint=False)
    ring = mark.at_mm[:2] + np.column_stack([np.cos(angle), np.sin(angle)]) * half @ axes.T
    pen.loop(to_pixels(ring), _ORANGE, 2)
    at = to_pixels(mark.at_mm[None, :2])[0]
    for arm in np.array([[6.0, 0.0], [0.0, 6.0]]):
        pen.line(at - arm, at + arm, _GREEN, 2)
