"""The printed card lies on the paper where its design says."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING, Final

import cv2
import numpy as np
import pypdfium2
import pytest
from pypdf import PdfReader

from service.documents.pdf.card_sheet import CardSheet, SheetBar, card_pdf
from service.product import NAME
from tests.support.board_render import opencv_board
from tests.support.pdf_reader import page_texts
from vision.card.artwork import card_rectangles
from vision.card.design import card_design

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from vision.card.design import CardDesign

SERIAL: Final = 12
DPI: Final = 300
MM_PER_INCH: Final = 25.4


def sheet(paper: str = "letter", serial: int = SERIAL) -> CardSheet:
    design = card_design(serial, paper)
    ink = card_rectangles(design)
    return CardSheet(
        serial=serial,
        paper=paper,
        page_mm=design.page_mm,
        black_mm=[(x, y, w, h) for x, y, w, h in ink.black_mm.tolist()],
        white_mm=[(x, y, w, h) for x, y, w, h in ink.white_mm.tolist()],
        check_bars=[
            SheetBar(bar.axis, bar.nominal_mm, bar.start_mm, bar.end_mm)
            for bar in design.check_bars
        ],
        board_mm=(15.0, 14.0, 180.0, 252.0),
    )


class Raster:
    """A rendered page and its exact scale: the renderer rounds the page up to whole pixels."""

    def __init__(self, paper: str) -> None:
        self.design: CardDesign = card_design(SERIAL, paper)
        document = pypdfium2.PdfDocument(card_pdf(sheet(paper)))
        bitmap = document[0].render(scale=DPI / 72, grayscale=True)
        self.picture: NDArray[np.uint8] = np.array(bitmap.to_numpy()).reshape(
            bitmap.height, bitmap.width
        )
        document.close()
        width, height = self.design.page_mm
        self.scale = np.array([bitmap.width / width, bitmap.height / height])

    def pixels(self, points_mm: NDArray[np.float64]) -> NDArray[np.float64]:
        """Pixel centres at integers."""
        down = np.array([0.0, self.design.page_mm[1]]) - points_mm
        return np.asarray(np.abs(down) * self.scale - 0.5)

    def line_places(self, values: NDArray[np.uint8]) -> list[float]:
        """Middles of the dark runs in a row or column of pixels."""
        ink = (255.0 - values) / 255
        runs = np.flatnonzero(np.diff(np.concatenate([[0], ink > 0.2, [0]])))
        return [
            float(np.average(np.arange(a, b), weights=ink[a:b]))
            for a, b in zip(runs[::2], runs[1::2], strict=True)
        ]


@pytest.fixture(scope="module", params=["letter", "a4"])
def raster(request: pytest.FixtureRequest) -> Raster:
    return Raster(request.param)


@pytest.mark.published
@pytest.mark.parametrize(
    ("paper", "inches"),
    [("letter", (8.5, 11.0)), ("a4", (210 / MM_PER_INCH, 297 / MM_PER_INCH))],
)
def test_page_sizes_are_the_standard_ones(paper: str, inches: tuple[float, float]) -> None:
    """Letter is 8.5 x 11 in (ANSI/ASME Y14.1), A4 210 x 297 mm (ISO 216), at 72 points an inch
    (ISO 32000-1, 8.3.2)."""
    box = PdfReader(BytesIO(card_pdf(sheet(paper)))).pages[0].mediabox
    assert [float(box.width) / 72, float(box.height) / 72] == pytest.approx(inches, abs=1e-4)


def test_every_square_and_marker_is_printed_to_a_pixel(raster: Raster) -> None:
    """The page shows the very pattern that OpenCV's own board generator draws."""
    cells = np.asarray(opencv_board(SERIAL).generateImage((50, 70), None, 0, 1))
    rows, columns = np.mgrid[0 : raster.picture.shape[0], 0 : raster.picture.shape[1]]
    x = (columns + 0.5) / raster.scale[0] - 15.0
    y = raster.design.page_mm[1] - (rows + 0.5) / raster.scale[1] - 14.0
    board = (x > 0) & (x < 180) & (y > 0) & (y < 252)
    column = np.floor(x[board] / 3.6).astype(int)
    row = np.floor((252 - y[board]) / 3.6).astype(int)
    expected = np.zeros(raster.picture.shape, dtype=np.uint8)
    expected[board] = cells[row, column]
    flat = cv2.erode(expected, np.ones((3, 3))) == cv2.dilate(expected, np.ones((3, 3)))
    inside = cv2.erode(board.astype(np.uint8), np.ones((3, 3))) > 0
    assert np.array_equal(raster.picture[flat & inside], expected[flat & inside])


