"""The install sheet: what is done in the room, in the order it is done, with its cautions."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Final

from service.documents.elevation import alcove_elevation
from service.documents.pdf.listing import Listing, listing_pdf
from service.documents.pdf.number_column import Heading, Row, Words
from service.documents.pdf.picture import Picture
from service.documents.wording import (
    CAUTIONS,
    INSTALL_CAUTIONS,
    RELEASED,
    edge_words,
    hand_words,
    inches,
    off_plumb,
)
from service.panels.flatness import beside_plumb

if TYPE_CHECKING:
    from service.documents.wording import DocumentMeta
    from service.panels.model import Plan
    from service.panels.room import CornerJoints, FlatSpot

_LABEL_MM: Final = 46.0
_DOT_MM: Final = 8.0
_TUB: Final = "an acrylic tub is sealed with water in it"
_SEALED_TO: Final = {
    "stays": _TUB,
    "new": _TUB,
    "base": "at the base as its maker writes, with nobody standing on it until it has cured",
    "floor": "at the floor onto its waterproofing, which is whole before the sheets hang",
}
"""What the bottom joint is sealed to; only a tub drops when it is filled. Common practice."""


def install_sheet_pdf(plan: Plan, meta: DocumentMeta) -> bytes:
    """The sheet that lies in the room; the same plan and meta give the same bytes."""
    waiting = ", ".join(panel.title for panel in plan.panels if not panel.released)
    state = RELEASED if plan.released else f"not released: {waiting}"
    listing = Listing("Install sheet", state, plan.released)
    return listing_pdf(plan, meta, listing, _rows(plan))


def _rows(plan: Plan) -> list[Row]:
    rows: list[Row] = [Heading("SAFETY FIRST")]
    rows += [Words("•", words, _DOT_MM) for words in (*INSTALL_CAUTIONS, *CAUTIONS)]
    if plan.warnings:
        rows.append(Heading("LOOK AT THESE BEFORE YOU START"))
        for caution in plan.warnings:
            place = f"{caution.wall} wall: " if caution.wall else ""
            do = f" – {caution.do}" if caution.do else ""
            rows.append(Words("•", f"{place}{caution.text}{do}", _DOT_MM))
    rows += _before_rows(plan)
    rows += _hanging_rows(plan)
    rows += _after_rows(plan)
    if plan.panels:
        rows += [
            Heading("THE WALLS UNFOLDED"),
            Picture(partial(alcove_elevation, plan.panels), 120.0),
        ]
    return rows


def _before_rows(plan: Plan) -> list[Row]:
    rows: list[Row] = [Heading("BEFORE THE SHEETS")]
    rows.append(
        Words("wall", "sound and dry; soft or wet: stop, photo, and call the desk", _LABEL_MM)
    )
    rows += [Words(f"{s.kind}, {s.wall} wall", _spot_words(s), _LABEL_MM) for s in plan.flatness]
    rows += [
        Words(
            f"blocking, {b.wall} wall",
            f"{b.what}: {inches(b.width)} wide x {inches(b.height)} high, middle "
            f"{off_plumb(b.wall, b.from_plumb)} and {inches(b.down)} below the line; {b.why}",
            _LABEL_MM,
        )
        for b in plan.blocking
    ]
    rows += [
        Words(f"{b.corner} corner backer", f"{inches(b.length)}, bedded both sides", _LABEL_MM)
        for b in plan.backers
    ]
    first = [t for t in plan.trims if t.kind == "trim under"]
    rows += [Words(f"{t.wall} wall trim", f"{inches(t.length)}: {t.why}", _LABEL_MM) for t in first]
    return rows


def _hanging_rows(plan: Plan) -> list[Row]:
    rows: list[Row] = [Heading("HANG IN THIS ORDER")]
    for number, panel in enumerate(plan.panels, 1):
        rows.append(Words(f"{number}. {panel.wall} wall", hand_words(panel), _LABEL_MM))
        rows += [Words("", note, _LABEL_MM) for note in panel.notes]
        turns = ", ".join(f"{edge_words(r.edge)} {inches(r.depth)}" for r in panel.returns)
        if turns:
            rows.append(Words("", f"returns no deeper than {turns}", _LABEL_MM))
        for cut in panel.windows:
            pieces = ", ".join(
                f"{p.name} {inches(p.length)} x {inches(p.depth)}" for p in cut.liners
            )
            rows.append(Words("", f"{cut.name}: {pieces or '; '.join(cut.notes)}", _LABEL_MM))
        for notch in panel.notches:
            pieces = ", ".join(
                f"{p.name} {inches(p.length)} x {inches(p.depth)}" for p in notch.liners
            )
            words = f"round the {notch.name}: {pieces or notch.notes[0]}"
            rows.append(Words("", words, _LABEL_MM))
    for end in plan.ends:
        found = "; ".join(
            f"{'covers' if c.rule == 'cover' else 'clears'} the {c.what} by {c.by.text} in"
            for c in end.covers
        )
        rows.append(Words(f"outer end, {end.wall}", f"{end.how}. {found}", _LABEL_MM))
    if plan.corners:
        rows.append(Heading("LEVEL JOINTS IN THE CORNERS: set the end panel to the back panel's"))
        rows += [Words(f"{c.side} corner", _corner_words(c), _LABEL_MM) for c in plan.corners]
    return rows


def _after_rows(plan: Plan) -> list[Row]:
    rows: list[Row] = [Heading("AFTER THE SHEETS")]
    later = [t for t in plan.trims if t.kind != "trim under"]
    rows += [
        Words(
            f"{t.wall} wall trim",
            f"{inches(t.length)}, ends {t.ends[0]} and {t.ends[1]}: {t.why}",
            _LABEL_MM,
        )
        for t in later
    ]
    for opening in plan.openings:
        down = f"{inches(opening.down)} below the line"
        words = f"{inches(opening.width)} between the hung panels, {down}"
        rows.append(Words("door opening", words, _LABEL_MM))
    if plan.finished_opening is not None:
        rows.append(Words("door opening", inches(plan.finished_opening), _LABEL_MM))
    last = f"last, after the adhesive has cured; {_SEALED_TO[plan.tub]}"
    rows.append(Words("joints", last, _LABEL_MM))
    return rows


def _spot_words(spot: FlatSpot) -> str:
    return (
        f"{inches(spot.gap)}, {beside_plumb(spot.at)}, {inches(spot.down)} below the line: "
        f"{spot.advice}"
    )


def _corner_words(corner: CornerJoints) -> str:
    heights = ", ".join(size.text for size in corner.heights)
    off = corner.mismatch.text.removeprefix("-")
    if off == "0":
        expected = "expected level"
    else:
        way = "higher" if corner.mismatch.mm < 0 else "lower"
        expected = f"{corner.wall} joints expected {off} in {way}"
    return f"{heights} in below the top; {expected}, within {corner.u95.text} in (95 %)"
