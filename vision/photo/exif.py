"""Camera facts from a photo's metadata, which may be missing, empty or nonsense."""

from __future__ import annotations

import math
import struct
from typing import TYPE_CHECKING, Final

from vision.photo.photograph import Header

if TYPE_CHECKING:
    from collections.abc import Mapping

    from PIL import Image

_MAKE, _MODEL, _ORIENTATION, _EXIF_IFD = 0x010F, 0x0110, 0x0112, 0x8769
_FOCAL, _ZOOM, _FOCAL_35MM, _LENS = 0x920A, 0xA404, 0xA405, 0xA434
"""Tag numbers of CIPA DC-008 (Exif)."""
_BROKEN: Final = (
    OSError,
    SyntaxError,
    ValueError,
    KeyError,
    IndexError,
    TypeError,
    EOFError,
    ArithmeticError,
    struct.error,
    Warning,
)
"""What the metadata reader raises on damaged metadata."""
_LONGEST_TEXT: Final = 100


def read_header(image: Image.Image, size: tuple[int, int]) -> Header:
    """Header facts; ``size`` is the stored width and height, before the orientation."""
    main, camera = _directories(image)
    orientation = _orientation(main.get(_ORIENTATION))
    width, height = size[::-1] if orientation >= 5 else size
    return Header(
        width_px=width,
        height_px=height,
        make=_text(main.get(_MAKE)),
        model=_text(main.get(_MODEL)),
        lens_model=_text(camera.get(_LENS)),
        focal_mm=_positive(camera.get(_FOCAL)),
        focal_35mm_mm=_positive(camera.get(_FOCAL_35MM)),
        digital_zoom=_positive(camera.get(_ZOOM)),
        orientation=orientation,
    )


def _directories(image: Image.Image) -> tuple[Mapping[int, object], Mapping[int, object]]:
    try:
        exif = image.getexif()
        main = dict(exif)
    except _BROKEN:
        return {}, {}
    try:
        return main, dict(exif.get_ifd(_EXIF_IFD))
    except _BROKEN:
        return main, {}


def _orientation(value: object) -> int:
    return value if isinstance(value, int) and 1 <= value <= 8 else 1


def _text(value: object) -> str | None:
    if isinstance(value, bytes):
        value = value.decode("utf-8", "replace")
    if not isinstance(value, str):
        return None
    clean = "".join(c for c in value.split("\0")[0] if c.isprintable()).strip()
    return clean[:_LONGEST_TEXT] or None


def _positive(value: object) -> float | None:
    """A finite number above zero, or None; a rational may be 0/0."""
    if isinstance(value, tuple) and len(value) == 1:
        value = value[0]
    try:
        number = float(value)  # type: ignore[arg-type]
    except _BROKEN:
        return None
    return number if math.isfinite(number) and number > 0 else None
