"""Prints what a sheet's edges give over its tapped corners, on the example's rendered photos.

Run as ``python -m tests.bench.bench_edges``. No card is used: the pages that the cards are printed
on stand in for plain letter sheets, two a wall. Their corners are tapped 1 px off on each axis;
once they count as they were tapped, once by the edges that were found between them. Marks are at
their exact pixels, so that what differs comes from the sheets. Truth is the maker's.
"""

from __future__ import annotations

import json
from dataclasses import replace
from itertools import combinations
from typing import Any, Final

import numpy as np

from fixtures.makers.render.shots import SHOTS
from tests.bench.bench_snapping import PAGE_MM, grey_of, in_picture, page_corners
from tests.fixtures.example_files import EXAMPLE
from vision.measure_wall import (
    PhotoRequest,
    RectangleRequest,
    Sight,
    SizeRequest,
    Tap,
    WallRequest,
    measure_wall,
)
from vision.photo.decode import decode_photo
from vision.plane.snap import trace_edge
from vision.units import FloatArray

SEED: Final = 73
DRAWS: Final = 3
TAP_SD: Final = 1.0
REACH_PX: Final = 4.3
EDGE_U_PX: Final = 0.3
ON_TILE_MM: Final = 4.0
PAPER_U_MM: Final = (0.5, 0.5)


def main() -> None:
    """One line for each wall and way."""
    truth = json.loads((EXAMPLE / "truth.json").read_text(encoding="utf-8"))
    print("| wall | sheets by | edges found | sizes | rms mm | median | u mm | held |")
    print("| --- | --- | --- | --- | --- | --- | --- | --- |")
    for wall in truth["walls"]:
        for line in lines_of(wall, truth):
            print(line)


def lines_of(wall: str, truth: dict[str, Any]) -> list[str]:
    """Rows of the table for one wall: by corners, by edges."""
    rng = np.random.default_rng(SEED)
    errors: dict[str, list[FloatArray]] = {"corners": [], "edges": []}
    spreads: dict[str, list[FloatArray]] = {"corners": [], "edges": []}
    found = asked = 0
    for _ in range(DRAWS):
        request, sights, by_corners, by_edges = wall_request(wall, truth, rng)
        asked += sum(len(sheet.corners_px) for sheet in by_corners)
        found += sum(len(sheet.edges_px) for sheet in by_edges)
        for way, sheets in (("corners", by_corners), ("edges", by_edges)):
            measured = measure_wall(replace(request, rectangles=sheets), sights)
            said = measured.estimates()
            true = [distance(on_tile(truth, wall), name) for name in said.names]
            errors[way].append(said.mm - np.array(true))
            spreads[way].append(np.sqrt(np.diag(said.covariance_mm2)))
    rows = []
    for way in ("corners", "edges"):
        off, u = np.concatenate(errors[way]), np.concatenate(spreads[way])
        share = f"{found} of {asked}" if way == "edges" else "-"
        rms, held = float(np.sqrt(np.mean(off**2))), float(np.mean(np.abs(off) < 1.96 * u))
        rows.append(
            f"| {wall} | {way} | {share} | {len(off)} | {rms:.2f} "
            f"| {np.median(np.abs(off)):.2f} | {np.median(u):.2f} | {100 * held:.0f} % |"
        )
    return rows


def wall_request(
    wall: str, truth: dict[str, Any], rng: np.random.Generator
) -> tuple[WallRequest, list[Sight], tuple[RectangleRequest, ...], tuple[RectangleRequest, ...]]:
    """The wall without sheets, its photos without cards, the sheets by corners and by edges."""
    marks = on_tile(truth, wall)
    photos, sights = [], []
    corners: dict[str, dict[str, Any]] = {}
    edges: dict[str, dict[str, Any]] = {}
    spread = 0.0
    for shot in (shot for shot in SHOTS if shot.wall == wall):
        name = shot.file.split("/")[-1]
        path = EXAMPLE / "photos" / name
        grey = grey_of(path)
        entry = next(p for p in truth["photos"] if p["file"].endswith(name))
        taps = tuple(Tap(m, tuple(at), 0.05) for m, at in entry["marks_px"].items() if m in marks)
        photos.append(PhotoRequest(name, taps))
        sights.append(Sight(decode_photo(path.read_bytes()).header))
        for number, page in enumerate(page_corners(shot, truth)):
            if not all(in_picture(shot, at) for at in page):
                continue
            tapped = page + rng.normal(0, TAP_SD, (4, 2))
            sheet = f"sheet {number}"
            corners.setdefault(sheet, {})[name] = tuple(map(tuple, tapped.tolist()))
            sides = [np.array([tapped[i], tapped[(i + 1) % 4]]) for i in range(4)]
            traces = [trace for side in sides if (trace := trace_edge(grey, side, REACH_PX))]
            if len(traces) == 4:
                rows = tuple(tuple(map(tuple, trace.pixels.tolist())) for trace in traces)
                edges.setdefault(sheet, {})[name] = rows
                spread = max(spread, *(trace.sd_px for trace in traces))
    names = [m for m in marks if sum(m in {t.name for t in p.taps} for p in photos) > 1]
    pairs = [pair for pair in combinations(names, 2) if distance(marks, "|".join(pair)) > 500]
    sizes = tuple(SizeRequest(f"{a}|{b}", "distance", a, b) for a, b in pairs)
    common = (PAGE_MM, PAPER_U_MM, 0.5)
    by_corners = tuple(
        RectangleRequest(sheet, *common, TAP_SD, corners_px=at) for sheet, at in corners.items()
    )
    by_edges = tuple(
        RectangleRequest(
            sheet,
            *common,
            EDGE_U_PX,
            corners_px={p: c for p, c in at.items() if p not in edges.get(sheet, {})},
            edges_px=edges.get(sheet, {}),
            point_sd_px=spread,
        )
        for sheet, at in corners.items()
    )
    return WallRequest(tuple(photos), sizes=sizes), sights, by_corners, by_edges


def on_tile(truth: dict[str, Any], wall: str) -> dict[str, FloatArray]:
    """(3,) true places in mm of the marks on the face that the sheets hang on."""
    places = {name: np.array(m["xyz_mm"]) for name, m in truth["walls"][wall]["marks"].items()}
    return {name: at for name, at in places.items() if abs(at[2]) < ON_TILE_MM}


def distance(marks: dict[str, FloatArray], name: str) -> float:
    """True distance of two marks, mm; ``name`` is both with a bar between."""
    first, second = (marks[mark] for mark in name.split("|"))
    return float(np.linalg.norm(first - second))


if __name__ == "__main__":
    main()
