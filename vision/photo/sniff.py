"""What a file is by its first bytes, whatever its name says."""

from __future__ import annotations

from typing import Final

from vision.errors import Refusal
from vision.photo.heif import AV1_BRANDS, FAMILY_BRANDS, HEVC_BRANDS, brands, not_read

_AS_JPEG: Final = "Send it as JPEG, PNG or WebP."


def sniff(data: bytes) -> str:
    """``JPEG``, ``PNG``, ``WEBP`` or ``HEIC``.

    Raises
    ------
    Refusal
        ``empty``, ``heic`` (of its relatives) or ``not-a-photo``.
    """
    if not data:
        raise Refusal("empty", "The file is empty.", "Send the photo again.")
    if data.startswith(b"\xff\xd8\xff"):
        return "JPEG"
    if data.startswith(b"\x89PNG\r\n\x1a\n"):
        return "PNG"
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        return "WEBP"
    if (told := brands(data)) & HEVC_BRANDS:
        return "HEIC"
    if told & (AV1_BRANDS | FAMILY_BRANDS):
        raise not_read("AVIF" if told & AV1_BRANDS else "HEIF")
    raise Refusal("not-a-photo", f"The file is {_guess(data)}, not a photo.", _AS_JPEG)


def webp_size(data: bytes) -> tuple[int, int]:
    """Width and height in a WebP header, (0, 0) if it holds none (RFC 9649)."""
    kind, body = data[12:16], data[20:30]
    if len(body) < 10:
        return 0, 0
    if kind == b"VP8X":
        width, height = (int.from_bytes(body[i : i + 3], "little") + 1 for i in (4, 7))
        return width, height
    if kind == b"VP8L":
        bits = int.from_bytes(body[1:5], "little")
        return (bits & 0x3FFF) + 1, (bits >> 14 & 0x3FFF) + 1
    if kind == b"VP8 " and body[3:6] == b"\x9d\x01\x2a":
        width, height = (int.from_bytes(body[i : i + 2], "little") & 0x3FFF for i in (6, 8))
        return width, height
    return 0, 0


def _guess(data: bytes) -> str:
    known = {
        b"GIF8": "a GIF",
        b"BM": "a BMP picture",
        b"II*\x00": "a TIFF or raw picture",
        b"MM\x00*": "a TIFF or raw picture",
        b"%PDF": "a PDF",
        b"PK\x03\x04": "a ZIP archive",
        b"<": "a text or web page",
    }
    for start, name in known.items():
        if data.startswith(start):
            return name
    return "a video" if data[4:8] == b"ftyp" else "of an unknown kind"
