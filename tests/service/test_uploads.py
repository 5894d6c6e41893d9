"""Photos on their way: whole or not there; and what hostile bytes come to."""

from __future__ import annotations

import hashlib
import struct
import zlib
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from fastapi.testclient import TestClient
from numpy.typing import NDArray
from PIL import Image

from tests.service.running import (
    PART,
    content_digest,
    new_job,
    plain_jpeg,
    send_part,
    send_photo,
    service_on,
    wait_looked,
    wall_of,
)
from tests.vision.test_heic import heic
from vision.photo import heif

ANY = {"If-Match": "*"}


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """One service for the file: each photo goes on a wall of its own job."""
    with service_on(tmp_path_factory.mktemp("uploads") / "data") as client:
        yield client


@pytest.fixture
def wall(service: TestClient) -> str:
    """The back wall of a new job."""
    return str(wall_of(service, new_job(service))["id"])


def looked_at(service: TestClient, wall: str, data: bytes, photo: str) -> dict[str, Any]:
    """The photo after it was sent and looked at."""
    answer = send_photo(service, wall, data, photo)
    assert answer.status_code == 201, answer.text
    wait_looked(service)
    return dict(service.get(f"/api/photos/{photo}").json())


def test_a_part_sent_again_is_well(service: TestClient) -> None:
    """The same part twice is there once; other bytes under its number are refused."""
    answers = [send_part(service, "again", 0, data) for data in (b"one", b"one", b"two")]

    assert [answer.status_code for answer in answers] == [204, 204, 409]
    assert answers[2].json()["code"] == "part-differs"


def test_the_parts_that_are_here_are_told(service: TestClient) -> None:
    """After a break the sender learns which parts to send again, by number and SHA-256."""
    for number in (0, 2):
        send_part(service, "told", number, bytes([number]) * 10)

    parts = service.get("/api/uploads/told").json()["parts"]

    assert [(part["part"], part["bytes"]) for part in parts] == [(0, 10), (2, 10)]
    assert parts[1]["sha256"] == hashlib.sha256(b"\2" * 10).hexdigest()


@pytest.mark.parametrize(
    ("data", "digest", "status", "code"),
    [
        (b"bytes", content_digest(b"other"), 422, "digest-mismatch"),
        (b"", content_digest(b""), 422, "digest-mismatch"),
        (b"bytes", "md5=:AAAA:", 400, "digest-missing"),
        (b"bytes", "", 400, "digest-missing"),
        (b"x" * (PART + 1), None, 413, "too-large"),
    ],
    ids=["other bytes", "empty body", "other digest", "no digest", "too large"],
)
def test_a_bad_part_is_refused(
    service: TestClient, data: bytes, digest: str | None, status: int, code: str
) -> None:
    """A part that is not what was meant is refused, and nothing of it is kept."""
    answer = send_part(service, f"bad-{code}", 0, data, digest)

    assert (answer.status_code, answer.json()["code"]) == (status, code)
    assert service.get(f"/api/uploads/bad-{code}").json()["parts"] == []


