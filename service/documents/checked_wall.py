"""A wall of the cross-check as a drawing: every size that has a place on it and room for its words.

Frame: x right from the plumb line, y up from the level line, mm. Sizes across the wall and up it
stand where they were taken; what would lie on top of one another there (pipes, tile, floor and
ceiling) stands outside it, a lane each, so that what adds up is read as one chain.
"""

from __future__ import annotations

import math
from operator import itemgetter
from typing import TYPE_CHECKING, Final

from service.documents.cross_check import size_layer, size_words, slanted
from service.documents.drawing import (
    Bounds,
    Circle,
    Dimension,
    Drawing,
    Layer,
    Line,
    Place,
    Polyline,
    Primitive,
    Text,
    bounds,
    estimated_width,
    parts,
)
from service.measuring.alcove.edges import sign_of
from service.measuring.alcove.placing import size_ends
from service.measuring.alcove.vocabulary import OPPOSITE, Role, Side

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from service.documents.drawing import Across
    from service.measuring.alcove.placing import Ends
    from service.measuring.alcove.vocabulary import Size
    from service.measuring.cross_check import CheckedSize, CheckedWall

_OFFSETS: Final = {
    Role.OFFSET: (0.0,),
    Role.WIDTH: (-2.2, 2.2),
    Role.HEIGHT: (-1.2, 1.2),
    Role.TUB_FRONT: (-4.4,),
    Role.FIXTURE_FROM_PLUMB: (1.2, -1.2, 3.0, -3.0),
    Role.FIXTURE_FROM_CORNER: (-2.2, 2.2, -4.0, 4.0),
}
"""How far from what it is of a size may be drawn, in text heights, above or to the left of it."""
_FROM_PLUMB: Final = (Role.OFFSET, Role.TUB_FRONT, Role.FIXTURE_FROM_PLUMB)
_ALONG: Final = (0.5, 0.35, 0.65, 0.22, 0.78, 0.42, 0.58)
_SLANTED: Final = (0.2, 0.27, 0.14, 0.34, 0.8, 0.73, 0.42)
_LANES: Final = {
    Role.TILE_TOP: "tile top",
    Role.COURSES: "courses",
    Role.CUT_ROW: "cut row",
    Role.FIXTURE_DOWN: "down",
    Role.FIXTURE_ABOVE_DECK: "above deck",
    Role.DECK_TO_FLOOR: "deck to floor",
    Role.LINE_TO_FLOOR: "line to floor",
    Role.LINE_TO_CEILING: "line to ceiling",
    Role.FLOOR_TO_CEILING: "floor to ceiling",
}
"""What is drawn outside the wall, and its words there."""
_PATCH: Final = 1.3
"""Words nearer than this, in text heights, touch."""
_LANE: Final = 3.4
_FIRST_LANE: Final = 4.2
_NAMES_UP: Final = (3.0, 5.0)
"""Over the highest point, in text heights: the ends of the wall, and the plumb line."""


def wall_drawing(wall: CheckedWall, text_mm: float) -> Drawing:
    """The wall with every named size on it; empty where no size has a place.

    Parameters
    ----------
    text_mm
        Height of the text, in the wall's own millimetres.
    """
    values = {row.size.name: row.mm for row in wall.rows if row.size is not None}
    ends = size_ends(wall.sizes, {name: mm for name, mm in values.items() if mm is not None})
    if not ends:
        return ()
    drawn = _Drawn(wall, ends, text_mm)
    for row, size, (start, end) in drawn.rows:
        if size.role in _OFFSETS:
            drawn.along(row, size, start, end)
    drawn.pipes()
    for row, size, (start, end) in drawn.rows:
        if size.role is Role.DIAGONAL:
            drawn.slanted(row, start, end)
    drawn.lanes()
    drawn.names()
    return (*_outline(wall, ends, drawn.box, text_mm), *drawn.items)


