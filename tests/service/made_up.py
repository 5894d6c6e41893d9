"""What requests that are made up from the API's description need: a service with things in it."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any, Final

import hypothesis
import schemathesis
from httpx2 import Client
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis.errors import Unsatisfiable
from schemathesis import GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.config._checks import NEGATIVE_DATA_REJECTION_EXPECTED_STATUSES
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    negative_data_rejection,
    response_headers_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from service.app import create_app
from service.settings import Settings
from tests.service.process import ServedProcess
from tests.service.running import (
    new_job,
    plain_jpeg,
    send_photo,
    wait_looked,
    wall_of,
)

CHECKS: Final = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_headers_conformance,
    response_schema_conformance,
    negative_data_rejection,
]
DESCRIBED: Final[dict[str, Any]] = create_app(Settings()).openapi()
OPERATIONS: Final = [
    f"{method} {path}"
    for path, operations in DESCRIBED["paths"].items()
    for method in operations
    if not path.endswith("/stream")  # server-sent events have no end to wait for
]


@contextmanager
def filled_service(folder: Path) -> Iterator[Client]:
    """A service, in a process of its own, with a job, a photo, a mark and a reading."""
    with (
        ServedProcess(folder) as served,
        Client(base_url=served.address, timeout=60) as client,
    ):
        job = new_job(client, id="job")
        wall = wall_of(client, job)["id"]
        send_photo(client, wall, plain_jpeg(), "photo")
        wait_looked(client)
        mark = "/api/photos/photo/marks/left 16"
        client.put(mark, json={"at": [9.0, 9.0]}, headers={"If-Match": "*"})
        reading = {"id": "r1", "dimension": "width 16", "value": "58 1/2"}
        client.post(f"/api/walls/{wall}/readings", json=reading)
        yield client


class MadeUp:
    """Requests made up for a service; a path's id is one that is there, or one that is not."""

    def __init__(self, client: Client) -> None:
        wall = client.get("/api/jobs/job").json()["walls"][1]["id"]
        there = {"job": "job", "wall": wall, "photo": "photo"}
        described = copy.deepcopy(DESCRIBED)
        for operations in described["paths"].values():
            for operation in operations.values():
                for parameter in operation.get("parameters", []):
                    known = there.get(parameter["name"])
                    if parameter["in"] == "path" and known is not None:
                        parameter["schema"] = {"type": "string", "enum": [known, "none"]}
        self._schema: Any = schemathesis.openapi.from_dict(described, config=_too_large_refused())
        self._address = str(client.base_url).rstrip("/")

    def ask(self, label: str, examples: int, *, seed: int | None = None) -> None:
        """Make up requests of one route and check each answer; raises at the first bad one.

        Half of them are right by the schema, half are not.
        """
        method, path = label.split(" ")
        operation = self._schema[path][method]
        for mode in (GenerationMode.POSITIVE, GenerationMode.NEGATIVE):

            def check(case: Any) -> None:
                case.call_and_validate(base_url=self._address, checks=CHECKS)

            run = settings(
                max_examples=examples,
                deadline=None,
                database=None,
                derandomize=seed is None,
                phases=[Phase.generate],
                suppress_health_check=list(HealthCheck),
            )(given(case=operation.as_strategy(generation_mode=mode))(check))
            if seed is not None:
                run = hypothesis.seed(seed)(run)
            with suppress(Unsatisfiable):  # a route without parameters takes no wrong ones
                run()


def _too_large_refused() -> schemathesis.Config:
    """413 answers a body that is wrong by its size (RFC 9110, section 15.5.14)."""
    usual = NEGATIVE_DATA_REJECTION_EXPECTED_STATUSES
    return schemathesis.Config.from_dict(
        {"checks": {"negative_data_rejection": {"expected-statuses": [*usual, "413"]}}}
    )
