"""Services that tests can ask for."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from tests.service.running import service_on


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    """A service on an empty folder."""
    with service_on(tmp_path / "data") as found:
        yield found
