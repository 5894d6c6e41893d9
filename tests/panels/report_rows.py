"""Measure reports written for tests: rows that agree and are checked."""

from __future__ import annotations


def proved_row(name: str, mm: float, **changes: object) -> dict[str, object]:
    """A row of a report: a size that agrees and is checked."""
    row: dict[str, object] = dict.fromkeys(
        ("photo_interval95_mm", "expected_interval95_mm", "best_interval95_mm", "suspect")
    )
    row |= {
        "name": name,
        "status": "agrees",
        "photo_mm": mm + 1,
        "photo_u_mm": 1.9,
        "tape_mm": mm,
        "tape_u_mm": 0.7,
        "expected_mm": mm + 0.4,
        "expected_u_mm": 1.0,
        "en": 0.1,
        "w": 0.2,
        "mdb_mm": 5.0,
        "checked": True,
        "best_mm": mm,
        "best_u_mm": 0.6,
    }
    return row | changes


def report_file(wall: str, rows: list[dict[str, object]], **changes: object) -> dict[str, object]:
    """A measure report of one wall."""
    report: dict[str, object] = {
        "wall": wall,
        "points": {},
        "dimensions": rows,
        "readings": [],
        "photos": [],
        "intrinsics": [],
        "adjustment": None,
        "gate": {"open": True, "blocking": []},
    }
    return report | changes
