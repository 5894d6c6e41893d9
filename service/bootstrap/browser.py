"""The browser of the browser tests: a system Chromium, installed where that may be done.

Run as a step of the test command. As root on a Debian-like system it installs the package, which is
what a fresh test machine needs; a person's own system is left alone and told what is missing.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from typing import Final

NAMES: Final = ("chromium", "chromium-browser")
PACKAGE: Final = "chromium"


def find_browser() -> str | None:
    """Path of a Chromium on this system, or None."""
    return next((path for name in NAMES if (path := shutil.which(name)) is not None), None)


def main() -> int:
    """Have a browser at hand, or say loudly that the browser tests will not run."""
    if find_browser() is None and _may_install():
        print(f"installing the system package {PACKAGE} ...", flush=True)
        _install()
    found = find_browser()
    if found is not None:
        print(found)
        return 0
    print(f"!!! NO BROWSER: the browser tests will NOT run. Install {PACKAGE}.", file=sys.stderr)
    return 1 if os.environ.get("CI", "").lower() in ("true", "1") else 0


def _may_install() -> bool:
    return os.geteuid() == 0 and shutil.which("apt-get") is not None


def _install() -> None:
    """Try with the package lists at hand, and once more with fresh ones."""
    command = ["apt-get", "-q", "-y", "--no-install-recommends", "install", PACKAGE]
    quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    if subprocess.run(command, env=quiet, stdout=subprocess.DEVNULL, check=False).returncode:
        subprocess.run(["apt-get", "-q", "update"], stdout=subprocess.DEVNULL, check=False)
        subprocess.run(command, env=quiet, stdout=subprocess.DEVNULL, check=False)


if __name__ == "__main__":
    sys.exit(main())
