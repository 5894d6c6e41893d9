"""The order list: sheets with hands and edges, how each is cut, and all else to buy."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Final

from service.documents.pdf.listing import Listing, listing_pdf
from service.documents.pdf.number_column import Heading, Row, Words
from service.documents.pdf.picture import Picture
from service.documents.sheet_layout import sheet_layout
from service.documents.wording import edge_words, inches

if TYPE_CHECKING:
    from service.documents.wording import DocumentMeta
    from service.panels.cut_plan import SheetCut
    from service.panels.model import OrderLine, Plan

_LABEL_MM: Final = 52.0


def order_list_pdf(plan: Plan, meta: DocumentMeta) -> bytes:
    """The order for the desk; the same plan and meta give the same bytes."""
    state = (
        "every sheet may be ordered"
        if plan.released
        else "sizes are estimates; the sheets marked so may prove too small"
    )
    listing = Listing("Order list", state, plan.released)
    return listing_pdf(plan, meta, listing, _rows(plan))


def _rows(plan: Plan) -> list[Row]:
    rows: list[Row] = [Heading("SHEETS: hand and finished edges as seen from the room, front up")]
    rows += [Words(f"{line.quantity} x {line.sheet}", _sheet_words(line), _LABEL_MM)
             for line in plan.order]  # fmt: skip
    for panel in plan.panels:
        if panel.sheet is not None and panel.sheet.chance_fits < 1.0:
            others = "; ".join(
                f"{other.name} {other.chance_fits:.0%}" for other in panel.sheet.others
            )
            rows.append(Words(panel.title, f"chance that a sheet holds it: {others}", _LABEL_MM))
    missing = [w for w in plan.warnings if w.code in ("no-sheet", "seam", "liner-sheet")]
    rows += [Words("!", f"{w.text}. {w.do}".strip(), _LABEL_MM) for w in missing]
    rows += _way_rows(plan)
    rows += [Heading("CUT LENGTHS")]
    rows += [Words(f"{b.corner} corner backer", inches(b.length), _LABEL_MM) for b in plan.backers]
    rows += [
        Words(
            f"{t.wall} wall trim",
            f"{edge_words(t.edge)}, {t.kind} {inches(t.length)}, ends {t.ends[0]} and {t.ends[1]}: "
            f"{t.why}",
            _LABEL_MM,
        )
        for t in plan.trims
    ]
    rows.append(Heading("MATERIAL in whole packages"))
    rows += [
        Words(f"{m.packages} x {m.item}", f"{m.package}: {m.why}", _LABEL_MM) for m in plan.takeoff
    ]
    rows += _cut_rows(plan)
    rows.append(Heading("SIGNED for the order: hands, edges and sizes checked"))
    rows.append(Words("estimator", "name, signature, date: ______________________", _LABEL_MM))
    return rows


def _sheet_words(line: OrderLine) -> str:
    hand = "no hand" if line.hand == "none" else f"{line.hand.upper()} HAND"
    edges = " + ".join(line.finished) or "no edge"
    state = "" if line.released else "; ESTIMATE"
    return (
        f"{inches(line.width)} x {inches(line.height)}, {hand}, finished {edges}; "
        f"for {'; '.join(line.panels)}{state}"
    )


def _way_rows(plan: Plan) -> list[Row]:
    if not plan.way_in:
        return []
    rows: list[Row] = [Heading("THE WAY IN")]
    return rows + [Words(w.sheet, f"{w.verdict}: {w.why}", _LABEL_MM) for w in plan.way_in]


def _cut_rows(plan: Plan) -> list[Row]:
    rows: list[Row] = []
    for number, cut in enumerate(plan.cutting.sheets if plan.cutting else (), 1):
        rows.append(Heading(f"SHEET {number}: {cut.sheet}{_hand(cut)}, front up"))
        rows += [
            Words(
                str(place),
                f"{piece.name}: {inches(piece.width)} x {inches(piece.height)}, "
                f"{inches(piece.x)} from the left and {inches(piece.y)} from the top",
                10.0,
            )
            for place, piece in enumerate(cut.pieces, 1)
        ]
        rows += [
            Words(
                "drop",
                f"{inches(drop.width)} x {inches(drop.height)}"
                + (f", finished {' + '.join(drop.finished)}" if drop.finished else ", plain"),
                10.0,
            )
            for drop in cut.drops
        ]
        rows.append(Picture(partial(sheet_layout, cut), 88.0))
    return rows


def _hand(cut: SheetCut) -> str:
    return "" if cut.hand == "none" else f", {cut.hand} hand"
