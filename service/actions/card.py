"""The reference card: its page as PDF, and its geometry in figures."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any, Final

from service.documents.pdf.card_sheet import CardSheet, SheetBar, card_pdf
from service.errors import FileError
from vision.card.artwork import card_rectangles
from vision.card.design import (
    BOARD_BOTTOM_MM,
    BOARD_LEFT_MM,
    COLUMNS,
    DICTIONARY,
    MARKER_MM,
    PAGE_MM,
    ROWS,
    SERIALS,
    SQUARE_MM,
    CardDesign,
    card_design,
)

if TYPE_CHECKING:
    from collections.abc import Iterable

    from vision.card.design import CheckBar
    from vision.units import FloatArray

_FRAME: Final = (
    "Origin at the page's lower left, x right, y up, millimetres, nominal before print scale."
)
_CORNER_ORDER: Final = (
    "Outer corners as the sheet hangs upright: top left, top right, bottom right, bottom left."
)
_X_CORNER_ORDER: Final = "Row by row from the top, each from the left; id 0 is the top left one."


def card_page(serial: int, paper: str) -> bytes:
    """The card as a one-page PDF at exact scale.

    Raises
    ------
    FileError
        If there is no such serial or paper.
    """
    design = _design(serial, paper)
    ink = card_rectangles(design)
    return card_pdf(
        CardSheet(
            serial=serial,
            paper=paper,
            page_mm=design.page_mm,
            black_mm=_rectangles(ink.black_mm),
            white_mm=_rectangles(ink.white_mm),
            check_bars=tuple(_bar(bar) for bar in design.check_bars),
            board_mm=(
                BOARD_LEFT_MM,
                BOARD_BOTTOM_MM,
                COLUMNS * SQUARE_MM,
                ROWS * SQUARE_MM,
            ),
        )
    )


def card_description(serial: int, paper: str) -> str:
    """The card's geometry as JSON text: enough to draw it or to find it without this program.

    Raises
    ------
    FileError
        If there is no such serial or paper.
    """
    design = _design(serial, paper)
    return json.dumps(_described(design), ensure_ascii=False, indent=2) + "\n"


def _design(serial: int, paper: str) -> CardDesign:
    if not 1 <= serial <= SERIALS:
        raise FileError("--serial", "", f"expected a number from 1 to {SERIALS}, not {serial}")
    if paper not in PAGE_MM:
        raise FileError("--paper", "", f"expected {' or '.join(PAGE_MM)}, not {paper!r}")
    return card_design(serial, paper)


def _described(design: CardDesign) -> dict[str, Any]:
    return {
        "serial": design.serial,
        "paper": design.paper,
        "page_mm": list(design.page_mm),
        "frame": _FRAME,
        "dictionary": DICTIONARY,
        "columns": COLUMNS,
        "rows": ROWS,
        "square_mm": SQUARE_MM,
        "marker_mm": MARKER_MM,
        "board_origin_mm": [BOARD_LEFT_MM, BOARD_BOTTOM_MM],
        "first_square": "The top left square is black; markers stand in the white squares.",
        "marker_corner_order": _CORNER_ORDER,
        "markers": [
            {"id": marker, "corners_mm": [_places(corner) for corner in corners]}
            for marker, corners in zip(design.marker_ids, design.marker_corners_mm, strict=True)
        ],
        "x_corner_order": _X_CORNER_ORDER,
        "x_corners": [
            {"id": index, "at_mm": _places(place)} for index, place in enumerate(design.corners_mm)
        ],
        "check_bars": [
            {
                "axis": bar.axis,
                "nominal_mm": bar.nominal_mm,
                "from_mm": _places(bar.start_mm),
                "to_mm": _places(bar.end_mm),
            }
            for bar in design.check_bars
        ],
    }


def _places(values: Iterable[float]) -> list[float]:
    """Millimetres to the nanometre: what is behind it is only how sums of fractions are kept."""
    return [round(float(value), 6) for value in values]


def _bar(bar: CheckBar) -> SheetBar:
    return SheetBar(bar.axis, bar.nominal_mm, bar.start_mm, bar.end_mm)


def _rectangles(rows: FloatArray) -> tuple[tuple[float, float, float, float], ...]:
    return tuple((float(x), float(y), float(width), float(height)) for x, y, width, height in rows)