class _Drawn:
    """What is drawn so far, and where its words stand."""

    def __init__(self, wall: CheckedWall, ends: dict[str, Ends], text_mm: float) -> None:
        self.wall, self.text_mm = wall, text_mm
        self.items: list[Primitive] = []
        self.rows: list[tuple[CheckedSize, Size, tuple[Place, Place]]] = [
            (row, row.size, (Place(*ends[row.size.name][0]), Place(*ends[row.size.name][1])))
            for row in wall.rows
            if row.size is not None and row.size.name in ends
        ]
        self.box = _box(ends.values())
        self._written: list[Place] = []

    def along(self, row: CheckedSize, size: Size, start: Place, end: Place) -> None:
        """A size where it was taken, its words where they touch least."""
        words, layer = size_words(row), size_layer(row)
        # From the plumb line, so that words with no room on their line stand past the far end.
        first, last = sorted((start, end), key=lambda place: (abs(place.x), place.y))
        if size.role not in _FROM_PLUMB:
            first, last = sorted((start, end), key=lambda place: (round(place.x, 3), place.y))
        up_mm = math.copysign(self.text_mm, last.x - first.x)
        self._best(
            (
                [Dimension(first, last, up * up_mm, words, self.text_mm, layer, along)]
                for up in _OFFSETS[size.role]
                for along in _ALONG
            ),
            always=_warns(row),
        )

    def slanted(self, row: CheckedSize, start: Place, end: Place) -> None:
        """A diagonal."""
        tries = (slanted(start, end, along, row, self.text_mm) for along in _SLANTED)
        self._best(tries, always=_warns(row))

    def pipes(self) -> None:
        """Each pipe as a ring with its name, where it is known both ways."""
        at = {
            size.fixture: end
            for _, size, (_, end) in self.rows
            if size.role in (Role.FIXTURE_FROM_PLUMB, Role.FIXTURE_FROM_CORNER) and size.fixture
        }
        for name, (x, y) in at.items():
            self.items.append(Circle(Layer.CUTOUT, Place(x, y), 0.6 * self.text_mm))
            aside = 1.2 * self.text_mm
            spots: list[tuple[float, float, Across]] = [
                (aside, aside, "left"), (-aside, aside, "right"),
                (aside, -aside, "left"), (-aside, -aside, "right"),
                (aside, 2.4 * aside, "left"), (-aside, 2.4 * aside, "right"),
            ]  # fmt: skip
            texts = [
                Text(Layer.CUTOUT, Place(x + dx, y + dy), name, self.text_mm, across)
                for dx, dy, across in spots
            ]
            self._best(([text] for text in texts if self._on_wall(text)), always=False)

    def _on_wall(self, text: Text) -> bool:
        """Beside the wall the lanes will be."""
        box = bounds((text,))
        return self.box.left <= box.left and box.right <= self.box.right

    def lanes(self) -> None:
        """Outside the wall: the chains up it, one lane each, nearest what lies deepest in it."""
        laned = [found for found in self.rows if found[1].role in _LANES]
        for side in (-1, 1):
            here = [found for found in laned if self._side(found[1], found[2]) == side]
            edge = self.box.right if side > 0 else self.box.left
            chains = sorted(dict.fromkeys(_chain(size) for _, size, _ in here), key=itemgetter(0))
            for number, chain in enumerate(chains):
                aside = side * (_FIRST_LANE + number * _LANE) * self.text_mm
                # Words that are longer than their line take what room the others leave.
                own = [found for found in here if _chain(found[1]) == chain]
                for row, size, ends in sorted(own, key=self._too_long):
                    self._in_lane(row, size, ends, edge, aside)

    def _too_long(self, found: tuple[CheckedSize, Size, tuple[Place, Place]]) -> bool:
        row, size, (start, end) = found
        return not any(self._fits(_lane_name(size), row, abs(end.y - start.y)))

    def names(self) -> None:
        """The lines that all is measured from, and which end of the wall is which."""
        drawn = bounds(tuple(self.items))
        h, top = self.text_mm, self.box.top
        self._text(Place(0.0, top + _NAMES_UP[1] * h), "plumb line", "middle")
        left = drawn.left > self.box.left - _FIRST_LANE * h
        end = Place(drawn.left - 3.6 * h if left else drawn.right + 3.6 * h, 0.0)
        self._text(end, "level line", "right" if left else "left")
        one, other = ("left corner", "right corner")
        if self.wall.sizes.corner is not None:
            one, other = "back corner", "outer edge"
            if self.wall.sizes.corner is Side.RIGHT:
                one, other = other, one
        at = top + _NAMES_UP[0] * h
        narrow = estimated_width(f"{one}  {other}", h) > self.box.width
        self._text(Place(self.box.left, at), one, "right" if narrow and left else "left")
        self._text(Place(self.box.right, at), other, "left" if narrow and not left else "right")

    def _text(self, at: Place, words: str, across: Across) -> None:
        self._add([Text(Layer.NOTE, at, words, self.text_mm, across)])

    def _side(self, size: Size, ends: tuple[Place, Place]) -> int:
        """Outside an end wall's front; on the back wall the side that is nearer."""
        if self.wall.sizes.corner is not None:
            return sign_of(self.wall.sizes, Side.OUTER)
        tile = size.role in (Role.TILE_TOP, Role.COURSES, Role.CUT_ROW)
        return -1 if tile and ends[0].x < 0 else 1

    def _in_lane(
        self,
        row: CheckedSize,
        size: Size,
        ends: tuple[Place, Place],
        edge: float,
        aside: float,
    ) -> None:
        """From the pipe or the deck to the end that is away from it: past that there is room."""
        start, end = ends
        if size.role is Role.FIXTURE_DOWN:
            start, end = end, start
        if size.role is Role.FIXTURE_ABOVE_DECK and start.y < end.y:
            start, end = end, start
        pipe = start if size.fixture else None
        if pipe is not None:
            self.items.append(Line(Layer.CENTRE, pipe, Place(edge, pipe.y)))
        one, other = Place(edge, start.y), Place(edge, end.y)
        self._best(
            (
                self._lane(_lane_name(size), row, *way, aside)
                for way in ((one, other), (other, one))
            ),
            always=_warns(row),
        )

    def _lane(
        self, name: str, row: CheckedSize, start: Place, end: Place, aside: float
    ) -> list[Primitive]:
        """A line with name and value over it; where they are too long, with the name under it."""
        h, layer = self.text_mm, size_layer(row)
        offset, value = (-aside if end.y > start.y else aside), size_words(row)
        fits, fit_apart = self._fits(name, row, abs(end.y - start.y))
        if fits or not fit_apart:
            return [Dimension(start, end, offset, f"{name} {value}", h, layer)]
        under = Place(start.x + aside + 0.45 * h, (start.y + end.y) / 2)
        return [
            Dimension(start, end, offset, value, h, layer),
            Text(layer, under, name, h, upright="top", rotation_rad=math.pi / 2),
        ]

    def _fits(self, name: str, row: CheckedSize, long: float) -> tuple[bool, bool]:
        """Whether a line has room for name and value over it, or for each on a side of its own."""
        value = size_words(row)
        both, *apart = (
            estimated_width(words, self.text_mm) < long
            for words in (f"{name} {value}", name, value)
        )
        return both, all(apart)

    def _best(self, tries: Iterable[Sequence[Primitive]], *, always: bool) -> None:
        """Draw the first whose words touch no words; if none, nothing, for the table has it, or
        what must `always` stand there where it touches the fewest."""
        best, least = None, math.inf
        for one in tries:
            touched = self._touched(one)
            if touched < least:
                best, least = one, touched
            if not touched:
                break
        if best is not None and (always or not least):
            self._add(best)

    def _touched(self, items: Sequence[Primitive]) -> int:
        near = _PATCH * self.text_mm
        return sum(
            abs(x - other_x) < near and abs(y - other_y) < near
            for x, y in _along_words(items)
            for other_x, other_y in self._written
        )

    def _add(self, items: Sequence[Primitive]) -> None:
        self.items += items
        self._written += _along_words(items)


