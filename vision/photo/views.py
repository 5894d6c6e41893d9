"""Pictures of a photo to look at: a preview, and a pyramid of tiles to zoom into.

All are upright, in sRGB, and carry none of the photo's metadata (place, device, time).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO
from math import ceil
from typing import TYPE_CHECKING, Final

from PIL import Image

from vision.photo.decode import DEFAULT_LIMITS, Limits, decode_colour

if TYPE_CHECKING:
    from PIL.Image import Image as Picture

TILE_PX: Final = 510
OVERLAP_PX: Final = 1
PREVIEW: Final = "preview.jpg"
_PREVIEW_PX: Final = 1280
_QUALITY: Final = 85


@dataclass(frozen=True)
class View:
    """One picture: ``preview.jpg`` or ``<level>/<column>_<row>.jpg``, and its JPEG bytes."""

    name: str
    jpeg: bytes


def make_views(data: bytes, limits: Limits = DEFAULT_LIMITS) -> Iterator[View]:
    """The preview first, then the tiles from the largest level down, each made when asked for.

    Level n is half as large as level n + 1; at level 0 the picture is one pixel. Neighbouring
    tiles share `OVERLAP_PX` on each side.

    Raises
    ------
    Refusal
        As `vision.photo.decode.decode_photo`.
    """
    picture = decode_colour(data, limits)
    small = picture.copy()
    small.thumbnail((_PREVIEW_PX, _PREVIEW_PX), Image.Resampling.BOX, reducing_gap=2.0)
    yield View(PREVIEW, _jpeg(small))
    for level in range(top_level(picture.size), -1, -1):
        yield from _tiles(picture, level)
        picture = picture.reduce(2)


def top_level(size: tuple[int, int]) -> int:
    """The level at which the picture has its own size."""
    return (max(size) - 1).bit_length()


def _tiles(picture: Picture, level: int) -> Iterator[View]:
    width, height = picture.size
    for row in range(ceil(height / TILE_PX)):
        for column in range(ceil(width / TILE_PX)):
            left, top = column * TILE_PX, row * TILE_PX
            box = (
                max(left - OVERLAP_PX, 0),
                max(top - OVERLAP_PX, 0),
                min(left + TILE_PX + OVERLAP_PX, width),
                min(top + TILE_PX + OVERLAP_PX, height),
            )
            yield View(f"{level}/{column}_{row}.jpg", _jpeg(picture.crop(box)))


def _jpeg(picture: Picture) -> bytes:
    stream = BytesIO()
    picture.save(stream, "JPEG", quality=_QUALITY)
    return stream.getvalue()
