"""The elevation that the customer signs: how it will look, in plain words."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Final

from service.documents.elevation import alcove_elevation
from service.documents.pdf.listing import Listing, listing_pages, listing_pdf
from service.documents.pdf.number_column import Heading, Row, Words
from service.documents.pdf.picture import Picture
from service.documents.wording import customer_cautions, inches

if TYPE_CHECKING:
    from service.documents.wording import DocumentMeta
    from service.panels.model import Panel, Plan

_LABEL_MM: Final = 50.0
_DOT_MM: Final = 8.0
_PICTURES_MM: Final = (100.0, 85.0, 70.0)


def customer_elevation_pdf(plan: Plan, meta: DocumentMeta) -> bytes:
    """The picture to agree on; the same plan and meta give the same bytes."""
    state = (
        "every size is taped and checked"
        if plan.released
        else "sizes marked “about” are estimates and will be taped before anything is cut"
    )
    # Nobody is to sign a page that shows nothing: a smaller picture is better than a second page.
    tries = [_rows(plan, most_mm) for most_mm in _PICTURES_MM]
    one_page = [rows for rows in tries if len(listing_pages(plan, meta, rows)) == 1]
    rows = one_page[0] if one_page else tries[0]
    return listing_pdf(plan, meta, Listing("How it will look", state, plan.released), rows)


def _rows(plan: Plan, picture_mm: float) -> list[Row]:
    rows: list[Row] = [
        Heading("THE THREE WALLS, unfolded as you see them from the room"),
        Picture(partial(alcove_elevation, plan.panels), picture_mm),
        Heading("WHAT YOU AGREE TO"),
    ]
    if plan.top is not None:
        about = "" if plan.released else "about "
        rows.append(
            Words("finished top", f"{about}{inches(plan.top.planned)} above the floor", _LABEL_MM)
        )
    for panel in plan.panels:
        rows += _panel_rows(panel)
    notes = customer_cautions(plan)
    if notes:
        rows.append(Heading("PLEASE NOTE"))
        rows += [Words("•", words, _DOT_MM) for words in notes]
    rows.append(Heading("SIGNED: this is what I want on my walls, as on all pages of this paper"))
    rows.append(Words("customer", "name, signature, date: ______________________", _LABEL_MM))
    rows.append(
        Words("second person", "top height, hands and holes checked: __________", _LABEL_MM)
    )
    return rows


def _panel_rows(panel: Panel) -> list[Row]:
    about = "" if panel.released else "about "
    words = f"{about}{inches(panel.box.width)} wide, {about}{inches(panel.box.height)} high"
    rows: list[Row] = [Words(panel.title, words, _LABEL_MM)]
    if panel.pattern is not None:
        tile = " x ".join(inches(side) for side in panel.pattern.tile)
        whole = "" if panel.top in ("sloped ceiling", "cap") else ", whole tiles at the top"
        rows.append(Words("", f"tile pattern {tile}{whole}", _LABEL_MM))
        widths = [cut.width for cut in panel.pattern.cuts]
        if widths:
            low, high = min(widths, key=lambda w: w.mm), max(widths, key=lambda w: w.mm)
            cut = inches(low) if low.text == high.text else f"{inches(low)} to {inches(high)}"
            rows.append(Words("", f"cut tiles at its sides {about}{cut} wide", _LABEL_MM))
    rows += [Words("", f"cut round the {cut.name}", _LABEL_MM) for cut in panel.notches]
    for hole in panel.cutouts:
        down = f"{about}{inches(hole.from_top)} below the top"
        rows.append(Words("", f"{hole.name}: {down}", _LABEL_MM))
    for window in panel.windows:
        size = f"{about}{inches(window.width)} x {about}{inches(window.height)}"
        words = f"{window.name}: {size}, its head {about}{inches(window.from_top)} below the top"
        rows.append(Words("", words, _LABEL_MM))
    for seam in panel.seams:
        words = f"{seam.direction} seam {about}{seam.place}, behind a {seam.behind}"
        rows.append(Words("", words, _LABEL_MM))
    return rows
