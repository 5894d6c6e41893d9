"""The one drawing model behind the PDF, SVG and DXF writers.

Frame: x right, **y up**, millimetres. A drawing is a tuple of frozen primitives, each on a layer
that says what it means; how a layer looks is in `line_styles`. Text heights are heights of a
capital letter (the nominal height of ISO 3098), in the drawing's own millimetres: a writer that
draws at 1:12 asks for text 12 times taller than it will print.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final, Literal, NamedTuple


class Layer(StrEnum):
    """What a primitive means; the value is the layer's name in a DXF file.

    From the lowest to the topmost where layers are drawn one over another.
    """

    PATTERN = "PATTERN"
    CENTRE = "CENTRE"
    DIMENSION = "DIMENSION"
    CUTOUT = "CUT-OUT"
    OUTLINE = "OUTLINE"
    MARK = "LAYOUT-MARK"
    NOTE = "NOTE"
    WARNING = "WARNING"


class Place(NamedTuple):
    """A place on the drawing, mm, y up."""

    x: float
    y: float


class Bounds(NamedTuple):
    """The upright rectangle round a drawing, mm."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        return self.right - self.left

    @property
    def height(self) -> float:
        return self.top - self.bottom


Across = Literal["left", "middle", "right"]
Upright = Literal["base", "middle", "top"]


@dataclass(frozen=True)
class Line:
    """A straight line."""

    layer: Layer
    start: Place
    end: Place


@dataclass(frozen=True)
class Polyline:
    """Straight pieces end to end; `closed` joins the last point to the first."""

    layer: Layer
    points: tuple[Place, ...]
    closed: bool = False
    filled: bool = False


@dataclass(frozen=True)
class Circle:
    """A full circle."""

    layer: Layer
    centre: Place
    radius: float


@dataclass(frozen=True)
class Arc:
    """Part of a circle, counter-clockwise from `start_rad` to `end_rad`."""

    layer: Layer
    centre: Place
    radius: float
    start_rad: float
    end_rad: float


@dataclass(frozen=True)
class Text:
    """One line of text; `at` is the anchor named by `across` and `upright`, turned last."""

    layer: Layer
    at: Place
    text: str
    height: float
    across: Across = "middle"
    upright: Upright = "middle"
    rotation_rad: float = 0.0
    bold: bool = False


@dataclass(frozen=True)
class Dimension:
    """A dimension in the manner of ISO 129-1, before it is broken into lines.

    Attributes
    ----------
    start, end
        The two points measured.
    offset
        Distance from the points to the dimension line, positive to the left of start -> end.
    text
        The value as printed; nothing is rounded here.
    height
        Text height; extension gaps and strokes follow from it.
    along
        Where on its line the text stands, 0.5 in the middle.
    """

    start: Place
    end: Place
    offset: float
    text: str
    height: float
    layer: Layer = Layer.DIMENSION
    along: float = 0.5


Primitive = Line | Polyline | Circle | Arc | Text | Dimension
Drawing = tuple[Primitive, ...]

CAPITAL_PER_EM: Final = 0.73
"""Capital height of DejaVu Sans Bold and Book, in ems (0.729, read from the fonts)."""
_NARROW: Final = frozenset(" .,:;'/|()-fijlrtI!")
_NARROW_ADVANCE: Final = 0.55
_SMALL_ADVANCE: Final = 0.9
_CAPITAL_ADVANCE: Final = 1.05
_BOLD_FACTOR: Final = 1.12
"""Advances in capital heights, a little wide for most sans-serif faces: the model knows no font."""
_LEFT_TO_RIGHT: Final[dict[Across, Across]] = {
    "left": "right",
    "middle": "middle",
    "right": "left",
}

_BASE_TO_TOP: Final[dict[Upright, Upright]] = {"base": "top", "middle": "middle", "top": "base"}


def shifted(drawing: Drawing, dx: float, dy: float) -> Drawing:
    """The drawing moved by (dx, dy)."""
    return tuple(_moved(item, 1.0, 1.0, dx, dy) for item in drawing)


