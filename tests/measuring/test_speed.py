"""The limit that keeps the reading pad alive under the thumb."""

from __future__ import annotations

import os
import subprocess
import sys

from tests.bench.bench_measuring import LIMIT_MS


def test_a_changed_reading_among_two_hundred_is_judged_at_once() -> None:
    """200 readings with a slip among them take at most 50 ms of one core, be they of 200 sizes or
    of one alcove with all that must close in it."""
    one_core = {**os.environ, "OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"}
    command = [sys.executable, "-m", "tests.bench.bench_measuring"]
    run = subprocess.run(command, env=one_core, capture_output=True, text=True, check=True)
    figures = [line.split(" in ")[1].split(" ms")[0] for line in run.stdout.splitlines()]
    assert len(figures) == 2
    assert all(float(figure) <= LIMIT_MS for figure in figures)
