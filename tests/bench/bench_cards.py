"""Prints how long it takes to decode a photo, find its cards and refine their corners.

Run as ``python -m tests.bench.bench_cards``; nothing is asserted, times depend on the machine.
"""

from __future__ import annotations

import time
from functools import partial
from typing import TYPE_CHECKING, Final

import cv2
import numpy as np

from tests.support.board_render import Camera, Finish, Scene, photograph, place, tiled_wall
from vision.card.confirm import confirm
from vision.card.markers import detect_markers, group_boards
from vision.card.search import find_cards
from vision.photo.decode import decode_photo

if TYPE_CHECKING:
    from collections.abc import Callable

CASES: Final = {
    "12 MP, 1.5 m": (Camera(), 1.5),
    "12 MP, 3 m": (Camera(), 3.0),
    "48 MP, 1.5 m": (Camera((8064, 6048), 6056.0), 1.5),
}


def main() -> None:
    """One line a case, best of five, milliseconds."""
    print(f"{'case':14} {'decode':>8} {'find':>8} {'detect':>8} {'confirm':>8} {'corners':>8}")
    for name, (camera, metres) in CASES.items():
        card = place(3, distance_mm=metres * 1000, tilt_deg=25, spin_deg=5)
        finish = Finish(blur_px=1.0 if camera.size[0] < 5000 else 1.6, jpeg=None)
        picture = photograph(Scene((card,), camera, finish, wall=tiled_wall(), samples=4))
        data = np.asarray(cv2.imencode(".jpg", picture)[1]).tobytes()
        shrink = 2 if camera.size[0] < 6000 else 4
        small = np.asarray(
            cv2.resize(picture, None, fx=1 / shrink, fy=1 / shrink, interpolation=cv2.INTER_AREA),
            dtype=np.uint8,
        )
        (guess, *_) = group_boards(detect_markers(small, shrink), camera.size)
        found = find_cards(picture).cards
        times = [
            best_ms(partial(decode_photo, data)),
            best_ms(partial(find_cards, picture)),
            best_ms(partial(detect_markers, small, shrink)),
            best_ms(partial(confirm, picture, guess.plane_map, guess.middles_mm)),
        ]
        corners = sum(len(one.corner_ids) for one in found)
        print(f"{name:14} " + " ".join(f"{ms:8.0f}" for ms in times) + f" {corners:8}")


def best_ms(work: Callable[[], object]) -> float:
    """The shortest of five runs."""
    times = []
    for _ in range(5):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times) * 1000


if __name__ == "__main__":
    main()
