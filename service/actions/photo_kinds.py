"""Kinds of photo that are read here, as the pages ask for them."""

from __future__ import annotations

from typing import Final

from vision.photo.heif import reads_heic

_ALWAYS: Final = ("image/jpeg", "image/png", "image/webp")
_HEIC: Final = ("image/heic", "image/heif")


def photo_kinds() -> tuple[str, ...]:
    """Media types; those of HEIC only where it is read, since a phone that is not asked for them
    hands over a JPEG made of its photo."""
    return (*_ALWAYS, *_HEIC) if reads_heic() else _ALWAYS
