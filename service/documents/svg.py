"""A drawing as an SVG file: millimetres, no script, nothing fetched."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final
from xml.etree.ElementTree import Element, SubElement, indent, tostring

from service.documents.drawing import (
    CAPITAL_PER_EM,
    Arc,
    Circle,
    Drawing,
    Layer,
    Line,
    Place,
    Polyline,
    Text,
    bounds,
    exploded,
)
from service.documents.line_styles import BACKED_TEXT, STYLES, hex_colour

if TYPE_CHECKING:
    from service.documents.drawing import Primitive

_NAMESPACE: Final = "http://www.w3.org/2000/svg"
_ANCHOR: Final = {"left": "start", "middle": "middle", "right": "end"}
_DROP_PER_HEIGHT: Final = {"base": 0.0, "middle": 0.5, "top": 1.0}


def svg(drawing: Drawing, title: str, description: str, paper_scale: float = 1.0) -> bytes:
    """The drawing at its own size, 1 user unit = 1 mm.

    Parameters
    ----------
    drawing
        Model millimetres, y up. SVG's y runs down, so every y is written negated.
    title, description
        For screen readers and file managers.
    paper_scale
        Millimetres of drawing per millimetre as usually looked at; lines and dashes are widened
        by it, so that a 1:1 panel shown small keeps its line weights.

    Raises
    ------
    ValueError
        If the drawing is empty.
    """
    drawing = exploded(drawing)
    box = bounds(drawing)
    margin = 2.0 * paper_scale
    left, top = box.left - margin, -box.top - margin
    width, height = box.width + 2 * margin, box.height + 2 * margin
    root = Element(
        "svg",
        {
            "xmlns": _NAMESPACE,
            "version": "1.1",
            "width": f"{_number(width)}mm",
            "height": f"{_number(height)}mm",
            "viewBox": " ".join(map(_number, (left, top, width, height))),
            "role": "img",
        },
    )
    SubElement(root, "title").text = title
    SubElement(root, "desc").text = description
    for layer in Layer:
        items = [item for item in drawing if item.layer is layer]
        if items:
            group = SubElement(root, "g", _layer_attributes(layer, paper_scale))
            for item in items:
                _write(group, item)
    indent(root)
    encoded: bytes = tostring(root, encoding="utf-8", xml_declaration=True)
    return encoded


def _layer_attributes(layer: Layer, paper_scale: float) -> dict[str, str]:
    style = STYLES[layer]
    attributes = {
        "id": layer.value,
        "fill": "none",
        "stroke": hex_colour(style.colour),
        "stroke-width": _number(style.width_mm * paper_scale),
        "stroke-linecap": "butt",
        "stroke-linejoin": "miter",
    }
    if style.dashes_mm:
        attributes["stroke-dasharray"] = " ".join(
            _number(dash * paper_scale) for dash in style.dashes_mm
        )
    return attributes


def _write(group: Element, item: Primitive) -> None:
    match item:
        case Line():
            SubElement(group, "path", {"d": _path((item.start, item.end), closed=False)})
        case Polyline():
            attributes = {"d": _path(item.points, closed=item.closed)}
            if item.filled:
                attributes["fill"] = hex_colour(STYLES[item.layer].colour)
            SubElement(group, "path", attributes)
        case Circle():
            x, y = _pair(item.centre)
            SubElement(group, "circle", {"cx": x, "cy": y, "r": _number(item.radius)})
        case Arc():
            SubElement(group, "path", {"d": _arc_path(item)})
        case Text():
            _write_text(group, item)


def _write_text(group: Element, text: Text) -> None:
    x, y = _pair(text.at)
    attributes = {
        "x": x,
        "y": y,
        "dy": _number(_DROP_PER_HEIGHT[text.upright] * text.height),
        "font-size": _number(text.height / CAPITAL_PER_EM),
        "font-family": "sans-serif",
        "font-weight": "bold" if text.bold else "normal",
        "text-anchor": _ANCHOR[text.across],
        "fill": hex_colour(STYLES[text.layer].text_colour),
        "stroke": "none",
    }
    if text.layer in BACKED_TEXT:
        attributes |= {
            "stroke": "#ffffff",
            "stroke-width": _number(0.5 * text.height),
            "stroke-linejoin": "round",
            "paint-order": "stroke",
        }
    if text.rotation_rad:
        attributes["transform"] = f"rotate({_number(-math.degrees(text.rotation_rad))} {x} {y})"
    SubElement(group, "text", attributes).text = text.text


def _path(points: tuple[Place, ...], *, closed: bool) -> str:
    steps = " L ".join(" ".join(_pair(point)) for point in points)
    return f"M {steps}{' Z' if closed else ''}"


def _arc_path(arc: Arc) -> str:
    sweep = (arc.end_rad - arc.start_rad) % math.tau
    first, last = (
        " ".join(
            _pair(
                Place(
                    arc.centre.x + arc.radius * math.cos(angle),
                    arc.centre.y + arc.radius * math.sin(angle),
                )
            )
        )
        for angle in (arc.start_rad, arc.end_rad)
    )
    radius, large = _number(arc.radius), int(sweep > math.pi)
    # Sweep flag 0: counter-clockwise on the page once y points down.
    return f"M {first} A {radius} {radius} 0 {large} 0 {last}"


def _pair(place: Place) -> tuple[str, str]:
    return _number(place.x), _number(-place.y)


def _number(value: float) -> str:
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text in ("", "-0") else text
