"""The service as a process of its own on a free port, to be asked, and to be killed."""

from __future__ import annotations

import os
import re
import selectors
import subprocess
import sys
import time
from pathlib import Path
from types import TracebackType
from typing import IO, Any, Final, cast

import httpx2

STARTS_WITHIN_S: Final = 180.0
_ADDRESS: Final = re.compile(r"http://127\.0\.0\.1:(\d+)/")


class ServedProcess:
    """`tapeproof serve` on a data folder."""

    def __init__(self, folder: Path) -> None:
        command = [sys.executable, "-m", "service", "serve", "--port", "0", "--data", str(folder)]
        self.process = subprocess.Popen(
            [*command, "--no-browser"],
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            env={**os.environ, "PYTHONUNBUFFERED": "1", "OPENBLAS_NUM_THREADS": "1"},
        )
        self.port = self._read_port()
        self.address = f"http://127.0.0.1:{self.port}"

    def __enter__(self) -> ServedProcess:
        return self

    def __exit__(
        self,
        _kind: type[BaseException] | None,
        _error: BaseException | None,
        _trace: TracebackType | None,
    ) -> None:
        self.kill()

    def get(self, path: str) -> httpx2.Response:
        """Ask for a path."""
        return httpx2.get(f"{self.address}{path}", timeout=30)

    def kill(self) -> None:
        """End it as a power cut would: nothing in it gets to tidy up."""
        self.process.kill()
        self.process.wait()
        cast("IO[str]", self.process.stdout).close()

    def _read_port(self) -> int:
        stream = cast("IO[str]", self.process.stdout)
        said: list[str] = []
        end = time.monotonic() + STARTS_WITHIN_S
        with selectors.DefaultSelector() as selector:
            selector.register(stream, selectors.EVENT_READ)
            while time.monotonic() < end and self.process.poll() is None:
                if not selector.select(timeout=0.5):
                    continue
                said.append(stream.readline())
                if found := _ADDRESS.search(said[-1]):
                    return int(found[1])
        self.kill()
        raise AssertionError(f"the service did not start: {''.join(said)}")


def asked(client: httpx2.Client, method: str, path: str, **more: Any) -> httpx2.Response | None:
    """The answer, or None if the service was gone before it."""
    try:
        return client.request(method, path, **more)
    except httpx2.TransportError:
        return None