def scaled(drawing: Drawing, factor: float) -> Drawing:
    """The drawing `factor` times as large about the origin, text and all.

    Raises
    ------
    ValueError
        If the factor is not a positive number.
    """
    if not (math.isfinite(factor) and factor > 0):
        raise ValueError(f"a scale must be a positive number, not {factor!r}")
    return tuple(_moved(item, factor, 1.0, 0.0, 0.0) for item in drawing)


def mirrored(drawing: Drawing) -> Drawing:
    """The drawing as seen from behind: x becomes -x; text stays readable, its anchor swaps."""
    return tuple(_moved(item, 1.0, -1.0, 0.0, 0.0) for item in drawing)


def bounds(drawing: Drawing) -> Bounds:
    """The upright rectangle round everything, text by its estimated width.

    Raises
    ------
    ValueError
        If the drawing is empty.
    """
    places = [place for item in drawing for place in _extremes(item)]
    if not places:
        raise ValueError("an empty drawing has no bounds")
    xs, ys = [p.x for p in places], [p.y for p in places]
    return Bounds(min(xs), min(ys), max(xs), max(ys))


def on_layers(drawing: Drawing, *layers: Layer) -> Drawing:
    """Only what lies on the given layers, in order."""
    return tuple(item for item in drawing if item.layer in layers)


def parts(dimension: Dimension) -> Drawing:
    """A dimension as lines and text: ISO 129-1, oblique strokes, text above the line.

    The text reads from the bottom or from the right of the drawing whichever way the dimension
    was given. A zero length has no direction, so it is drawn as level.
    """
    start, end, h = dimension.start, dimension.end, dimension.height
    length = math.hypot(end.x - start.x, end.y - start.y)
    ux, uy = ((end.x - start.x) / length, (end.y - start.y) / length) if length else (1.0, 0.0)
    nx, ny = -uy, ux
    side = math.copysign(1.0, dimension.offset)
    line_start = Place(start.x + nx * dimension.offset, start.y + ny * dimension.offset)
    line_end = Place(end.x + nx * dimension.offset, end.y + ny * dimension.offset)
    pieces: list[Primitive] = [Line(dimension.layer, line_start, line_end)]
    for point, foot in ((start, line_start), (end, line_end)):
        if abs(dimension.offset) > h:
            gap, beyond = side * 0.5 * h, side * 0.6 * h
            pieces.append(
                Line(
                    dimension.layer,
                    Place(point.x + nx * gap, point.y + ny * gap),
                    Place(foot.x + nx * beyond, foot.y + ny * beyond),
                )
            )
        sx, sy = (ux + nx) * 0.45 * h, (uy + ny) * 0.45 * h
        pieces.append(
            Line(dimension.layer, Place(foot.x - sx, foot.y - sy), Place(foot.x + sx, foot.y + sy))
        )
    pieces.append(_dimension_text(dimension, line_start, line_end, math.atan2(uy, ux)))
    return tuple(pieces)


def estimated_width(text: str, height: float, *, bold: bool = False) -> float:
    """Width of one line of text in a usual sans-serif face, for room and bounding boxes."""
    ems = sum(
        _NARROW_ADVANCE
        if letter in _NARROW
        else _CAPITAL_ADVANCE
        if letter.isupper()
        else _SMALL_ADVANCE
        for letter in text
    )
    return ems * height * (_BOLD_FACTOR if bold else 1.0)


def exploded(drawing: Drawing) -> Drawing:
    """The drawing with every dimension broken into lines and text."""
    pieces: list[Primitive] = []
    for item in drawing:
        pieces.extend(parts(item) if isinstance(item, Dimension) else (item,))
    return tuple(pieces)


def _dimension_text(dimension: Dimension, start: Place, end: Place, angle_rad: float) -> Text:
    # ISO 129-1 reading directions: keep the turn in (-90 deg, 90 deg], so upright text reads
    # from the right.
    readable = angle_rad
    if readable <= -math.pi / 2 + 1e-9:
        readable += math.pi
    elif readable > math.pi / 2 + 1e-9:
        readable -= math.pi
    lift = 0.45 * dimension.height
    beyond = _beyond_end(dimension, math.hypot(end.x - start.x, end.y - start.y))
    part = dimension.along
    middle_x, middle_y = start.x + part * (end.x - start.x), start.y + part * (end.y - start.y)
    if beyond:
        middle_x, middle_y = (
            end.x + beyond * math.cos(angle_rad),
            end.y + beyond * math.sin(angle_rad),
        )
    return Text(
        dimension.layer,
        Place(middle_x - math.sin(readable) * lift, middle_y + math.cos(readable) * lift),
        dimension.text,
        dimension.height,
        across="middle",
        upright="base",
        rotation_rad=readable,
    )


