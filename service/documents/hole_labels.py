"""Letters, names and distances of a panel's holes, each where it touches nothing else.

Frame: the front view's, y up with 0 at the finished top, x = 0 at the panel's reference upright.
Two numbers that run together read as a third one: what has no room of its own is left out, for the
table beside the drawing has every number. A hole's letter alone is never left out.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from service.documents.clipping import level_runs
from service.documents.drawing import (
    Bounds,
    Dimension,
    Drawing,
    Layer,
    Place,
    Text,
    bounds,
    estimated_width,
    parts,
)
from service.documents.wording import hole_letters, inches

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from service.documents.drawing import Across, Upright
    from service.panels.model import Cutout, Panel
    from service.panels.openings import WindowCut

_FIRST_LANE: Final = 0.7
_LANE: Final = 1.75
"""Dimension lines, in text heights: from the largest hole, and from one another."""
_PAST_OUTSIDE: Final = 3.0
"""Beyond a text outside the panel, for the next dimension line and the number on it."""
_GROUND: Final = 0.25
"""White round a number, in text heights: it must rub out no part of another."""
_INSIDE: Final = 0.95
"""Of an opening's width, what its name may take."""
_SIDE_LANES: Final = (0.0, _LANE, -_LANE, 2 * _LANE, -2 * _LANE)
"""Where a hole's distance from the side may stand: through its centre, else above or below."""


def hole_labels(
    panel: Panel, edge: tuple[Place, ...], text_mm: float, there: Iterable[Text] = ()
) -> Drawing:
    """What stands beside the holes and in the openings of a panel, the shallowest hole first.

    Parameters
    ----------
    panel, edge
        The panel and its outline on the front view.
    text_mm
        Text height, in the drawing's millimetres.
    there
        Words that stand in the view already.
    """
    words = [bounds((text,)) for text in there]
    layouts = [_Layout(panel, edge, text_mm, words, way) for way in (-1.0, 1.0)]
    return max(layouts, key=lambda layout: len(layout.sizes)).drawn


def opening_names(panel: Panel, text_mm: float) -> tuple[Text, ...]:
    """What each opening is for, in its middle, where that stays inside it."""
    middles = [(_opening_box(panel, cut), cut.name) for cut in panel.windows]
    return tuple(
        Text(Layer.CUTOUT, _middle(box), name, text_mm, bold=True)
        for box, name in middles
        if estimated_width(name, text_mm, bold=True) <= _INSIDE * box.width
    )


def past_hole_words(panel: Panel, text_mm: float) -> float:
    """How far outside the panel the holes' distances reach that are too long for their lines, in
    text heights."""
    widths = [
        estimated_width(words, text_mm)
        for hole in panel.cutouts
        if estimated_width(words := _side_words(hole, text_mm), text_mm) > abs(hole.at_mm.x)
    ]
    return max(widths) / text_mm + _PAST_OUTSIDE if widths else 0.0


