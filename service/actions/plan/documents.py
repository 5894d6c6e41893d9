"""Every document of a plan, as bytes by file name."""

from __future__ import annotations

import hashlib
from functools import partial
from typing import TYPE_CHECKING, Final

from service.documents.elevation import whole_elevation
from service.documents.order import order_csv
from service.documents.panel_files import panel_dxf, panel_svg
from service.documents.pdf.customer_elevation import customer_elevation_pdf
from service.documents.pdf.cutting_sheets import cutting_sheets_pdf
from service.documents.pdf.estimate import estimate_pdf
from service.documents.pdf.install_sheet import install_sheet_pdf
from service.documents.pdf.order_list import order_list_pdf
from service.documents.pdf.templates import templates_pdf
from service.documents.release_words import plan_override_lines
from service.documents.svg import svg
from service.documents.wording import DocumentMeta, Paper
from service.files.panels_values import panels_file
from service.files.writing import json_text

if TYPE_CHECKING:
    from collections.abc import Callable

    from service.panels.model import Plan, WallName

PANELS_FILE: Final = "panels.json"
_TEXT_MM = 25.0


def plan_documents(plan: Plan, revision: str, date: str, paper: Paper) -> dict[str, bytes]:
    """All files that the plan command writes."""
    makers = document_makers(plan, revision, date, paper)
    return {name: make() for name, make in makers.items()}


def document_makers(
    plan: Plan, revision: str, date: str, paper: Paper
) -> dict[str, Callable[[], bytes]]:
    """What makes each of the plan's files, by its name; only what is asked for is made."""
    panels_text = json_text(panels_file(plan))
    meta = DocumentMeta(
        revision=revision,
        date=date,
        paper=paper,
        fingerprint=hashlib.sha256(panels_text.encode()).hexdigest()[:12],
    )
    makers: dict[str, Callable[[], bytes]] = {
        PANELS_FILE: panels_text.encode,
        "cutting-sheets.pdf": lambda: cutting_sheets_pdf(plan, meta),
        "order.csv": lambda: order_csv(plan, meta),
        "estimate.pdf": lambda: estimate_pdf(plan, meta),
        "elevation.pdf": lambda: customer_elevation_pdf(plan, meta),
        "order.pdf": lambda: order_list_pdf(plan, meta),
        "install.pdf": lambda: install_sheet_pdf(plan, meta),
        "templates.pdf": lambda: templates_pdf(plan, meta),
    }
    for panel in plan.panels:
        dxf_name, svg_name = panel_file_names(panel.wall)
        makers[dxf_name] = partial(panel_dxf, panel, plan.job)
        makers[svg_name] = partial(panel_svg, panel, plan.job)
    return makers


def panel_file_names(wall: WallName) -> tuple[str, str]:
    """What a panel's DXF and SVG are called."""
    name = wall.replace(" ", "-")
    return f"{name}.dxf", f"{name}.svg"


def elevation_svg(plan: Plan) -> bytes:
    """The panels side by side as their walls meet in the room, and who let what stand on them."""
    told = (f"let stand: {line}" for line in plan_override_lines(plan))
    description = "; ".join((f"{plan.job}: the panels unfolded", *told))
    return svg(whole_elevation(plan, _TEXT_MM), plan.job, description, 10.0)