def test_opencv_finds_the_whole_board_where_the_design_puts_it(raster: Raster) -> None:
    """An independent detector reads 17 markers and 24 corners off the page."""
    found = cv2.aruco.CharucoDetector(opencv_board(SERIAL)).detectBoard(raster.picture)
    corners, ids, _, marker_ids = found
    assert sorted(np.ravel(marker_ids)) == sorted(raster.design.marker_ids)
    assert sorted(np.ravel(ids)) == list(range(24))
    expected = raster.pixels(raster.design.corners_mm)[np.ravel(ids)]
    assert np.abs(np.reshape(corners, (-1, 2)) - expected).max() < 0.5


def test_check_bars_run_from_tick_to_tick_over_their_nominal_length(raster: Raster) -> None:
    """A ruler laid along a bar reads 170 or 240 mm between the ticks' middles."""
    for bar in raster.design.check_bars:
        axis = 0 if bar.axis == "x" else 1
        beside = np.array([bar.start_mm, bar.end_mm])
        beside[:, 1 - axis] += 1.5
        ends = raster.pixels(beside)
        across = round(ends[0, 1 - axis])
        line = raster.picture[across] if axis == 0 else raster.picture[:, across]
        low, high = sorted(ends[:, axis])
        places = np.array(raster.line_places(line))
        ticks = [float(places[np.argmin(np.abs(places - end))]) for end in (low, high)]
        assert ticks == pytest.approx([low, high], abs=0.5)
        assert (ticks[1] - ticks[0]) / raster.scale[axis] == pytest.approx(
            170.0 if bar.axis == "x" else 240.0, abs=0.05
        )


def test_nothing_is_printed_in_the_printers_unprintable_rim(raster: Raster) -> None:
    """Common office printers leave 4.2 mm of the rim white (common practice)."""
    rim = np.ceil(4.2 * raster.scale).astype(int)
    picture = raster.picture.copy()
    picture[rim[1] : -rim[1], rim[0] : -rim[0]] = 255
    assert picture.min() == 255


def test_words_on_the_sheet_tell_how_to_print_and_check_it() -> None:
    """Serial, scale warning and both bars' lengths in mm and inch are on the page."""
    text = page_texts(card_pdf(sheet()))[0]
    for words in (
        f"{NAME} card {SERIAL}",
        "print at 100 %, no fit to page",
        "letter paper",
        "measure this bar: 170 mm = 6.693 in",
        "measure this bar: 240 mm = 9.449 in",
        "Tape all four edges flat",
    ):
        assert words in text


def test_viewers_are_told_not_to_scale() -> None:
    """The catalogue's PrintScaling is None (ISO 32000-1, 12.2)."""
    catalogue = PdfReader(BytesIO(card_pdf(sheet()))).root_object
    assert catalogue["/ViewerPreferences"]["/PrintScaling"] == "/None"  # type: ignore[index]


def test_every_font_is_embedded() -> None:
    """The page looks the same on a machine without the font."""
    page = PdfReader(BytesIO(card_pdf(sheet()))).pages[0]
    fonts = page["/Resources"]["/Font"].values()  # type: ignore[index]
    assert all("/FontFile2" in font.get_object()["/FontDescriptor"] for font in fonts)


def test_the_same_card_gives_the_same_bytes() -> None:
    """No clock and no chance in the file; another serial gives another one."""
    assert card_pdf(sheet()) == card_pdf(sheet())
    assert card_pdf(sheet()) != card_pdf(sheet(serial=SERIAL + 1))
