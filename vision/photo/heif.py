"""HEIC photos, as many phones keep them: read where the extra `heic` is installed, else refused.

The reader is an extra since its wheel holds an encoder under another licence than this project's,
and since decoders of this format have had grave faults: an installation takes it knowingly.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from vision.errors import Refusal

if TYPE_CHECKING:
    from io import BytesIO

    from PIL import ImageFile

try:
    from pillow_heif import options
    from pillow_heif.as_plugin import HeifImageFile
except ImportError:
    _READER: Any = None
else:
    _READER = HeifImageFile
    # What else such a file may hold is not looked at, so it need not be parsed either.
    options.THUMBNAILS = options.DEPTH_IMAGES = options.AUX_IMAGES = False

HEVC_BRANDS: Final = frozenset({b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx"})
AV1_BRANDS: Final = frozenset({b"avif", b"avis"})
FAMILY_BRANDS: Final = frozenset({b"mif1", b"msf1", b"mif2"})
"""Brands by what codes the picture, and those that leave it open (ISO/IEC 23008-12)."""
_PICTURE: Final = frozenset({b"meta", b"mdat"})
"""The boxes of description and data."""
_ORIENTATION: Final = "original_orientation"
"""Where the reader keeps the Exif orientation, which it has applied."""


def reads_heic() -> bool:
    """Whether the extra is installed."""
    return _READER is not None


def brands(data: bytes) -> frozenset[bytes]:
    """The brands of a file's first box (ISO/IEC 14496-12, 4.3), empty if that is another box."""
    if data[4:8] != b"ftyp":
        return frozenset()
    end = min(int.from_bytes(data[:4]), len(data))
    return frozenset(data[at : at + 4] for at in (8, *range(16, end - 3, 4)))


def is_whole(data: bytes) -> bool:
    """Whether the boxes that hold the picture are there to their ends.

    Of a picture cut into tiles the reader leaves those black that did not arrive, and says nothing.
    What follows those boxes may be no box at all.
    """
    at, seen = 0, set[bytes]()
    while at + 8 <= len(data):
        size, name = int.from_bytes(data[at : at + 4]), data[at + 4 : at + 8]
        if size == 1:
            size = int.from_bytes(data[at + 8 : at + 16])
        elif size == 0:  # to the end of the file
            size = len(data) - at
        if size < 8 or at + size > len(data):
            return name not in _PICTURE and seen >= _PICTURE
        seen.add(name)
        at += size
    return seen >= _PICTURE


def open_heic(stream: BytesIO) -> ImageFile.ImageFile:
    """The reader of the file's main picture; no pixel is decoded yet, its size is that upright.

    Raises
    ------
    Refusal
        ``heic``, where the extra is not installed.
    """
    if _READER is None:
        raise not_read("HEIC")
    image: ImageFile.ImageFile = _READER(stream)
    return image


def stored_orientation(image: ImageFile.ImageFile) -> int:
    """How the picture was stored, as an Exif orientation; its pixels come upright."""
    value = image.info.get(_ORIENTATION)
    return value if isinstance(value, int) and 1 <= value <= 8 else 1


def not_read(name: str) -> Refusal:
    """The refusal of a format of this family."""
    return Refusal(
        "heic",
        f"The photo is in the {name} format, which is not read here.",
        "Export it as JPEG, or set the phone's camera to save the most compatible format.",
    )
