"""A drawing as a DXF file: R2010, millimetres, one named layer per meaning."""

from __future__ import annotations

import math
from io import StringIO
from typing import TYPE_CHECKING, Any, Final

from ezdxf import options, units  # type: ignore[attr-defined]  # public, but not re-exported
from ezdxf.enums import TextEntityAlignment
from ezdxf.filemanagement import new

from service.documents.drawing import (
    Arc,
    Circle,
    Drawing,
    Layer,
    Line,
    Polyline,
    Text,
    bounds,
    exploded,
)
from service.documents.line_styles import BLACK, STYLES

if TYPE_CHECKING:
    from service.documents.drawing import Primitive

# The library stamps time and random ids into every file unless told otherwise; the same plan
# must give the same bytes. Only this module uses the library, so the setting is ours to make.
options.write_fixed_meta_data_for_testing = True

_VERSION: Final = "R2010"
_MEASUREMENT_METRIC: Final = 1
_COLOUR_NUMBER: Final = {
    Layer.OUTLINE: 7,
    Layer.CUTOUT: 5,
    Layer.DIMENSION: 7,
    Layer.MARK: 7,
    Layer.PATTERN: 3,
    Layer.CENTRE: 7,
    Layer.NOTE: 7,
    Layer.WARNING: 1,
}
"""Nearest of the nine standard colour numbers, for readers that know no true colour."""
_LINETYPE: Final = {Layer.PATTERN: "DASHED", Layer.CENTRE: "CENTER"}
_ALIGNMENT: Final = {
    ("left", "base"): TextEntityAlignment.LEFT,
    ("middle", "base"): TextEntityAlignment.CENTER,
    ("right", "base"): TextEntityAlignment.RIGHT,
    ("left", "middle"): TextEntityAlignment.MIDDLE_LEFT,
    ("middle", "middle"): TextEntityAlignment.MIDDLE_CENTER,
    ("right", "middle"): TextEntityAlignment.MIDDLE_RIGHT,
    ("left", "top"): TextEntityAlignment.TOP_LEFT,
    ("middle", "top"): TextEntityAlignment.TOP_CENTER,
    ("right", "top"): TextEntityAlignment.TOP_RIGHT,
}


def dxf(drawing: Drawing) -> bytes:
    """The drawing at full size, $INSUNITS 4 (millimetres); the same drawing, the same bytes.

    Raises
    ------
    ValueError
        If the drawing is empty.
    """
    drawing = exploded(drawing)
    box = bounds(drawing)
    document = new(_VERSION, setup=["linetypes"])
    document.units = units.MM
    document.header["$MEASUREMENT"] = _MEASUREMENT_METRIC
    document.header["$LWDISPLAY"] = 1
    document.header["$EXTMIN"] = (box.left, box.bottom, 0.0)
    document.header["$EXTMAX"] = (box.right, box.top, 0.0)
    for layer in Layer:
        _add_layer(document, layer)
    space = document.modelspace()
    for item in drawing:
        _add(space, item)
    buffer = StringIO()
    document.write(buffer)
    return buffer.getvalue().encode("utf-8")


def _add_layer(document: Any, layer: Layer) -> None:
    style = STYLES[layer]
    entry = document.layers.add(
        layer.value,
        color=_COLOUR_NUMBER[layer],
        linetype=_LINETYPE.get(layer, "CONTINUOUS"),
        lineweight=round(style.width_mm * 100),
    )
    # True black would vanish on a dark screen; colour 7 turns white there.
    if style.colour != BLACK:
        entry.rgb = style.colour


def _add(space: Any, item: Primitive) -> None:
    on_layer = {"layer": item.layer.value}
    match item:
        case Line():
            space.add_line(item.start, item.end, dxfattribs=on_layer)
        case Polyline():
            space.add_lwpolyline(item.points, close=item.closed, dxfattribs=on_layer)
        case Circle():
            space.add_circle(item.centre, item.radius, dxfattribs=on_layer)
        case Arc():
            space.add_arc(
                item.centre,
                item.radius,
                math.degrees(item.start_rad),
                math.degrees(item.end_rad),
                dxfattribs=on_layer,
            )
        case Text():
            text = space.add_text(
                item.text,
                height=item.height,
                rotation=math.degrees(item.rotation_rad),
                dxfattribs=on_layer,
            )
            text.set_placement(item.at, align=_ALIGNMENT[item.across, item.upright])
