"""The described card, checked by its own figures, by the standards and by OpenCV's own board."""

from __future__ import annotations

import json
from itertools import pairwise
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import pytest
from pypdf import PdfReader

from service.cli import main


def described(capfd: pytest.CaptureFixture[str], *arguments: str) -> dict[str, Any]:
    assert main(["card", "--describe", *arguments]) == 0
    found: dict[str, Any] = json.loads(capfd.readouterr().out)
    return found


def test_corners_are_opencvs_charuco_corners(capfd: pytest.CaptureFixture[str]) -> None:
    """X-corner ids, marker ids and all positions are those of OpenCV's ChArUco board."""
    card = described(capfd, "--serial", "7")
    dictionary = cv2.aruco.getPredefinedDictionary(getattr(cv2.aruco, card["dictionary"]))
    ids = np.array([marker["id"] for marker in card["markers"]])
    size = (card["columns"], card["rows"])
    board = cv2.aruco.CharucoBoard(size, card["square_mm"], card["marker_mm"], dictionary, ids)
    height = card["rows"] * card["square_mm"]

    def to_page(points: Any) -> Any:
        """OpenCV's board frame has its origin at the top left and y down."""
        flat = np.asarray(points)[..., :2]
        left, bottom = card["board_origin_mm"]
        return np.stack([flat[..., 0] + left, bottom + height - flat[..., 1]], axis=-1)

    corners = np.array([corner["at_mm"] for corner in card["x_corners"]])
    markers = np.array([marker["corners_mm"] for marker in card["markers"]])
    assert [corner["id"] for corner in card["x_corners"]] == list(range(24))
    assert corners == pytest.approx(to_page(board.getChessboardCorners()), abs=1e-4)
    assert markers == pytest.approx(to_page(board.getObjPoints()), abs=1e-4)


def test_serials_share_no_marker(capfd: pytest.CaptureFixture[str]) -> None:
    """Two serials are told apart by their marker ids alone."""
    ids = [
        {marker["id"] for marker in described(capfd, "--serial", serial)["markers"]}
        for serial in ("1", "2", "58")
    ]

    assert all(not first & second for first, second in pairwise(ids))


@pytest.mark.published
@pytest.mark.parametrize(
    ("paper", "size_mm"),
    [("letter", (8.5 * 25.4, 11 * 25.4)), ("a4", (210.0, 297.0))],
)
def test_page_is_a_standard_size(
    capfd: pytest.CaptureFixture[str], tmp_path: Path, paper: str, size_mm: tuple[float, float]
) -> None:
    """The page is ANSI A (ASME Y14.1: 8.5 x 11 in) or A4 (ISO 216: 210 x 297 mm), and the
    PDF's own page (1/72 in units, ISO 32000-1, 8.3.2) is the described one."""
    out = tmp_path / "card.pdf"
    card = described(capfd, "--paper", paper, "--out", str(out))
    box = PdfReader(out).pages[0].mediabox

    assert card["page_mm"] == pytest.approx(size_mm)
    assert (float(box.width) * 25.4 / 72, float(box.height) * 25.4 / 72) == pytest.approx(
        size_mm, abs=1e-3
    )


def test_check_bars_are_long_enough(capfd: pytest.CaptureFixture[str]) -> None:
    """The bars for the ruler are at least 240 mm along and 170 mm across, inside the page."""
    card = described(capfd)
    bars = {bar["axis"]: np.array([bar["from_mm"], bar["to_mm"]]) for bar in card["check_bars"]}

    assert np.ptp(bars["x"][:, 0]) >= 170
    assert np.ptp(bars["y"][:, 1]) >= 240
    assert all(
        (bar > 3).all() and (bar < np.array([210, 279.4]) - 3).all() for bar in bars.values()
    )


def test_everything_fits_both_papers(capfd: pytest.CaptureFixture[str]) -> None:
    """The frame does not depend on the paper, and every marker is on the page."""
    letter, a4 = described(capfd), described(capfd, "--paper", "a4")

    assert letter["x_corners"] == a4["x_corners"]
    corners = np.array([marker["corners_mm"] for marker in letter["markers"]])
    assert corners.min() > 5
    assert corners[..., 0].max() < 210 - 5
    assert corners[..., 1].max() < 279.4 - 5
