"""An invented alcove as it was taped, typed from its sheet; the closures were worked by hand.

Inches. Plumbing wall on the left. A ``*`` reading is to bare plaster. One slip is planted: the
back wall's right offset at 40 was written 28 1/16 for 29 1/16.
"""

from __future__ import annotations

from service.lengths import parse_length
from service.measuring.alcove.vocabulary import Role, Side, Size, Surface, WallSizes
from service.measuring.instruments import Instrument, InstrumentKind, Method
from service.measuring.reading import Reading

SLIP = "back right 40"
L, R, I, O = Side.LEFT, Side.RIGHT, Side.INNER, Side.OUTER  # noqa: E741
_TAPE = Instrument(id="t1")
_ROD = Instrument(InstrumentKind.ROD, id="r1", method=Method.ROD)
_RODDED = {Role.WIDTH, Role.DIAGONAL, Role.OPENING, Role.CORNER_DIAGONAL, Role.DEPTH}

BACK = {
    (L, 0): "30 1/16*",
    (L, 16): "29 9/16",
    (L, 40): "29 3/8",
    (L, 64): "29 3/16",
    (R, 0): "29 3/8*",
    (R, 16): "29",
    (R, 40): "28 1/16",
    (R, 64): "29 1/4",
}
WIDTHS = {0: "59 7/16*", 16: "58 1/2", 40: "58 7/16", 64: "58 7/16"}
DECK = {"left": "66", "-14": "66 1/16", "0": "66 3/16", "14": "66 1/4", "right": "66 5/16"}


def mm(text: str) -> float:
    return float(parse_length(text.rstrip("*"), "in").mm)


class Sheet:
    """Sizes and readings as they are written down."""

    def __init__(self) -> None:
        self.sizes: dict[str, list[Size]] = {"back": [], "plumbing": [], "far end": []}
        self.readings: list[Reading] = []

    def put(self, wall: str, name: str, role: Role, text: str, **fields: object) -> None:
        """One size and its reading; a star is bare plaster."""
        if role in (Role.OFFSET, Role.WIDTH, Role.FIXTURE_FROM_CORNER):
            fields["surface"] = Surface.BARE if text.endswith("*") else Surface.TILE
        size = Size(f"{wall} {name}", wall, role, **fields)  # type: ignore[arg-type]
        self.sizes[wall].append(size)
        instrument = _ROD if role in _RODDED else _TAPE
        value = text.rstrip("*")
        reading = Reading(size.name, size.name, mm(value), "in", value, instrument, "A")
        self.readings.append(reading)

    def walls(self) -> tuple[WallSizes, ...]:
        corners = {"back": None, "plumbing": R, "far end": L}
        return tuple(WallSizes(w, tuple(s), corners[w]) for w, s in self.sizes.items())


def worked_alcove(slip: str = "28 1/16") -> tuple[tuple[WallSizes, ...], list[Reading]]:
    """The alcove, with what was written for the right offset at 40."""
    sheet = Sheet()
    _back(sheet, slip)
    _end(
        sheet,
        "plumbing",
        ("10 5/16*", "9 15/16", "10 1/16", "10 1/4"),
        ("20 9/16", "20 5/8", "20 5/8"),
        ("30 1/2", "30 11/16", "30 7/8"),
        ("66", "66 1/16", "66 1/8"),
        ("18 7/8", "81 1/16", "14 15/16"),
        ("57 13/16", "58 3/4"),
    )
    _pipes(sheet)
    _end(
        sheet,
        "far end",
        ("10 1/4*", "9 7/8", "9 15/16", "10 1/8"),
        ("20 3/8", "20 3/8", "20 7/16"),
        ("30 1/4", "30 5/16", "30 9/16"),
        ("66 5/16", "66 3/8", "66 7/16"),
        ("18 15/16", "81 1/8", "14 11/16"),
        ("58 1/16", "58 7/8"),
    )
    return sheet.walls(), sheet.readings