def test_a_body_without_a_length_is_counted(service: TestClient) -> None:
    """A part that is sent in pieces of unknown number is cut off at its limit."""

    def pieces() -> Iterator[bytes]:
        for _ in range(PART // 65536 + 1):
            yield b"x" * 65536

    headers = {"Content-Type": "application/octet-stream", "Content-Digest": content_digest(b"x")}
    answer = service.put("/api/uploads/pieces/parts/0", content=pieces(), headers=headers)

    assert (answer.status_code, answer.json()["code"]) == (413, "too-large")


def test_a_photo_needs_all_its_parts(service: TestClient, wall: str) -> None:
    """A photo is not put together before every part is here, and the missing are named."""
    data = plain_jpeg(seed=2)
    send_part(service, "gap", 0, data[:1000])
    body = {
        "wall": wall,
        "filename": "a.jpg",
        "parts": 3,
        "sha256": hashlib.sha256(data).hexdigest(),
    }

    answer = service.post("/api/uploads/gap/complete", json=body)

    assert (answer.status_code, answer.json()["code"]) == (409, "parts-missing")
    assert "1, 2" in answer.json()["detail"]


def test_a_photo_is_what_was_meant(service: TestClient, wall: str) -> None:
    """Parts that together are another photo than the one that was meant make none."""
    send_part(service, "other", 0, plain_jpeg(seed=3))
    body = {"wall": wall, "filename": "a.jpg", "parts": 1, "sha256": "0" * 64}

    answer = service.post("/api/uploads/other/complete", json=body)

    assert (answer.status_code, answer.json()["code"]) == (422, "digest-mismatch")
    assert service.get(f"/api/walls/{wall}").json()["photos"] == []


def test_a_photo_comes_back_byte_for_byte(service: TestClient, wall: str) -> None:
    """A photo of several parts is kept as it was sent, under its own hash."""
    data = plain_jpeg(seed=4)
    answer = send_photo(service, wall, data, "whole", part=10_000)

    original = service.get("/api/photos/whole/original")

    assert answer.status_code == 201
    assert original.content == data
    assert answer.json()["sha256"] == hashlib.sha256(data).hexdigest()
    assert original.headers["Content-Disposition"].startswith("attachment")
    assert original.headers["Content-Security-Policy"] == "sandbox"


def test_the_same_photo_is_on_a_wall_once(service: TestClient, wall: str) -> None:
    """Sent again, under its own id or a new one, a photo answers with the one on the wall."""
    data = plain_jpeg(seed=5)
    first = send_photo(service, wall, data, "once")

    same_id = send_photo(service, wall, data, "once")
    other_id = send_photo(service, wall, data, "twice")

    assert [answer.status_code for answer in (first, same_id, other_id)] == [201, 200, 200]
    assert other_id.json()["id"] == "once"
    assert len(service.get(f"/api/walls/{wall}").json()["photos"]) == 1


def test_pictures_are_upright_and_tell_nothing(service: TestClient, wall: str) -> None:
    """A photo taken sideways is shown upright, and its place and camera are not in the pictures."""
    exif = Image.Exif()
    exif[0x0112] = 6  # the camera was turned by a quarter (CIPA DC-008)
    exif[0x010F] = "Secret Maker"
    exif.get_ifd(0x8825)[1] = "N"
    picture = Image.new("RGB", (600, 300), "blue")
    picture.paste("red", (0, 0, 300, 300))
    stream = BytesIO()
    picture.save(stream, "JPEG", exif=exif, quality=95)

    photo = looked_at(service, wall, stream.getvalue(), "turned")
    preview = service.get("/api/photos/turned/preview.jpg").content
    tile = service.get("/api/photos/turned/tiles/10/0_0.jpg").content

    shown = Image.open(BytesIO(preview))
    assert (photo["width"], photo["height"]) == shown.size == (300, 600)
    assert shown.getpixel((150, 100))[0] > 200  # type: ignore[index]
    assert dict(Image.open(BytesIO(tile)).getexif()) == dict(shown.getexif()) == {}
    assert b"Secret" not in preview + tile


def luma(picture: bytes) -> NDArray[np.int16]:
    return np.asarray(Image.open(BytesIO(picture)).convert("L"), dtype=np.int16)


def test_tiles_make_the_photo(service: TestClient, wall: str) -> None:
    """The largest level's tiles, put side by side without their overlap, are the photo."""
    data = plain_jpeg(1300, 700, seed=6)
    looked_at(service, wall, data, "tiled")
    whole = np.zeros((700, 1300), dtype=np.int16)
    for row in range(2):
        for column in range(3):
            path = f"/api/photos/tiled/tiles/11/{column}_{row}.jpg"
            tile = luma(service.get(path).content)
            top, left = row * 510, column * 510
            inner = tile[min(row, 1) :, min(column, 1) :][:510, :510]
            whole[top : top + inner.shape[0], left : left + inner.shape[1]] = inner

    truth = luma(data)
    error = np.abs(whole - truth).mean()
    shifted = np.abs(whole[:, 1:] - truth[:, :-1]).mean()
    assert error < shifted / 3  # one pixel out would show


def png_header(width: int, height: int) -> bytes:
    """A PNG that says it is huge, and holds next to nothing (RFC 2083, section 4.1.1)."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        crc = zlib.crc32(kind + body)
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", crc)

    head = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0))
    data = chunk(b"IDAT", zlib.compress(b"\0" * 1000))
    return b"\x89PNG\r\n\x1a\n" + head + data + chunk(b"IEND", b"")


HOSTILE = {
    "page": (b"<html><script>alert(1)</script></html>", "not-a-photo"),
    "text": (b"hello", "not-a-photo"),
    "truncated": (plain_jpeg(seed=7)[:-3000], "truncated"),
    "bomb": (png_header(30_000, 30_000), "too-many-pixels"),
    "empty-png": (png_header(2000, 2000), "truncated"),
    "avif": (b"\0\0\0\x18ftypavif" + b"\0" * 64, "heic"),
    "heic": (b"\0\0\0\x18ftypheic" + b"\0" * 64, "truncated"),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_bytes_end_as_a_refused_photo(service: TestClient, wall: str, name: str) -> None:
    """Bytes that are no photo are refused with a code, a sentence and what to do instead."""
    data, code = HOSTILE[name]

    photo = looked_at(service, wall, data, name)
    marked = service.put(f"/api/photos/{name}/marks/a", json={"at": [1.0, 1.0]}, headers=ANY)

    assert photo["state"] == "refused"
    assert photo["refusal"]["code"] == code
    assert photo["refusal"]["do"]
    assert service.get(f"/api/photos/{name}/preview.jpg").status_code == 404
    assert marked.status_code == 422


def test_a_page_inside_a_photo_is_gone_from_its_pictures(service: TestClient, wall: str) -> None:
    """A photo that is a web page too is shown as a picture made anew, without the page."""
    page = b"<script>alert(1)</script>"

    looked_at(service, wall, plain_jpeg(seed=8) + page, "polyglot")

    assert page not in service.get("/api/photos/polyglot/preview.jpg").content
    assert service.get("/api/photos/polyglot/original").headers["Content-Type"] == (
        "application/octet-stream"
    )


def test_a_heic_is_a_photo_as_any_other(service: TestClient, wall: str) -> None:
    """As a phone keeps it, in tiles and turned by the file: looked at upright, shown as JPEG."""
    turned = Image.Exif()
    turned[0x0112] = 6
    stored = Image.open(BytesIO(plain_jpeg(900, 700, seed=11)))
    photo = looked_at(service, wall, heic(stored, turned, quality=60, tile_px=512), "as-kept")
    preview = service.get("/api/photos/as-kept/preview.jpg")

    assert photo["state"] == "ready"
    assert preview.headers["Content-Type"] == "image/jpeg"
    assert Image.open(BytesIO(preview.content)).size == (700, 900)


def test_a_large_heic_opens_within_the_limits(service: TestClient, wall: str) -> None:
    """A HEIC of 48 megapixels in tiles is decoded and cut within the child's limits."""
    large = Image.new("RGB", (8064, 6048), (120, 130, 140))

    assert looked_at(service, wall, heic(large, quality=10, tile_px=512), "48")["state"] == "ready"


def test_the_pages_are_told_what_is_read(
    service: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    """HEIC is asked for only where it is read: a phone hands over a JPEG else."""
    with_extra = service.get("/api/version").json()["photos"]
    monkeypatch.setattr(heif, "_READER", None)
    without = service.get("/api/version").json()["photos"]

    assert without == ["image/jpeg", "image/png", "image/webp"]
    assert with_extra == [*without, "image/heic", "image/heif"]


def test_a_large_photo_opens_within_the_limits(service: TestClient, wall: str) -> None:
    """A photo of 48 megapixels is looked at and cut into tiles within the child's limits."""
    photo = looked_at(service, wall, plain_jpeg(8000, 6000, seed=9), "large")

    assert photo["state"] == "ready"
    assert (photo["width"], photo["height"]) == (8000, 6000)
    assert service.get("/api/photos/large/tiles/13/15_11.jpg").status_code == 200


def test_a_photo_past_the_limits_is_refused(tmp_path: Path) -> None:
    """A photo that needs more memory than allowed ends its process, not the service."""
    with service_on(tmp_path / "data", child_memory_bytes=900 * 2**20) as client:
        wall = wall_of(client, new_job(client))["id"]

        large = looked_at(client, wall, plain_jpeg(7000, 6000, seed=10), "large")
        small = looked_at(client, wall, plain_jpeg(seed=11), "small")

    assert (large["state"], large["refusal"]["code"]) == ("refused", "too-heavy")
    assert small["state"] == "ready"


def test_a_photo_that_takes_too_long_is_refused(tmp_path: Path) -> None:
    """A photo is given up after its time, and the service goes on."""
    with service_on(tmp_path / "data", child_wall_s=1) as client:
        wall = wall_of(client, new_job(client))["id"]

        photo = looked_at(client, wall, plain_jpeg(9000, 6000, seed=12), "slow")

        assert (photo["state"], photo["refusal"]["code"]) == ("refused", "too-heavy")
        assert client.get("/api/health").json()["status"] == "ok"
