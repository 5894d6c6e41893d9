"""An alcove written out by hand, as a plan: the invented room used by the document tests.

Inches, worked with exact fractions on paper: 1/4 in build-up, 1/8 in joints, 3/8 in old tile,
plumbing wall on the left, a leg beside the tub on both end walls.
"""

from __future__ import annotations

import math
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from service.panels.model import (
    Backer,
    Box,
    Caution,
    Cutout,
    CutTile,
    Edge,
    Hand,
    Mark,
    OrderLine,
    Panel,
    PanelPattern,
    Plan,
    Point,
    Price,
    PriceLine,
    Return,
    SheetChoice,
    Size,
    TakeoffLine,
    Trim,
    WallName,
    Width,
)

INCH = 25.4


def size(inches: float) -> Size:
    """A size with its text to the nearest 1/16 in, written here independently of the product."""
    sixteenths = round(abs(inches) * 16)
    whole, part = divmod(sixteenths, 16)
    text = str(whole) if whole or not part else ""
    if part:
        text = f"{text} {Fraction(part, 16)}".strip()
    return Size(inches * INCH, ("-" if inches < 0 and sixteenths else "") + text)


def point(x: float, y: float) -> Point:
    return Point(x * INCH, y * INCH)


Station = tuple[Edge, float, float]
LEFT = [(0, 29.5703), (1, 29.5625), (17, 29.4375), (41, 29.25), (65, 29.0625), (66.875, 29.0479)]
RIGHT = [(0, 28.875), (1, 28.875), (17, 28.875), (41, 28.9375), (65, 29.125), (67.1875, 29.1421)]
BOTTOM = [(-29.0479, 66.875), (-14, 66.9375), (0, 67.0625), (14, 67.125), (29.1421, 67.1875)]
PLUMBING_INNER = [(0, 30.8125), (1, 30.8125), (17, 30.8125), (41, 30.9375), (65, 31.125)]
FAR_INNER = [(0, 30.8125), (1, 30.8125), (17, 30.8125), (41, 30.875), (65, 31.0625)]


def back_panel(*, released: bool = True) -> Panel:
    outline = [point(-x, y) for y, x in LEFT[:1]] + [point(x, y) for y, x in RIGHT]
    outline += [point(x, y) for x, y in BOTTOM[3:0:-1]] + [point(-x, y) for y, x in LEFT[:0:-1]]
    stations: list[Station] = [("left", y, x) for y, x in LEFT]
    stations += [("right", y, x) for y, x in RIGHT]
    stations += [("bottom", x, y) for x, y in BOTTOM[1:4]]
    marks = tuple(
        _mark(number, edge, station, value, _back_place(edge, station, value))
        for number, (edge, station, value) in enumerate(stations, 1)
    )
    return Panel(
        wall="back",
        hand="none",
        released=released,
        why_not=() if released else ("width low: not taped", "height left: conflicts"),
        outline_mm=tuple(outline),
        plumb_x_mm=0.0,
        level_y_mm=INCH,
        marks=marks,
        widths=(Width(size(1), size(58.4375)), Width(size(65), size(58.1875))),
        cutouts=(),
        returns=(Return("top", size(0.625), "3/8 pack-out + 1/8 sheet + 1/8 bed"),),
        box=Box(size(58.712), size(67.1875)),
        area_mm2=27.12 * 144 * INCH**2,
        sheet=_sheet("60 x 96", 60, "none", ("top",)),
        pattern=_pattern((-17.875 - 0.125, -6.0 - 0.125, 6.0, 18.0), 0.0),
    )


def end_panel(wall: WallName, hand: Hand, *, released: bool = True) -> Panel:
    inner = PLUMBING_INNER if wall == "plumbing" else FAR_INNER
    corner, front, foot = (31.1396, 67, 81.9375) if wall == "plumbing" else (31.0796, 67.3125, 82)
    corner_y = 66.875 if wall == "plumbing" else 67.1875
    outline = [point(0, 0), *(point(x, y) for y, x in inner), point(corner, corner_y)]
    outline += [point(21.25, corner_y + 0.0625), point(2.25, front), point(2.25, foot)]
    outline += [point(0, foot)]
    stations: list[Station] = [("inner", y, x) for y, x in inner]
    stations += [("bottom", corner, corner_y), ("bottom", 21.25, corner_y + 0.0625)]
    stations += [("bottom", 2.25, front), ("leg", 2.25, foot), ("leg", 0, foot)]
    marks = tuple(
        _mark(number, edge, station, value, _end_place(edge, station, value))
        for number, (edge, station, value) in enumerate(stations, 1)
    )
    return Panel(
        wall=wall,
        hand=hand,
        released=released,
        why_not=() if released else ("far end height: not taped",),
        outline_mm=tuple(outline),
        plumb_x_mm=21.25 * INCH,
        level_y_mm=INCH,
        marks=marks,
        widths=(Width(size(1), size(30.8125)), Width(size(65), size(inner[-1][1]))),
        cutouts=_cutouts() if wall == "plumbing" else (),
        returns=(
            Return("top", size(0.625), "3/8 pack-out + 1/8 sheet + 1/8 bed"),
            Return("outer", size(0.625), "3/8 tile + 1/8 sheet + 1/8 bed"),
        ),
        box=Box(size(corner), size(foot)),
        area_mm2=14.61 * 144 * INCH**2,
        sheet=_sheet("36 x 96", 36, hand, ("top", hand)),
        pattern=_pattern((12, 24.125), 0.0),
        notes=("Outer edge covers tile edge and paint scar.",),
    )