def _lane_name(size: Size) -> str:
    return f"{size.fixture}, {_LANES[size.role]}" if size.fixture else _LANES[size.role]


def _warns(row: CheckedSize) -> bool:
    return size_layer(row) is Layer.WARNING


def _chain(size: Size) -> tuple[int, str]:
    """Sizes with the same go into one lane: tile, each pipe by itself, then floor and ceiling."""
    if size.role in (Role.TILE_TOP, Role.COURSES, Role.CUT_ROW):
        return 0, ""
    if size.fixture:
        return 1, size.fixture
    if size.role is Role.DECK_TO_FLOOR:
        return 2, ""
    return (4 if size.role is Role.FLOOR_TO_CEILING else 3), ""


def _outline(
    wall: CheckedWall, ends: dict[str, Ends], box: Bounds, text_mm: float
) -> list[Primitive]:
    """Level line, plumb line, the edges through their stations, and the deck."""
    past, over = 3 * text_mm, (_NAMES_UP[1] - 0.8) * text_mm
    drawn: list[Primitive] = [
        Line(Layer.CENTRE, Place(box.left - past, 0.0), Place(box.right + past, 0.0)),
        Line(Layer.CENTRE, Place(0.0, box.top + over), Place(0.0, box.bottom)),
    ]
    for side in OPPOSITE:
        sizes = wall.sizes.of(Role.OFFSET, side=side)
        drawn += _polyline([ends[s.name][1] for s in sizes if s.name in ends], across=False)
    decks = [ends[s.name][1] for s in wall.sizes.of(Role.HEIGHT) if s.name in ends]
    return drawn + _polyline(decks, across=True)


def _polyline(points: Iterable[tuple[float, float]], *, across: bool) -> list[Primitive]:
    places = sorted((Place(*point) for point in points), key=lambda p: p.x if across else -p.y)
    return [Polyline(Layer.OUTLINE, tuple(places))] if len(places) > 1 else []


def _box(ends: Iterable[Ends]) -> Bounds:
    """Round all that is measured, the level line and the plumb line with it."""
    places = [Place(0.0, 0.0), *(Place(*place) for pair in ends for place in pair)]
    xs, ys = [place.x for place in places], [place.y for place in places]
    return Bounds(min(xs), min(ys), max(xs), max(ys))


def _along_words(items: Iterable[Primitive]) -> list[Place]:
    """Places along the middle of some items' words, a text height apart: a slanted text fills no
    rectangle."""
    found = []
    for item in items:
        text = parts(item)[-1] if isinstance(item, Dimension) else item
        if not isinstance(text, Text):
            continue
        width, h = estimated_width(text.text, text.height, bold=text.bold), text.height
        left = {"left": 0.0, "middle": -width / 2, "right": -width}[text.across]
        up = {"base": 0.5, "middle": 0.0, "top": -0.5}[text.upright] * h
        cos, sin = math.cos(text.rotation_rad), math.sin(text.rotation_rad)
        count = max(2, math.ceil(width / h))
        for number in range(count + 1):
            along = left + width * number / count
            x, y = text.at.x + along * cos - up * sin, text.at.y + along * sin + up * cos
            found.append(Place(x, y))
    return found
