"""Photos arriving in parts: each part whole or not there, the photo whole or not there."""

from __future__ import annotations

import base64
import binascii
import hashlib
import re
from collections.abc import Iterator
from contextlib import suppress
from typing import Final, Protocol

from service.blobs import Blobs, StoredBlob, Uploads
from service.errors import ServiceError
from service.files.api.upload_answers import PartModel, UploadModel
from service.store.changes import change_wall
from service.store.rows import Acting, PhotoRow
from service.store.unit import Unit

MOST_PARTS: Final = 16
LOOK: Final = "look"
_DIGEST: Final = re.compile(r"(?:^|,)\s*sha-256=:([A-Za-z0-9+/]{43}=):\s*(?:,|$)")
"""The field of RFC 9530, section 2."""
_MAGIC: Final = {
    b"\xff\xd8\xff": "jpg",
    b"\x89PNG\r\n\x1a\n": "png",
    b"RIFF": "webp",
}


class Announced(Protocol):
    """Bytes of which the sender says how many parts they came in, and their hash."""

    @property
    def parts(self) -> int: ...

    @property
    def sha256(self) -> str: ...


def put_part(uploads: Uploads, upload: str, part: int, data: bytes, digest: str | None) -> None:
    """Keep one part of an upload; the same part again is well.

    Raises
    ------
    ServiceError
        ``digest-missing``, ``digest-mismatch``, ``part-differs``.
    """
    if digest is None or (found := _DIGEST.search(digest)) is None:
        raise ServiceError(
            "digest-missing", "Expected Content-Digest: sha-256=:...: over the part's bytes."
        )
    if not data or hashlib.sha256(data).digest() != _decoded(found[1]):
        raise ServiceError(
            "digest-mismatch",
            f"The {len(data)} bytes that arrived are not those the digest was made of.",
            do="Send the part again.",
        )
    if not uploads.put(upload, part, data):
        raise ServiceError(
            "part-differs",
            f"Part {part} of this upload is here already, with other bytes.",
            do="Start an upload of its own for another photo.",
        )


def show_upload(uploads: Uploads, upload: str) -> UploadModel:
    """The parts that have arrived."""
    return UploadModel(
        id=upload,
        parts=tuple(
            PartModel(part=number, bytes=stored.bytes, sha256=stored.sha256)
            for number, stored in uploads.parts(upload).items()
        ),
    )


def assemble(blobs: Blobs, uploads: Uploads, upload: str, body: Announced) -> tuple[str, int, str]:
    """The photo's bytes put together and kept: hash, length, kind. Parts stay until it is noted.

    Raises
    ------
    ServiceError
        ``parts-missing``, ``digest-mismatch``.
    """
    with suppress(KeyError):  # told before the answer got lost, or by another phone
        data = blobs.read(body.sha256)
        return body.sha256, len(data), _kind(data)
    here = uploads.parts(upload)
    missing = [number for number in range(body.parts) if number not in here]
    if missing:
        raise ServiceError(
            "parts-missing",
            f"Expected parts 0 to {body.parts - 1}; missing: {', '.join(map(str, missing))}.",
            do="Send the missing parts, then this again.",
        )
    _expect_hash(uploads, upload, body)
    stored = blobs.put(_bytes(uploads, upload, body.parts))
    return stored.sha256, stored.bytes, _kind(uploads.read(upload, 0))


def add_photo(
    unit: Unit,
    acting: Acting,
    wall_id: str,
    photo_id: str,
    filename: str,
    stored: StoredBlob,
    kind: str,
) -> tuple[PhotoRow, bool]:
    """Put a photo on a wall, and ask for it to be looked at; whether it is new there.

    Raises
    ------
    ServiceError
        ``not-found``, if there is no such wall; ``already-there``, if the id is another photo's.
    """
    wall = unit.jobs.wall(wall_id)
    known = unit.photos.find(photo_id)
    if known is not None and (known.wall_id, known.sha256) != (wall.id, stored.sha256):
        raise ServiceError("already-there", f"The id {photo_id!r} is another photo's.")
    on_wall = unit.photos.of_wall(wall.id)
    for other in on_wall.values():
        if other.sha256 == stored.sha256 and other.id in wall.facts["photos"]:
            return other, False
    photo = known or PhotoRow(
        id=photo_id,
        wall_id=wall.id,
        filename=filename,
        sha256=stored.sha256,
        bytes=stored.bytes,
        kind=kind,
        added_at=acting.at,
    )
    if known is None:
        unit.photos.add(photo)
    value = {"mark_sd_px": 1.0, "marks": {}}
    what = f"put the photo {filename} on the wall"
    change_wall(unit, acting, wall, ["photos", photo.id], value, "photo", what)
    if not unit.photos.has_look(photo.sha256):
        unit.tasks.add(LOOK, photo.sha256, unit.look_version)
    return unit.photos.get(photo.id), True


def _expect_hash(uploads: Uploads, upload: str, body: Announced) -> None:
    digest = hashlib.sha256()
    for chunk in _bytes(uploads, upload, body.parts):
        digest.update(chunk)
    if digest.hexdigest() != body.sha256:
        raise ServiceError(
            "digest-mismatch",
            "The parts together are not the photo that was meant.",
            do="Read the photo again and send it under a new id.",
            field="sha256",
        )


def _bytes(uploads: Uploads, upload: str, parts: int) -> Iterator[bytes]:
    return (uploads.read(upload, part) for part in range(parts))


def _kind(start: bytes) -> str:
    found = (kind for magic, kind in _MAGIC.items() if start.startswith(magic))
    return next(found, "bin")


def _decoded(text: str) -> bytes:
    try:
        return base64.b64decode(text, validate=True)
    except binascii.Error:
        return b""
