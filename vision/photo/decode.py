"""Bytes of a photo to upright grey pixels, refusing what cannot be measured.

The header is read and judged before any pixel is decoded, and nothing outside this module is
changed, so photos may be decoded in several threads at once.
"""

from __future__ import annotations

import struct
import zlib
from dataclasses import dataclass, replace
from io import BytesIO
from typing import TYPE_CHECKING, Final

import cv2
import numpy as np
from PIL import Image, ImageCms, JpegImagePlugin, PngImagePlugin, WebPImagePlugin

from vision.errors import Refusal
from vision.photo.exif import read_header
from vision.photo.heif import is_whole, open_heic, stored_orientation
from vision.photo.photograph import Header, Photograph
from vision.photo.sniff import sniff, webp_size

if TYPE_CHECKING:
    from PIL import ImageFile

    from vision.units import GreyImage

_BROKEN: Final = (
    OSError,
    SyntaxError,
    ValueError,
    KeyError,
    IndexError,
    TypeError,
    EOFError,
    ArithmeticError,
    RuntimeError,
    struct.error,
    zlib.error,
)
"""What the decoders raise on damaged files."""


@dataclass(frozen=True)
class Limits:
    """Largest file and picture that are decoded."""

    max_bytes: int = 64 * 1024 * 1024
    max_pixels: int = 60_000_000


DEFAULT_LIMITS: Final = Limits()
_SRGB: Final = ImageCms.createProfile("sRGB")
_TURNS: Final = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
"""What turns a stored picture upright, by its Exif orientation."""
_FLIPS: Final = {2: 1, 3: -1, 4: 0, 6: 1, 7: -1, 8: 0}
"""OpenCV's flip that does the same, for 5 and above after rows and columns are exchanged: 0 the
rows, 1 the columns, -1 both."""


def decode_photo(data: bytes, limits: Limits = DEFAULT_LIMITS) -> Photograph:
    """Decode a JPEG (of several pictures, the first), PNG or WebP; HEIC where it is read.

    Raises
    ------
    Refusal
        ``empty``, ``not-a-photo``, ``heic``, ``too-many-bytes``, ``too-many-pixels``,
        ``truncated`` or ``damaged``.
    """
    kind, image, header = _opened(data, limits)
    stored = _grey(image, kind, data)
    image.close()
    upright = _upright(stored, 1 if kind == "HEIC" else header.orientation)
    upright.setflags(write=False)
    return Photograph(upright, header)


def decode_colour(data: bytes, limits: Limits = DEFAULT_LIMITS) -> Image.Image:
    """The upright picture in sRGB, without any of the file's metadata; errors as `decode_photo`."""
    kind, image, header = _opened(data, limits)
    try:
        image.load()
        colour = _srgb(image)
    except _BROKEN as error:
        raise _damaged(error, kind, data) from error
    turn = None if kind == "HEIC" else _TURNS.get(header.orientation)
    upright = colour if turn is None else colour.transpose(turn)
    upright.info = {}
    return upright


def _opened(data: bytes, limits: Limits) -> tuple[str, ImageFile.ImageFile, Header]:
    """Kind, reader and header of a file whose size is judged already; no pixel is decoded yet."""
    kind = sniff(data)
    if len(data) > limits.max_bytes:
        raise Refusal(
            "too-many-bytes",
            f"The file has {len(data) / 1e6:.0f} MB, the limit is {limits.max_bytes / 1e6:.0f} MB.",
            "Take the photo with the phone's normal camera mode and send it as JPEG.",
            {"bytes": len(data)},
        )
    image = _open(kind, data, limits)
    _judge_size(image.size, limits)
    header = read_header(image, image.size)
    if kind == "HEIC":  # its size is that of the upright picture, its Exif says so
        header = replace(header, orientation=stored_orientation(image))
    return kind, image, header


def _open(kind: str, data: bytes, limits: Limits) -> ImageFile.ImageFile:
    """The reader itself: Pillow's front door would set its own limit for the whole process."""
    if kind in ("WEBP", "HEIC") and not _has_end(kind, data):
        raise _damaged(EOFError("shorter than its header says"), kind, data)
    if kind == "WEBP":
        _judge_size(webp_size(data), limits)
    stream = BytesIO(data)
    try:
        if kind == "JPEG":
            return JpegImagePlugin.JpegImageFile(stream)
        if kind == "PNG":
            return PngImagePlugin.PngImageFile(stream)
        if kind == "HEIC":
            return open_heic(stream)
        return WebPImagePlugin.WebPImageFile(stream)
    except _BROKEN as error:
        raise _damaged(error, kind, data) from error


