"""Services that tests can ask for."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from tests.service.example import Example
from tests.service.running import new_job, service_on, wait_looked, wall_of


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    """A service on an empty folder."""
    with service_on(tmp_path / "data") as found:
        yield found


@pytest.fixture
def wall(client: TestClient) -> dict[str, Any]:
    """The back wall of a new job."""
    return wall_of(client, new_job(client))


@pytest.fixture(scope="session")
def example_service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """One service for all tests on the example; its photos are looked at once."""
    with service_on(tmp_path_factory.mktemp("example") / "data") as client:
        client.post("/api/example")
        wait_looked(client)
        yield client


@pytest.fixture
def example(example_service: TestClient) -> Example:
    """The example made anew."""
    answer = example_service.post("/api/example/reset")
    assert answer.status_code == 201, answer.text
    return Example(example_service, answer.json())
