"""The service killed while it is worked with: nothing that was acknowledged is lost.

A short draw of five kills; `tests/bench/bench_service.py` draws twenty.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.service.kills import lost, work_and_kill


def test_nothing_acknowledged_is_lost(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """After kill -9 during upload, marking and reading every acknowledged fact is there, each
    photo byte for byte, though bytes that nothing refers to are deleted at once."""
    monkeypatch.setenv("TAPEPROOF_SPARE_KEPT_S", "0")
    acknowledged = work_and_kill(tmp_path / "data", kills=5, seed=41)

    assert acknowledged.repeats >= 1  # a request was cut off, and sent again
    assert min(len(acknowledged.photos), len(acknowledged.readings)) >= 2
    assert lost(tmp_path / "data", acknowledged) == []
