"""Requests made up from the API's own description: none ends in a fault or an undeclared answer.

A short run; `tests/bench/bench_service.py` runs it for long. One check of the tool is left out,
that a request which is right by its schema is never refused: it can still name a mark or a size
that the wall does not have, or be made on an older version.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.service.made_up import OPERATIONS, MadeUp, filled_service

EXAMPLES = 6


@pytest.fixture(scope="module")
def made_up(tmp_path_factory: pytest.TempPathFactory) -> Iterator[MadeUp]:
    """A service with a job, a photo and a reading in it, and requests made up for it."""
    with filled_service(tmp_path_factory.mktemp("any") / "data") as client:
        yield MadeUp(client)


@pytest.mark.parametrize("operation", OPERATIONS)
def test_any_request_is_answered_as_described(made_up: MadeUp, operation: str) -> None:
    """Whatever is asked, right or wrong by its schema, the answer is one that the API declares."""
    made_up.ask(operation, EXAMPLES)
