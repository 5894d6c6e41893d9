"""Camera facts from a photo's metadata, which may be missing, empty or nonsense."""

from __future__ import annotations

import math
import struct
from typing import TYPE_CHECKING, Final

from vision.photo.photograph import Altered, Header

if TYPE_CHECKING:
    from collections.abc import Mapping

    from PIL import Image

_MAKE, _MODEL, _ORIENTATION, _EXIF_IFD = 0x010F, 0x0110, 0x0112, 0x8769
_FOCAL, _ZOOM, _FOCAL_35MM, _LENS = 0x920A, 0xA404, 0xA405, 0xA434
_DESCRIPTION, _COMMENT, _STATED_X, _STATED_Y = 0x010E, 0x9286, 0xA002, 0xA003
"""Tag numbers of CIPA DC-008 (Exif)."""
_STITCHED: Final = b"GPano:"
_EDITED: Final = (b"stEvt:action", b'HasCrop="True"', b"HasCrop>True")
"""A history of edits (ISO 16684-1, xmpMM) and the mark of a crop, in the XMP packet."""
_SAME_SHAPE: Final = 0.01
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
_FOCAL_35MM_RANGE: Final = (7.0, 700.0)
"""Millimetres: from a fisheye to past any phone's tele lens. Beyond it the field was never set."""


def read_header(image: Image.Image, size: tuple[int, int]) -> Header:
    """Header facts; ``size`` is the stored width and height, before the orientation."""
    main, camera = _directories(image)
    orientation = _orientation(main.get(_ORIENTATION))
    width, height = size[::-1] if orientation >= 5 else size
    stated = _stated(camera)
    packet = _packet(image)
    return Header(
        width_px=width,
        height_px=height,
        make=_text(main.get(_MAKE)),
        model=_text(main.get(_MODEL)),
        lens_model=_text(camera.get(_LENS)),
        focal_mm=_positive(camera.get(_FOCAL)),
        focal_35mm_mm=_believable(_positive(camera.get(_FOCAL_35MM))),
        digital_zoom=_positive(camera.get(_ZOOM)),
        orientation=orientation,
        stated_long_px=max(stated) if stated else None,
        stated_short_px=min(stated) if stated else None,
        altered=_altered(size, stated, _told(main, camera), packet),
        stitched=_STITCHED in packet,
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


def _packet(image: Image.Image) -> bytes:
    """The XMP packet, empty if there is none."""
    for key in ("xmp", "XML:com.adobe.xmp"):
        packet = image.info.get(key)
        if isinstance(packet, str):
            return packet.encode("utf-8", "replace")
        if isinstance(packet, bytes):
            return packet
    return b""


def _stated(camera: Mapping[int, object]) -> tuple[int, int] | None:
    """Width and height that the camera wrote down."""
    width, height = (_positive(camera.get(tag)) for tag in (_STATED_X, _STATED_Y))
    return None if width is None or height is None else (round(width), round(height))


def _told(main: Mapping[int, object], camera: Mapping[int, object]) -> str:
    """What description and comment say; a comment begins with eight bytes of its encoding."""
    comment = camera.get(_COMMENT)
    if isinstance(comment, bytes):
        comment = comment[8:].decode("ascii", "ignore")
    return f"{_text(main.get(_DESCRIPTION))} {_text(comment)}".casefold()


def _altered(
    size: tuple[int, int], stated: tuple[int, int] | None, told: str, packet: bytes
) -> Altered | None:
    """What was done to the picture since it was taken, as far as its metadata show."""
    if "screenshot" in told or b"screenshot" in packet.lower():
        return "screenshot"
    if stated is not None and sorted(stated) != sorted(size):
        long_share, short_share = max(size) / max(stated), min(size) / min(stated)
        same_shape = abs(long_share / short_share - 1) < _SAME_SHAPE
        return "resized" if same_shape else "cropped"
    return "edited" if any(mark in packet for mark in _EDITED) else None


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


def _believable(focal_35mm_mm: float | None) -> float | None:
    low, high = _FOCAL_35MM_RANGE
    return focal_35mm_mm if focal_35mm_mm is not None and low <= focal_35mm_mm <= high else None