def _judge_size(size: tuple[int, int], limits: Limits) -> None:
    pixels = size[0] * size[1]
    if pixels > limits.max_pixels:
        raise Refusal(
            "too-many-pixels",
            f"The photo has {pixels / 1e6:.0f} megapixels, the limit is"
            f" {limits.max_pixels / 1e6:.0f}.",
            "Switch the phone's camera from its high-resolution mode to the normal mode and take"
            " the photo again.",
            {"width_px": size[0], "height_px": size[1]},
        )


def _grey(image: ImageFile.ImageFile, kind: str, data: bytes) -> GreyImage:
    """Decode; a colour JPEG gives its luma plane without colour conversion."""
    size = image.size
    try:
        if isinstance(image, JpegImagePlugin.JpegImageFile):
            image.draft("L", size)
        image.load()
        grey = _eight_bit(image)
    except _BROKEN as error:
        raise _damaged(error, kind, data) from error
    if grey.shape != (size[1], size[0]):
        raise _damaged(ValueError(f"decoded {grey.shape}, header says {size}"), kind, data)
    return grey


def _eight_bit(image: Image.Image) -> GreyImage:
    if image.mode.startswith("I"):
        return (np.asarray(image).astype(np.int64).clip(0, 65535) >> 8).astype(np.uint8)
    if image.mode in ("LA", "PA", "RGBA", "RGBa", "La") or "transparency" in image.info:
        image = image.convert("RGBA")
        image = Image.alpha_composite(Image.new("RGBA", image.size, "white"), image)
    if image.mode not in ("L", "RGB"):
        image = image.convert("RGB")
    return np.asarray(image.convert("L"), dtype=np.uint8)


def _srgb(image: Image.Image) -> Image.Image:
    if image.mode.startswith("I"):
        return Image.fromarray(_eight_bit(image)).convert("RGB")
    profile = image.info.get("icc_profile")
    if profile and image.mode in ("RGB", "L", "CMYK"):
        image = _from_profile(image, profile)
    if image.mode in ("LA", "PA", "RGBA", "RGBa", "La") or "transparency" in image.info:
        image = image.convert("RGBA")
        image = Image.alpha_composite(Image.new("RGBA", image.size, "white"), image)
    return image.convert("RGB")


def _from_profile(image: Image.Image, profile: bytes) -> Image.Image:
    """Colours as they are meant; a profile that cannot be used is left out, as viewers do."""
    try:
        meant = ImageCms.profileToProfile(
            image, ImageCms.ImageCmsProfile(BytesIO(profile)), _SRGB, outputMode="RGB"
        )
    except (ImageCms.PyCMSError, *_BROKEN):
        return image
    return image if meant is None else meant


def _upright(grey: GreyImage, orientation: int) -> GreyImage:
    """Apply an Exif orientation; OpenCV turns a large picture ten times as fast as NumPy."""
    if orientation >= 5:
        grey = np.asarray(cv2.transpose(grey), dtype=np.uint8)
    flip = _FLIPS.get(orientation)
    return grey if flip is None else np.asarray(cv2.flip(grey, flip), dtype=np.uint8)


def _damaged(error: Exception, kind: str, data: bytes) -> Refusal:
    said = str(error)
    if "truncated" in said or not _has_end(kind, data):
        return Refusal(
            "truncated",
            "The photo is cut short: part of it did not arrive.",
            "Send the photo again.",
            {"error": said},
        )
    return Refusal(
        "damaged",
        "The photo's data are damaged.",
        "Send the photo again, or take a new one.",
        {"error": said},
    )


def _has_end(kind: str, data: bytes) -> bool:
    """Whether the file goes on to where its format says it ends."""
    if kind == "WEBP":
        return len(data) >= int.from_bytes(data[4:8], "little") + 8
    if kind == "HEIC":
        return is_whole(data)
    return (b"\xff\xd9" if kind == "JPEG" else b"IEND") in data