def _back(sheet: Sheet, slip: str) -> None:
    for (side, down), text in BACK.items():
        value = slip if (side, down) == (R, 40) else text
        sheet.put("back", f"{side} {down}", Role.OFFSET, value, side=side, down_mm=mm(str(down)))
    for down, text in WIDTHS.items():
        sheet.put("back", f"width {down}", Role.WIDTH, text, down_mm=mm(str(down)))
    for place, text in DECK.items():
        where: dict[str, object] = {"side": Side(place)} if place in ("left", "right") else {}
        if not where:
            where = {"at_mm": -mm(place[1:]) if place.startswith("-") else mm(place)}
        sheet.put("back", f"deck {place}", Role.HEIGHT, text, **where)
    for side, text in ((L, "77 7/16"), (R, "76 11/16")):
        sheet.put("back", f"diagonal {side}", Role.DIAGONAL, text, side=side, down_mm=mm("16"))
    for side, text in ((L, "34 1/8"), (R, "33 13/16")):
        sheet.put("back", f"square {side}", Role.CORNER_DIAGONAL, text, side=side)
    sheet.put("back", "opening", Role.OPENING, "58 1/2")
    sheet.put("back", "depth", Role.DEPTH, "29")
    sheet.put("back", "tile top", Role.TILE_TOP, "15", side=L)
    sheet.put("back", "courses", Role.COURSES, "47 7/16", side=L)
    sheet.put("back", "cut row", Role.CUT_ROW, "3 7/16", side=L)


def _end(
    sheet: Sheet,
    wall: str,
    inner: tuple[str, ...],
    outer: tuple[str, ...],
    widths: tuple[str, ...],
    deck: tuple[str, ...],
    front: tuple[str, str, str],
    diagonals: tuple[str, str],
) -> None:
    for down, text in zip((0, 16, 40, 64), inner, strict=True):
        sheet.put(wall, f"inner {down}", Role.OFFSET, text, side=I, down_mm=mm(str(down)))
    for down, text, width in zip((16, 40, 64), outer, widths, strict=True):
        sheet.put(wall, f"outer {down}", Role.OFFSET, text, side=O, down_mm=mm(str(down)))
        sheet.put(wall, f"width {down}", Role.WIDTH, width, down_mm=mm(str(down)))
    sheet.put(wall, "deck inner", Role.HEIGHT, deck[0], side=I)
    sheet.put(wall, "deck plumb", Role.HEIGHT, deck[1], at_mm=0.0)
    sheet.put(wall, "deck front", Role.HEIGHT, deck[2], side=Side.FRONT)
    sheet.put(wall, "tub front", Role.TUB_FRONT, front[0])
    sheet.put(wall, "line to floor", Role.LINE_TO_FLOOR, front[1])
    sheet.put(wall, "deck to floor", Role.DECK_TO_FLOOR, front[2])
    for side, text in zip((I, O), diagonals, strict=True):
        sheet.put(wall, f"diagonal {side}", Role.DIAGONAL, text, side=side, down_mm=mm("16"))


def _pipes(sheet: Sheet) -> None:
    pipes = {
        "arm": ("3 15/16", "14 1/4*", "3", "63 1/16"),
        "valve": ("4 1/16", "14 3/16", "51 1/16", "15"),
        "spout": ("4", "14 1/4", "61 3/4", "4 5/16"),
    }
    roles = (
        ("from plumb", Role.FIXTURE_FROM_PLUMB),
        ("from corner", Role.FIXTURE_FROM_CORNER),
        ("down", Role.FIXTURE_DOWN),
        ("above deck", Role.FIXTURE_ABOVE_DECK),
    )
    for pipe, texts in pipes.items():
        for (words, role), text in zip(roles, texts, strict=True):
            sheet.put("plumbing", f"{pipe} {words}", role, text, fixture=pipe)