class _Layout:
    """The view with its letters on one side of the holes: towards their reference (-1), where it
    leaves room for the distances from the top, or away from it (1), for those from the side."""

    def __init__(
        self,
        panel: Panel,
        edge: tuple[Place, ...],
        text_mm: float,
        there: list[Bounds],
        way: float,
    ) -> None:
        self.panel, self.edge, self.text_mm, self.way = panel, edge, text_mm, way
        self._there = there
        self.sizes: list[Dimension] = []
        self._names: dict[str, Text] = {}
        self._reach = max(
            (abs(hole.at_mm.x) + hole.diameter_mm / 2 for hole in panel.cutouts), default=0.0
        )
        self._cut = [self._round(hole) for hole in panel.cutouts]
        self._cut += [_opening_box(panel, cut) for cut in panel.windows]
        self._lay_out()

    @property
    def drawn(self) -> Drawing:
        """Distances, then letters and names."""
        return (*self.sizes, *self._names.values())

    def _lay_out(self) -> None:
        letters, count = hole_letters(self.panel), len(self.panel.cutouts)
        for letter, cut in zip(letters[count:], self.panel.windows, strict=True):
            self._name_opening(letter, cut)
        named = zip(letters[:count], self.panel.cutouts, strict=True)
        holes = sorted(named, key=lambda pair: (pair[1].at_mm.y, abs(pair[1].at_mm.x)))
        for letter, hole in holes:
            self._write_letter(letter, hole)
        for number, (_, hole) in enumerate(holes):
            self._write_distances(hole, number)
        for letter, hole in holes:
            self._add_name(letter, hole)

    def _name_opening(self, letter: str, cut: WindowCut) -> None:
        """In its middle, with its name if that stays inside it."""
        box, words = _opening_box(self.panel, cut), f"{letter} {cut.name}"
        if estimated_width(words, self.text_mm, bold=True) > _INSIDE * box.width:
            words = letter
        self._names[letter] = Text(Layer.CUTOUT, _middle(box), words, self.text_mm, bold=True)

    def _write_distances(self, hole: Cutout, number: int) -> None:
        """From the reference upright, and from the top in the lane of its number."""
        centre = self._centre(hole)
        words, own = _side_words(hole, self.text_mm), self._round(hole)
        for lane in _SIDE_LANES:
            # From the hole to the edge: too long for its line, a text stands outside the panel.
            side = Dimension(centre, Place(0.0, centre.y), lane * self.text_mm, words, self.text_mm)
            if self._place(side, own):
                break
        outward = math.copysign(1.0, centre.x or self.panel.front_sign)
        lane_x = outward * (self._reach + (_FIRST_LANE + number * _LANE) * self.text_mm)
        if abs(lane_x - self.panel.front_sign * self.panel.plumb_x_mm) < 0.6 * self.text_mm:
            lane_x += outward * 0.6 * self.text_mm
        if _inside(self.edge, lane_x + outward * _LANE * self.text_mm, centre.y):
            top, words = Place(centre.x, 0.0), inches(hole.from_top)
            self._place(Dimension(top, centre, lane_x - centre.x, words, self.text_mm), own)

    def _write_letter(self, letter: str, hole: Cutout) -> None:
        """In any case, and so before all else: where it touches nothing, or else least."""
        places = [text for away in (0.0, 1.6, 3.2) for text in self._beside(hole, letter, away)]
        boxes = [bounds((text,)) for text in places]
        touched = [
            len(self._touched(box, self._round(hole))) + (not self._within(box)) for box in boxes
        ]
        self._names[letter] = places[touched.index(min(touched))]

    def _add_name(self, letter: str, hole: Cutout) -> None:
        """To the letter, where the two have room together."""
        alone = self._names.pop(letter)
        places = [
            text
            for text in self._beside(hole, f"{letter} {hole.name}", 0.0)
            if self._within(box := bounds((text,))) and not self._touched(box, self._round(hole))
        ]
        self._names[letter] = places[0] if places else alone

    def _beside(self, hole: Cutout, words: str, away: float) -> Iterator[Text]:
        """On the one side and on the other, under the hole's own line and over it."""
        centre, radius = self._centre(hole), hole.diameter_mm / 2
        outward = math.copysign(1.0, centre.x or self.panel.front_sign)
        aside = radius + (0.6 + away) * self.text_mm
        ways: Sequence[tuple[float, Upright]] = ((-0.9, "top"), (0.5, "base"))
        for up, upright in ways:
            for side in (self.way * outward, -self.way * outward):
                at = Place(centre.x + side * aside, centre.y + up * self.text_mm)
                across: Across = "left" if side > 0 else "right"
                yield Text(Layer.CUTOUT, at, words, self.text_mm, across, upright, bold=True)

    def _place(self, size: Dimension, own: Bounds) -> bool:
        """Draw it if its text and its line touch nothing; whether they did not."""
        line, text = (bounds((part,)) for part in (parts(size)[0], parts(size)[-1]))
        lines = (bounds((parts(other)[0],)) for other in self.sizes)
        if (
            self._touched(text, own)
            or self._touched(line, own)
            or any(_meet(text, other) for other in lines)
        ):
            return False
        self.sizes.append(size)
        return True

    def _touched(self, box: Bounds, own: Bounds) -> list[Bounds]:
        """Words, holes but its own, and openings that it lies on with its white ground."""
        ground = _GROUND * self.text_mm
        box = Bounds(box.left - ground, box.bottom - ground, box.right + ground, box.top + ground)
        texts = (*self._names.values(), *(parts(size)[-1] for size in self.sizes))
        taken = (*self._there, *(bounds((text,)) for text in texts))
        return [other for other in (*taken, *self._cut) if other != own and _meet(box, other)]

    def _within(self, box: Bounds) -> bool:
        """Whether it lies on the sheet, clear of its edge."""
        aside = 0.4 * self.text_mm
        return all(
            _inside(self.edge, x, y)
            for x in (box.left - aside, box.right + aside)
            for y in (box.bottom - aside, box.top + aside)
        )

    def _centre(self, hole: Cutout) -> Place:
        return Place(self.panel.front_sign * hole.at_mm.x, -hole.at_mm.y)

    def _round(self, hole: Cutout) -> Bounds:
        (x, y), radius = self._centre(hole), hole.diameter_mm / 2
        return Bounds(x - radius, y - radius, x + radius, y + radius)


def _opening_box(panel: Panel, cut: WindowCut) -> Bounds:
    x, y = cut.corner_mm
    ends = sorted(panel.front_sign * px for px in (x, x + cut.width.mm))
    return Bounds(ends[0], -(y + cut.height.mm), ends[1], -y)


def _middle(box: Bounds) -> Place:
    return Place((box.left + box.right) / 2, (box.bottom + box.top) / 2)


def _meet(one: Bounds, other: Bounds) -> bool:
    return min(one.right, other.right) > max(one.left, other.left) and min(
        one.top, other.top
    ) > max(one.bottom, other.bottom)


def _inside(edge: tuple[Place, ...], x: float, y: float) -> bool:
    return any(left <= x <= right for left, right in level_runs(edge, y))


def _side_words(hole: Cutout, text_mm: float) -> str:
    """The distance from the side, without its unit where that makes it fit its line."""
    words = inches(hole.from_side)
    fits = estimated_width(words, text_mm) <= abs(hole.at_mm.x)
    return words if fits else words.removesuffix(" in")