def alcove_plan(*, released: tuple[bool, bool, bool] = (True, True, True)) -> Plan:
    """The whole alcove; `released` for the back, plumbing and far end panel."""
    panels = (
        back_panel(released=released[0]),
        end_panel("plumbing", "left", released=released[1]),
        end_panel("far end", "right", released=released[2]),
    )
    every = all(released)
    return Plan(
        job="Example alcove",
        scope="over tile",
        practice="shop practice 1",
        released=every,
        panels=panels,
        backers=(Backer("left", size(66.625)), Backer("right", size(66.9375))),
        trims=(Trim("plumbing", "outer", "finished return", size(81.9375), "top to floor"),),
        takeoff=(
            TakeoffLine("bonding tape", 117.1, 128.8, "ft", 3, "50 ft roll", "lines 9 in apart"),
            TakeoffLine("adhesive", 146.8, 168.8, "ft", 6, "tube", "zigzag at 45 degrees"),
        ),
        order=tuple(_order(panel) for panel in panels),
        price=_price(figure=every),
        warnings=(
            Caution("stiff-joint", "Free growth of the sheet asks for more than 1/8 in.", "back"),
        ),
    )


def renamed(plan: Plan, job: str) -> Plan:
    """The same plan under another name."""
    return replace(plan, job=job)


def _mark(number: int, edge: Edge, station: float, value: float, at: Point) -> Mark:
    return Mark(number, edge, size(station), size(value), at, f"{edge} edge")


def _back_place(edge: Edge, station: float, value: float) -> Point:
    if edge == "bottom":
        return point(station, value)
    return point(-value if edge == "left" else value, station)


def _end_place(edge: Edge, station: float, value: float) -> Point:
    return point(value, station) if edge == "inner" else point(station, value)


def _cutouts() -> tuple[Cutout, ...]:
    holes = [("arm", 17.3125, 4, 1.125), ("valve", 17.1875, 52.0625, 3.75)]
    holes += [("spout", 17.25, 62.75, 1.125)]
    return tuple(
        Cutout(
            name=name,
            at_mm=point(x, y),
            diameter_mm=diameter * INCH,
            diameter=size(diameter),
            saw=f"{size(diameter).text} in hole saw",
            from_side=size(x),
            from_top=size(y),
            max_diameter=size(diameter + 0.625),
        )
        for name, x, y, diameter in holes
    )


def _sheet(name: str, width: float, hand: Hand, finished: tuple[str, ...]) -> SheetChoice:
    return SheetChoice(
        name=name,
        width=size(width),
        height=size(96),
        finished=finished,
        hand=hand,
        spare_width=size(1.25),
        spare_height=size(13.75),
        drop=size(13.625),
        chance=1.0,
        price=Decimal("240.00"),
    )


def _pattern(columns: tuple[float, ...], offset: float) -> PanelPattern:
    courses = tuple(size(12 + 12.125 * k) for k in range(5))
    return PanelPattern(
        tile=(size(12), size(12)),
        joint_mm=0.125 * INCH,
        course_joints=courses,
        column_joints=tuple(size(x) for x in columns),
        offset=size(offset),
        cuts=(CutTile("left", size(0), size(11.1875)),),
        bottom_courses=(CutTile("left", size(60.5), size(6.25)),),
    )


def _order(panel: Panel) -> OrderLine:
    assert panel.sheet is not None
    sheet = panel.sheet
    return OrderLine(
        sheet.name,
        sheet.width,
        sheet.height,
        sheet.finished,
        sheet.hand,
        1,
        (panel.title,),
        panel.released,
        sheet.price,
    )


def _price(*, figure: bool) -> Price:
    lines = (
        PriceLine("sheet 60 x 96", 1, Decimal(240), Decimal(240), Decimal(240), "back wall"),
        PriceLine("sheet 36 x 96", 2, Decimal(180), Decimal(360), Decimal(360), "end walls"),
        PriceLine("labour", 1, Decimal(900), Decimal(900), Decimal(1200), "crew-hours"),
    )
    low, high = Decimal("1500.00"), Decimal("1800.00")
    return Price("USD", lines, low, high, high if figure else None, ("hauling",), "book 1")


assert math.isclose(size(0.5).mm, 12.7)
