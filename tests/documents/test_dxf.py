"""DXF files, read back by group codes and audited by the library that did not read them."""

from __future__ import annotations

from io import StringIO

import pytest
from ezdxf import filemanagement

from service.documents.panel_files import panel_dxf
from service.panels.model import Panel
from tests.documents.alcove import INCH, alcove_plan
from tests.support.dxf_reader import Entity, entities, header, layer_names

MILLIMETRES = "4"
"""$INSUNITS 4 is millimetres (DXF reference, header variables)."""
PANELS = pytest.mark.parametrize("panel", alcove_plan().panels, ids=lambda panel: panel.title)


def on_layer(data: bytes, kind: str, layer: str) -> list[Entity]:
    return [item for item in entities(data) if (item.kind, item.layer) == (kind, layer)]


def seen_from_the_room(panel: Panel) -> list[tuple[float, float]]:
    """The outline as it should stand in the file, from the panel's own words about its frame."""
    sign = -1 if panel.hand == "right" else 1
    return [(sign * point.x, -point.y) for point in panel.outline_mm]


@PANELS
def test_units_are_millimetres(panel: Panel) -> None:
    """The header says millimetres and R2010."""
    found = header(panel_dxf(panel))

    assert (found["$INSUNITS"], found["$ACADVER"]) == (MILLIMETRES, "AC1024")


@PANELS
def test_outline_equals_the_model(panel: Panel) -> None:
    """Every vertex of the closed outline is where the plan puts it, to 0.01 mm."""
    (outline,) = on_layer(panel_dxf(panel), "LWPOLYLINE", "OUTLINE")

    assert outline.closed
    assert outline.points == [pytest.approx(p, abs=0.01) for p in seen_from_the_room(panel)]


@PANELS
def test_holes_equal_the_model(panel: Panel) -> None:
    """Each cut-out is one circle at its centre with its diameter, to 0.01 mm."""
    sign = -1 if panel.hand == "right" else 1
    expected = [
        (sign * hole.at_mm.x, -hole.at_mm.y, hole.diameter_mm / 2) for hole in panel.cutouts
    ]

    circles = on_layer(panel_dxf(panel), "CIRCLE", "CUT-OUT")

    found = [(item.number(10), item.number(20), item.number(40)) for item in circles]
    assert found == [pytest.approx(hole, abs=0.01) for hole in expected]


def test_box_of_the_plumbing_panel_in_inches() -> None:
    """31.1396 x 81 15/16 in of the worked alcove come back from the file as 25.4 times that."""
    (outline,) = on_layer(panel_dxf(alcove_plan().panels[1]), "LWPOLYLINE", "OUTLINE")
    xs, ys = zip(*outline.points, strict=True)

    assert (max(xs) - min(xs)) / INCH == pytest.approx(31.1396, abs=1e-4)
    assert (max(ys) - min(ys)) / INCH == pytest.approx(81.9375, abs=1e-4)


@PANELS
def test_pattern_joints_lie_at_their_heights(panel: Panel) -> None:
    """Level joints of the worked alcove: 12, 24 1/8, 36 1/4, 48 3/8, 60 1/2 below the top."""
    lines = on_layer(panel_dxf(panel), "LINE", "PATTERN")
    level = {line.number(20) for line in lines if line.number(20) == line.number(21)}

    heights = sorted(-y / INCH for y in level)
    assert heights == pytest.approx([12, 24.125, 36.25, 48.375, 60.5], abs=1e-4)


@PANELS
def test_library_audit_finds_nothing(panel: Panel) -> None:
    """The library's own audit finds no error and repairs nothing."""
    document = filemanagement.read(StringIO(panel_dxf(panel).decode("utf-8")))

    audit = document.audit()

    assert (audit.errors, audit.fixes) == ([], [])


@PANELS
def test_every_entity_is_on_a_named_layer(panel: Panel) -> None:
    """No entity lies on a layer that the table lacks, and none on layer 0."""
    data = panel_dxf(panel)

    assert {item.layer for item in entities(data)} <= layer_names(data) - {"0"}


def test_same_panel_same_bytes() -> None:
    """Two files of one panel are identical."""
    panel = alcove_plan().panels[1]

    assert panel_dxf(panel) == panel_dxf(panel)


@pytest.mark.parametrize("released", [True, False])
def test_warning_stands_in_the_file_only_while_unreleased(released: bool) -> None:
    """An unreleased panel's DXF says that it is not for cutting; a released one's does not."""
    panel = alcove_plan(released=(released, True, True)).panels[0]

    words = [item.first(1) for item in on_layer(panel_dxf(panel), "TEXT", "WARNING")]

    assert words == ([] if released else ["ESTIMATE – NOT FOR CUTTING"])
