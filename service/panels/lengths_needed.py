"""Cutting lengths from stock lengths."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable


def lengths_needed(pieces_mm: Iterable[float], stock_mm: float, kerf_mm: float) -> int:
    """How many stock lengths yield these pieces, longest first into the fullest that holds them.

    A piece longer than the stock is made of whole lengths and a rest. The kerf between pieces is
    counted by lengthening stock and pieces alike. Best-fit decreasing: not proved least.
    """
    rests: list[float] = []
    whole = 0
    for piece in pieces_mm:
        count, rest = divmod(piece, stock_mm)
        whole += int(count)
        if rest > 1e-6:
            rests.append(rest)
    free: list[float] = []
    for piece in sorted(rests, reverse=True):
        fitting = [room for room in free if room >= piece + kerf_mm - 1e-6]
        room = min(fitting, default=stock_mm + kerf_mm)
        if fitting:
            free.remove(room)
        free.append(room - piece - kerf_mm)
    return whole + len(free)
