"""Photos and figures made by others, fetched when the tests run and never kept in the repository.

They come from Debian's package ``opencv-doc`` (OpenCV's sample data, Apache-2.0 licence):

* ``left01.jpg`` ... ``left14.jpg`` (there is no ``left10``): a chessboard of 9 x 6 inner corners
  and 25 mm squares, 640 x 480, with OpenCV's published calibration of them in
  ``left_intrinsics.yml``;
* ``graf1.png``, ``graf3.png`` and the homography from the first to the third, ``H1to3p.xml``
  (K. Mikolajczyk et al., A comparison of affine region detectors, IJCV 65, 2005).

Run as a program it fetches what is missing. Every file is checked against its SHA-256 below, so
that another edition of the package cannot change what a test means.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import IO, Final

import pytest

from tests.support.deb import open_data_archive

PACKAGE: Final = "opencv-doc"
CACHE: Final = Path(__file__).resolve().parents[2] / ".cache" / "outside"
NOT_RUN: Final = "OUTSIDE DATA MISSING"
SHA256: Final = {
    "H1to3p.xml": "9cd961fef3542462153a95acad164bc0da784622034a4eaf384c9beeaa19588f",
    "graf1.png": "1504b769303c7bde00fa578eeaad3c68e02aceabeb1242e556f1f8d19e4bdea5",
    "graf3.png": "492e0e96f21748d093e1a29f4dbfd46528bd75966937e85ce7c8abc0f361fc15",
    "left01.jpg": "9621899098adffa1440c8264606bb7be535ccfd9ad126ae8e0bd9b0c5a5b8676",
    "left02.jpg": "052e700bbcc865c112958ec2ea105cb1bce4deca50ac8d6efae13adca9df7a2c",
    "left03.jpg": "c85b9426c3d8fcf161e1e727356105091009c3fd0b1b1a65bc2da91fea2724d2",
    "left04.jpg": "b490599dccfbfe5eb56d33363415b02227a9548ab8c9b8e7b05d3580e97266d9",
    "left05.jpg": "40bab8934fa76f82ec614a7fd0e6ebb4d9f74391d5e8b0c6f2f0ed6080c6c4de",
    "left06.jpg": "1cb164db61b3bd52f58a7e9340bb27c5e0278895bc80b6f292fba5cf9bccc4a1",
    "left07.jpg": "d2211fe9f971646b6ff88ed93a4f0d3f443741eb2894095cba15caade7c8c6e4",
    "left08.jpg": "f7a0737894812a28243af5b409c5689f4fadfe7610958b8ca5fc79aec2f2cd1b",
    "left09.jpg": "753939bc62d093c001d9118e989bef2b887f1b2f9ac03603df915a8b85aa81d3",
    "left11.jpg": "e736ace3d515c94c547009c3c10d818c81506ed7059cb31123749b9cc3f94ee8",
    "left12.jpg": "04bdd78b3b507fe0551aa7062a3ffd94846a147ee2bea7fb38082c720bdbe231",
    "left13.jpg": "2637fb6dd5e557f4fadb06b353a453eb0b9223f4671f6f572f815302bc4a70b3",
    "left14.jpg": "d4c032971dd7b859f9d6aed5090c9888bd8039b82e0604bee5bfe05444fce834",
    "left_intrinsics.yml": "93a35a94eaaa63afba5128292cf2800fce3e783eba12a69e3d3731360d594684",
}
CHESSBOARDS: Final = tuple(name for name in SHA256 if name.endswith(".jpg"))
Finder = Callable[[str], Path]
_FOLDER: Final = "usr/share/doc/opencv-doc/examples/data/"
_SECONDS: Final = 600


class OutsideDataError(Exception):
    """The outside data cannot be had; the message says why."""


@pytest.fixture
def outside_file() -> Finder:
    """Finder of an outside file by name: skips the test where it is not at hand, fails it in CI."""
    return find_outside


def find_outside(name: str) -> Path:
    """Path of the outside file ``name``, checked against its SHA-256."""
    path = CACHE / name
    if _is_right(path):
        return path
    reason = f"{NOT_RUN}: {name} (python3 -m service.bootstrap test fetches it)"
    if in_ci():
        pytest.fail(reason)
    pytest.skip(reason)


def in_ci() -> bool:
    """Whether a check that cannot run must fail."""
    return os.environ.get("CI", "").lower() in ("true", "1")


def fetch(cache: Path = CACHE) -> None:
    """Put every file that is missing or wrong into ``cache``.

    Raises
    ------
    OutsideDataError
        If the package cannot be downloaded, or a file in it is not the one expected.
    """
    if all(_is_right(cache / name) for name in SHA256):
        return
    cache.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=cache, prefix="fetch-") as folder:
        _keep_what_is_used(_download(Path(folder)), cache)
    if wrong := [name for name in SHA256 if not _is_right(cache / name)]:
        raise OutsideDataError(f"this edition of {PACKAGE} lacks the expected {', '.join(wrong)}")


def main() -> int:
    """Fetch, and say loudly when that failed; exit code 1 only in CI."""
    try:
        fetch()
    except OutsideDataError as error:
        print(f"!!! {NOT_RUN}: {error}.", file=sys.stderr)
        print("!!! The checks against other people's data will NOT run.", file=sys.stderr)
        return 1 if in_ci() else 0
    print(f"{len(SHA256)} files of Debian's {PACKAGE} at hand, each with the expected SHA-256")
    return 0


def _is_right(path: Path) -> bool:
    try:
        return hashlib.sha256(path.read_bytes()).hexdigest() == SHA256[path.name]
    except FileNotFoundError:
        return False


def _download(folder: Path) -> Path:
    """The package file, from whatever Debian archive this machine is set up for."""
    if shutil.which("apt-get") is None:
        raise OutsideDataError(f"{PACKAGE} is a Debian package, and apt-get is not here")
    said = _apt(folder, "download", PACKAGE)
    if not list(folder.glob("*.deb")):
        # The machine's own package lists are missing or stale. Lists of our own need no root.
        lists = folder / "lists"
        (lists / "partial").mkdir(parents=True)
        own = ("-o", f"Dir::State::lists={lists}", "-o", f"Dir::Cache={folder}")
        said = _apt(folder, *own, "update") + _apt(folder, *own, "download", PACKAGE)
    packages = list(folder.glob("*.deb"))
    if not packages:
        reason = said.strip().splitlines()[-1:] or ["no reason given"]
        raise OutsideDataError(f"apt-get could not download {PACKAGE}: {reason[0]}")
    return packages[0]


def _apt(folder: Path, *arguments: str) -> str:
    try:
        done = subprocess.run(
            ["apt-get", "-q", *arguments],
            cwd=folder,
            capture_output=True,
            text=True,
            timeout=_SECONDS,
            check=False,
        )
    except subprocess.TimeoutExpired:
        return f"no answer within {_SECONDS} s"
    return done.stderr


def _keep_what_is_used(package: Path, cache: Path) -> None:
    wanted = set(SHA256)
    with open_data_archive(package) as archive:
        for member in archive:
            name = member.name.removeprefix("./").removeprefix(_FOLDER)
            if name in wanted and member.isfile():
                content = archive.extractfile(member)
                if content is not None:
                    _write(cache / name, content)
                wanted.remove(name)
            if not wanted:
                return


def _write(path: Path, content: IO[bytes]) -> None:
    part = path.with_suffix(path.suffix + ".part")
    part.write_bytes(content.read())
    part.replace(path)


if __name__ == "__main__":
    sys.exit(main())
