"""Prints how long it takes to decode a photo, find its cards and refine their corners.

Run as ``python -m tests.bench.bench_cards``; nothing is asserted, times depend on the machine.
All times are processor time on one thread, the best of three, both sides of a ratio measured in
turn in one process.
"""

from __future__ import annotations

import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Final

import cv2
import numpy as np

from tests.support.board_render import (
    Camera,
    Finish,
    Scene,
    opencv_board,
    photograph,
    place,
    tiled_wall,
)
from vision.card.search import find_cards
from vision.photo.decode import decode_photo

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

EXAMPLE: Final = Path(__file__).parents[2] / "fixtures" / "example" / "photos"
LARGE: Final = Camera((8064, 6048), 6056.0)
MADE: Final = {
    "made 12 MP, 1.5 m": (Camera(), 1.5),
    "made 12 MP, 3 m": (Camera(), 3.0),
    "made 48 MP, 1.5 m": (LARGE, 1.5),
    "made 48 MP, 2.6 m": (LARGE, 2.6),
}
_MEMORY: Final = "--memory"


@dataclass(frozen=True)
class Row:
    """Figures of one photo: milliseconds, corners, and MiB above the process after imports."""

    megapixels: float
    colour_ms: float
    decode_ms: float
    find_ms: float
    board_ms: float
    corners: int
    board_corners: int
    peak_mib: float

    @property
    def by_colour(self) -> float:
        """Decode, find and refine by OpenCV's colour decoding alone."""
        return (self.decode_ms + self.find_ms) / self.colour_ms

    @property
    def faster(self) -> float:
        """OpenCV's board detector at full size, for one board, by find and refine of all cards."""
        return self.board_ms / self.find_ms


def main() -> None:
    """A line for each photo, then the ratios of each size."""
    if sys.argv[1:2] == [_MEMORY]:
        print(peak_mib(Path(sys.argv[2])))
        return
    cv2.setNumThreads(1)
    titles = ("colour", "decode", "find", "ratio", "board", "faster", "corners", "board's", "MiB")
    print(f"{'photo':18} " + " ".join(f"{title:>7}" for title in titles))
    rows = []
    with TemporaryDirectory() as folder:
        for path in (*sorted(EXAMPLE.glob("*.jpg")), *made_photos(Path(folder))):
            row = measured(path)
            rows.append(row)
            print(line(path.stem, row), flush=True)
    for small in (True, False):
        print(summary([row for row in rows if (row.megapixels < 20) is small]))


def made_photos(folder: Path) -> Iterator[Path]:
    """A card on tiles in warm light, as colour JPEG, so that chroma has to be decoded too."""
    for name, (camera, metres) in MADE.items():
        card = place(3, distance_mm=metres * 1000, tilt_deg=25, spin_deg=5)
        finish = Finish(blur_px=1.0 if camera is not LARGE else 1.6, jpeg=None)
        grey = photograph(Scene((card,), camera, finish, wall=tiled_wall(), samples=3))
        blue = cv2.convertScaleAbs(grey, alpha=0.85)
        path = folder / f"{name}.jpg"
        cv2.imwrite(str(path), cv2.merge([blue, grey, grey]), [cv2.IMWRITE_JPEG_QUALITY, 92])
        yield path


def measured(path: Path) -> Row:
    """Both ways in the same run."""
    data = path.read_bytes()
    packed = np.frombuffer(data, dtype=np.uint8)
    grey = decode_photo(data).grey
    cards = find_cards(grey).cards
    detector = cv2.aruco.CharucoDetector(opencv_board(cards[0].serial))
    _, ids, _, _ = detector.detectBoard(grey)
    colour, decode, find, board = best_ms(
        lambda: cv2.imdecode(packed, cv2.IMREAD_COLOR),
        lambda: decode_photo(data),
        lambda: find_cards(grey),
        lambda: detector.detectBoard(grey),
    )
    seen = 0 if ids is None else len(ids)
    command = [sys.executable, "-m", "tests.bench.bench_cards", _MEMORY, str(path)]
    peak = float(subprocess.run(command, check=True, capture_output=True, text=True).stdout)
    corners = len(cards[0].corner_ids)
    return Row(grey.size / 1e6, colour, decode, find, board, corners, seen, peak)


def best_ms(*works: Callable[[], object]) -> list[float]:
    """The shortest of three runs of each, in turn."""
    best = [np.inf] * len(works)
    for _ in range(3):
        for index, work in enumerate(works):
            start = time.process_time()
            work()
            best[index] = min(best[index], (time.process_time() - start) * 1000)
    return best


def peak_mib(path: Path) -> float:
    """Highest memory while reading, decoding and finding, above what the imports took."""
    Path("/proc/self/clear_refs").write_text("5", encoding="ascii")
    before = _status_mib("VmRSS:")
    find_cards(decode_photo(path.read_bytes()).grey)
    return _status_mib("VmHWM:") - before


def _status_mib(name: str) -> float:
    status = Path("/proc/self/status").read_text(encoding="ascii").splitlines()
    return int(next(entry for entry in status if entry.startswith(name)).split()[1]) / 1024


def line(name: str, row: Row) -> str:
    """One photo."""
    return (
        f"{name:18} {row.colour_ms:7.0f} {row.decode_ms:7.0f} {row.find_ms:7.0f}"
        f" {row.by_colour:7.2f} {row.board_ms:7.0f} {row.faster:7.1f}"
        f" {row.corners:7} {row.board_corners:7} {row.peak_mib:7.0f}"
    )


def summary(rows: list[Row]) -> str:
    """Median and worst over the photos of one size."""
    ratios, faster = [row.by_colour for row in rows], [row.faster for row in rows]
    return (
        f"{len(rows)} photos of {rows[0].megapixels:.0f} MP: ratio median {median(ratios):.2f},"
        f" worst {max(ratios):.2f}; faster than the board detector median {median(faster):.1f},"
        f" least {min(faster):.1f}; corners fewer in"
        f" {sum(row.corners < row.board_corners for row in rows)};"
        f" peak {max(row.peak_mib for row in rows):.0f} MiB"
    )


if __name__ == "__main__":
    main()