def _beyond_end(dimension: Dimension, length: float) -> float:
    """How far past its end the middle of a text lies that is too long for its line, else 0."""
    width = estimated_width(dimension.text, dimension.height)
    return 0.0 if width <= length else width / 2 + dimension.height


def _moved(item: Primitive, k: float, flip: float, dx: float, dy: float) -> Primitive:
    """Scale by k, multiply x by flip (1 or -1), then shift."""

    def to(place: Place) -> Place:
        return Place(place.x * k * flip + dx, place.y * k + dy)

    match item:
        case Line():
            return replace(item, start=to(item.start), end=to(item.end))
        case Polyline():
            return replace(item, points=tuple(to(p) for p in item.points))
        case Circle():
            return replace(item, centre=to(item.centre), radius=item.radius * k)
        case Arc():
            first, last = item.start_rad, item.end_rad
            if flip < 0:
                first, last = math.pi - last, math.pi - first
            return replace(
                item,
                centre=to(item.centre),
                radius=item.radius * k,
                start_rad=first,
                end_rad=last,
            )
        case Text():
            return _moved_text(item, to(item.at), k, flip)
        case Dimension():
            return replace(
                item,
                start=to(item.start),
                end=to(item.end),
                offset=item.offset * k * flip,
                height=item.height * k,
            )


def _moved_text(item: Text, at: Place, k: float, flip: float) -> Text:
    height = item.height * k
    if flip > 0:
        return replace(item, at=at, height=height)
    across, upright, turn = _LEFT_TO_RIGHT[item.across], item.upright, -item.rotation_rad
    # Turned text still reads from the bottom or from the right: half a turn swaps both anchors.
    if math.cos(turn) < -1e-9 or (abs(math.cos(turn)) <= 1e-9 and math.sin(turn) < 0):
        across, upright, turn = _LEFT_TO_RIGHT[across], _BASE_TO_TOP[upright], turn + math.pi
    return replace(item, at=at, height=height, across=across, upright=upright, rotation_rad=turn)


def _extremes(item: Primitive) -> tuple[Place, ...]:
    match item:
        case Line():
            return (item.start, item.end)
        case Polyline():
            return item.points
        case Circle():
            return _square_round(item.centre, item.radius)
        case Arc():
            return _arc_extremes(item)
        case Text():
            return _text_corners(item)
        case Dimension():
            return tuple(place for piece in parts(item) for place in _extremes(piece))


def _square_round(centre: Place, radius: float) -> tuple[Place, Place]:
    return (
        Place(centre.x - radius, centre.y - radius),
        Place(centre.x + radius, centre.y + radius),
    )


def _arc_extremes(arc: Arc) -> tuple[Place, ...]:
    sweep = (arc.end_rad - arc.start_rad) % math.tau
    quarters = [k * math.pi / 2 for k in range(4)]
    inside = [q for q in quarters if (q - arc.start_rad) % math.tau <= sweep]
    return tuple(
        Place(arc.centre.x + arc.radius * math.cos(a), arc.centre.y + arc.radius * math.sin(a))
        for a in (arc.start_rad, arc.end_rad, *inside)
    )


def _text_corners(text: Text) -> tuple[Place, ...]:
    width = estimated_width(text.text, text.height, bold=text.bold)
    left = {"left": 0.0, "middle": -width / 2, "right": -width}[text.across]
    low = {"base": 0.0, "middle": -text.height / 2, "top": -text.height}[text.upright]
    cos, sin = math.cos(text.rotation_rad), math.sin(text.rotation_rad)
    return tuple(
        Place(text.at.x + x * cos - y * sin, text.at.y + x * sin + y * cos)
        for x in (left, left + width)
        for y in (low, low + text.height)
    )
