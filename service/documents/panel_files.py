"""One panel as a file for another program: SVG to look at, DXF to cut from.

Both hold the front view at full size in millimetres: y up in the DXF (0 at the finished top,
negative below it), x = 0 at the panel's reference upright. A panel that is not released carries
the warning in both.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from service.documents.dxf.writer import dxf
from service.documents.panel_views import panel_view, view_title
from service.documents.release_words import override_lines, stamp_of
from service.documents.svg import svg
from service.documents.wording import NOT_FOR_CUTTING, RELEASED, hand_words, inches

if TYPE_CHECKING:
    from service.documents.drawing import Drawing
    from service.panels.model import Panel

_LOOKED_AT: Final = 10.0
"""Scale denominator at which a full-size file is usually looked at; sets text and line sizes."""
_TEXT_ON_PAPER_MM: Final = 2.5


def panel_svg(panel: Panel, job: str = "") -> bytes:
    """The panel's front view as SVG, full size, with the job that it is of."""
    return svg(_drawing(panel, job), panel.title, _description(panel), _LOOKED_AT)


def panel_dxf(panel: Panel, job: str = "") -> bytes:
    """The panel's front view as DXF R2010, full size in millimetres, with the job that it is of:
    the files of all jobs have the same names."""
    return dxf(_drawing(panel, job))


def _drawing(panel: Panel, job: str) -> Drawing:
    text_mm = _TEXT_ON_PAPER_MM * _LOOKED_AT
    return panel_view(panel, "front", text_mm) + view_title(panel, "front", text_mm, job)


def _description(panel: Panel) -> str:
    state = RELEASED if panel.released else f"{NOT_FOR_CUTTING}: {'; '.join(panel.why_not)}"
    state = "; ".join((state, *filter(None, (stamp_of(panel), *override_lines(panel)))))
    return (
        f"{panel.title}: {hand_words(panel)}. Front view, finished face, full size in"
        f" millimetres. Box {inches(panel.box.width)} x {inches(panel.box.height)}. {state}."
    )
