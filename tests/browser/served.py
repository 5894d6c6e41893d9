"""A service of the tests' own: a child process on a free loopback port."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from tests.rules.sources import CHECKOUT

STOPS_WITHIN_S: Final = 20


@contextmanager
def served(data: Path) -> Iterator[str]:
    """The address of a service that lives as long as the block."""
    command = [sys.executable, "-m", "service", "serve", "--port", "0"]
    command += ["--data", str(data), "--no-browser"]
    process = subprocess.Popen(command, cwd=CHECKOUT, stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None
    try:
        yield _address(process)
    finally:
        process.terminate()
        process.wait(timeout=STOPS_WITHIN_S)
        process.stdout.close()


def _address(process: subprocess.Popen[str]) -> str:
    assert process.stdout is not None
    for line in process.stdout:
        words = line.split()
        if words and words[-1].startswith("http://127.0.0.1:"):
            return words[-1].rstrip("/")
    raise AssertionError(f"the service ended with {process.wait()} before it told its address")
