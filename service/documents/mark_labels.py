"""Numbers beside layout marks, kept apart so that none covers another."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from service.documents.drawing import Drawing, Layer, Line, Place, Primitive, Text

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from service.documents.drawing import Across, Upright
    from service.panels.model import Mark

_APART: Final = 1.5
"""Least distance of neighbouring numbers along an edge, in text heights (digits side by side
need more: see `_ALONG_BOTTOM`)."""
_ALONG_BOTTOM: Final = 2.4
_TICK: Final = 1.2
_OUT: Final = 2.6


def mark_labels(
    marks: Sequence[Mark],
    to_front: Callable[[Mark], Place],
    middle_x: float,
    height: float,
    to_void: Callable[[Mark], Place] = lambda _: Place(0.0, 0.0),
) -> Drawing:
    """A tick at each mark and its number outside the outline, with a leader.

    Parameters
    ----------
    marks
        In any order; their `order` is the number printed.
    to_front
        Where a mark lies on the front view.
    middle_x
        Marks on a side are labelled to the left or to the right of this.
    height
        Text height.
    to_void
        For a mark of a notch, a place in what the panel is cut round: its number stands there.
    """
    drawn: list[Primitive] = []
    taken: list[Place] = []
    level: dict[float, list[Mark]] = {-1.0: [], 1.0: []}
    upright: dict[str, list[Mark]] = {}
    for mark in marks:
        if mark.edge == "notch":
            drawn += _at_a_notch(mark, to_front(mark), to_void(mark), taken, height)
        elif mark.edge == "top":
            at = to_front(mark)
            away = Place(at.x + (1.0 if at.x > middle_x else -1.0), at.y + 1.0)
            drawn += _at_a_notch(mark, at, away, taken, height)
        elif mark.edge in ("bottom", "leg"):
            upright.setdefault(mark.edge, []).append(mark)
        else:
            level[1.0 if to_front(mark).x > middle_x else -1.0].append(mark)
    for side, group in level.items():
        drawn += _down_a_side(group, to_front, side, height)
    for edge, group in upright.items():
        keep_off = [to_front(mark).x for mark in upright.get("leg", ()) if edge == "bottom"]
        wanted = _beside_the_leg([to_front(mark).x for mark in group], keep_off, middle_x, height)
        drawn += _along_an_edge(group, to_front, wanted, height)
    return tuple(drawn)


def _at_a_notch(
    mark: Mark, at: Place, void: Place, taken: list[Place], height: float
) -> list[Primitive]:
    """A short tick into what is cut away, and the number beyond it, clear of those `taken`."""
    right, up = (1.0 if void.x > at.x else -1.0), (1.0 if void.y > at.y else -1.0)
    knee = Place(at.x + right * height, at.y + up * height)
    across: Across = "left" if right > 0 else "right"
    half = right * (0.2 + 0.5 * len(str(mark.order))) * height
    middle = Place(knee.x + half, knee.y + up * 0.7 * height)
    while any(
        abs(middle.x - other.x) < 2.4 * height and abs(middle.y - other.y) < _APART * height
        for other in taken
    ):
        if abs(void.x - at.x) > abs(void.y - at.y):
            middle = Place(middle.x + right * 2.4 * height, middle.y)
        else:
            middle = Place(middle.x, middle.y + up * _APART * height)
    taken.append(middle)
    end = Place(middle.x - half, middle.y - up * 0.7 * height)
    number = Place(middle.x - half + right * 0.2 * height, middle.y)
    return [
        Line(Layer.MARK, at, knee),
        *([Line(Layer.MARK, knee, end)] if end != knee else []),
        _number(mark, number, height, across),
    ]


def spread(wanted: Sequence[float], apart: float) -> list[float]:
    """Places as near to the wanted ones as blocks allow, at least `apart`, in the same order.

    Wanted places must be sorted upwards. Neighbours that are too close form a block that is
    centred on the mean of what its members wanted (pool adjacent violators).
    """
    blocks: list[tuple[float, int]] = []
    for index, place in enumerate(wanted):
        total, count = place - index * apart, 1
        while blocks and total / count < blocks[-1][0] / blocks[-1][1]:
            before, members = blocks.pop()
            total, count = total + before, count + members
        blocks.append((total, count))
    means = [total / count for total, count in blocks for _ in range(count)]
    return [mean + index * apart for index, mean in enumerate(means)]


def _down_a_side(
    marks: list[Mark], to_front: Callable[[Mark], Place], side: float, height: float
) -> list[Primitive]:
    placed = sorted(marks, key=lambda mark: (to_front(mark).y, -mark.order))
    if not placed:
        return []
    edge = max(side * to_front(mark).x for mark in placed)
    column = side * (edge + _OUT * height)
    drawn: list[Primitive] = []
    for mark, y in zip(
        placed, spread([to_front(mark).y for mark in placed], _APART * height), strict=True
    ):
        at = to_front(mark)
        knee = Place(at.x + side * _TICK * height, at.y)
        drawn.append(Line(Layer.MARK, Place(at.x - side * 0.6 * height, at.y), knee))
        drawn.append(Line(Layer.MARK, knee, Place(column - side * 0.3 * height, y)))
        across: Across = "left" if side > 0 else "right"
        drawn.append(_number(mark, Place(column, y), height, across))
    return drawn


def _along_an_edge(
    marks: list[Mark],
    to_front: Callable[[Mark], Place],
    wanted: list[float],
    height: float,
) -> list[Primitive]:
    placed = sorted(marks, key=lambda mark: to_front(mark).x)
    row = min(to_front(mark).y for mark in placed) - _OUT * height
    drawn: list[Primitive] = []
    for mark, x in zip(placed, spread(sorted(wanted), _ALONG_BOTTOM * height), strict=True):
        at = to_front(mark)
        knee = Place(at.x, at.y - _TICK * height)
        drawn.append(Line(Layer.MARK, Place(at.x, at.y + 0.6 * height), knee))
        drawn.append(Line(Layer.MARK, knee, Place(x, row + 0.3 * height)))
        drawn.append(_number(mark, Place(x, row), height, "middle", "top"))
    return drawn


def _beside_the_leg(
    wanted: list[float], leg: list[float], middle_x: float, height: float
) -> list[float]:
    """Numbers of the bottom edge moved clear of the leg that hangs below it."""
    if not leg:
        return wanted
    if sum(leg) / len(leg) < middle_x:
        return [max(x, max(leg) + 1.4 * height) for x in wanted]
    return [min(x, min(leg) - 1.4 * height) for x in wanted]


def _number(
    mark: Mark,
    at: Place,
    height: float,
    across: Across,
    upright: Upright = "middle",
) -> Text:
    return Text(Layer.MARK, at, str(mark.order), height, across, upright, bold=True)
