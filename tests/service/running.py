"""A service to ask: in this process on a folder of its own, and how photos are sent to it."""

from __future__ import annotations

import base64
import hashlib
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from io import BytesIO
from pathlib import Path
from typing import Any, Final

import numpy as np
from fastapi.testclient import TestClient
from httpx2 import Client, Response
from PIL import Image

from service.app import create_app
from service.settings import Settings

ADDRESS: Final = "http://127.0.0.1:8642"
PART: Final = 4 * 1024 * 1024
ANY: Final = {"If-Match": "*"}
LOOKED_WITHIN_S: Final = 120.0
EXAMPLE_PHOTOS: Final = Settings().example_folder / "photos"


@contextmanager
def service_on(folder: Path, **settings: Any) -> Iterator[TestClient]:
    """The service on a data folder, started and stopped."""
    app = create_app(Settings(data_folder=folder, **settings))
    with TestClient(app, base_url=ADDRESS, raise_server_exceptions=False) as client:
        yield client


def new_job(client: Client, **changes: Any) -> dict[str, Any]:
    """A job as it was started."""
    body = {"name": "Hall bath", "plumbing_side": "left", **changes}
    answer = client.post("/api/jobs", json=body)
    assert answer.status_code == 201, answer.text
    return dict(answer.json())


def wall_of(client: Client, job: Mapping[str, Any], name: str = "back") -> dict[str, Any]:
    """One wall of a job."""
    wall = next(wall for wall in job["walls"] if wall["name"] == name)
    return dict(client.get(f"/api/walls/{wall['id']}").json())


def take(client: Client, wall: Mapping[str, Any], **reading: Any) -> Response:
    """Send a reading of a wall; what is not said of it is usual."""
    body = {"id": "r1", "dimension": "width 16", "value": "58 1/2", **reading}
    return client.post(f"/api/walls/{wall['id']}/readings", json=body)


def send_photo(
    client: Client, wall: str, data: bytes, photo: str = "photo-1", part: int = PART
) -> Response:
    """Send a photo in parts and put it on a wall."""
    parts = [data[start : start + part] for start in range(0, len(data), part)]
    for number, piece in enumerate(parts):
        answer = send_part(client, photo, number, piece)
        assert answer.status_code == 204, answer.text
    body = {
        "wall": wall,
        "filename": f"{photo}.jpg",
        "parts": len(parts),
        "sha256": hashlib.sha256(data).hexdigest(),
    }
    return client.post(f"/api/uploads/{photo}/complete", json=body)


def send_part(
    client: Client, upload: str, number: int, data: bytes, digest: str | None = None
) -> Response:
    """Send one part, by default with its true digest."""
    headers = {
        "Content-Type": "application/octet-stream",
        "Content-Digest": content_digest(data) if digest is None else digest,
    }
    return client.put(f"/api/uploads/{upload}/parts/{number}", content=data, headers=headers)


def content_digest(data: bytes) -> str:
    """The field of RFC 9530."""
    return f"sha-256=:{base64.b64encode(hashlib.sha256(data).digest()).decode()}:"


def wait_looked(client: Client) -> None:
    """Wait until every photo has been looked at."""
    end = time.monotonic() + LOOKED_WITHIN_S
    while client.get("/api/health").json()["tasks"]:
        assert time.monotonic() < end, "photos are still being looked at"
        time.sleep(0.1)


def plain_jpeg(width: int = 640, height: int = 480, seed: int = 1) -> bytes:
    """A picture with no card in it."""
    generator = np.random.default_rng(seed)
    small = generator.integers(0, 256, (height // 8, width // 8, 3), dtype=np.uint8)
    stream = BytesIO()
    Image.fromarray(small).resize((width, height)).save(stream, "JPEG", quality=90)
    return stream.getvalue()


def versioned(revision: object) -> dict[str, str]:
    """The header that says which version is changed."""
    return {"If-Match": f'"{revision}"'}
