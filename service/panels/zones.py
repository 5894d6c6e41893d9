"""Where standards keep things: bars and controls, receptacles, glass. Warnings, never a refusal.

Values differ by edition and state, so each is a setting with its clause; the local code governs.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.panels.model import Caution
from service.panels.sizes import mark

if TYPE_CHECKING:
    from service.panels.practice import Practice
    from service.panels.walls import Alcove, Fixture, Top, WallShape, Window


def zone_cautions(alcove: Alcove, shop: Practice) -> tuple[Caution, ...]:
    """Everything that stands where a standard does not want it."""
    found: list[Caution] = []
    for shape in alcove.walls:
        for fixture in shape.fixtures:
            found += _receptacle(shape, fixture, shop)
            if alcove.accessible:
                found += _accessible(alcove.top, shape, fixture, shop)
        found += [c for w in shape.windows for c in _glass(shape, w, shop)]
    return tuple(found)


def _receptacle(shape: WallShape, fixture: Fixture, shop: Practice) -> list[Caution]:
    if fixture.kind != "receptacle":
        return []
    rim = max(s.value.mm for s in shape.line_to_deck)
    up, across = rim - fixture.down.mm, _past_rim(shape, fixture)
    if up > shop["electric.up"] or across > shop["electric.across"]:
        return []
    text = (
        f"{fixture.name}: {mark(max(across, 0.0)).text} in from the rim and {mark(up).text} in "
        f"above it: no receptacle within {mark(shop['electric.across']).text} in across and "
        f"{mark(shop['electric.up']).text} in up, nor over or under that (NEC 406.9(C)); have it "
        "moved by a licensed electrician; local code governs"
    )
    return [Caution("receptacle-zone", text, shape.wall)]


def _past_rim(shape: WallShape, fixture: Fixture) -> float:
    """Level distance from the tub's front to the receptacle; 0 over the tub."""
    front = shape.tub_front
    if shape.wall == "back" or front is None:
        return 0.0
    return max(fixture.from_plumb.mm - front.at_deck.mm, 0.0)


def _accessible(top: Top, shape: WallShape, fixture: Fixture, shop: Practice) -> list[Caution]:
    line = top.line_above_floor_mm
    if line is None:
        return []
    height = line - fixture.down.mm
    if fixture.kind == "grab bar":
        return _bar(shape, fixture, height, shop)
    if fixture.kind == "pipe" and fixture.guard_mm is not None:
        return _controls(shape, fixture, height, shop)
    return []


def _controls(
    shape: WallShape, fixture: Fixture, height_mm: float, shop: Practice
) -> list[Caution]:
    """A valve by a tub: on an end wall, under the bar, on the open side of the tub's middle."""
    wrong = []
    most = shop["ada.controls_high"]
    if height_mm > most + 1e-6:
        above = f"{mark(height_mm).text} in above the floor, over {mark(most).text}"
        wrong.append(f"{above} (2010 ADA 608.5.2)")
    middle = _tub_middle(shape)
    if shape.wall == "back":
        wrong.append("on the back wall, expected on an end wall (2010 ADA 607.5)")
    elif middle is not None and fixture.from_plumb.mm < middle - 1e-6:
        short = mark(middle - fixture.from_plumb.mm).text
        wrong.append(f"{short} in on the wall's side of the tub's middle (2010 ADA 607.5)")
    return [Caution("ada-controls", f"{fixture.name}: {words}", shape.wall) for words in wrong]


def _tub_middle(shape: WallShape) -> float | None:
    """The tub's centre line from the plumb line outwards, mm; None without a tub front."""
    stations = shape.left if shape.corner == "left" else shape.right
    if shape.corner is None or shape.tub_front is None or not stations:
        return None
    lowest = max(stations, key=lambda station: station.at_mm)
    return (shape.tub_front.at_deck.mm - lowest.value.mm) / 2


def _bar(shape: WallShape, fixture: Fixture, height_mm: float, shop: Practice) -> list[Caution]:
    rim = max(s.value.mm for s in shape.line_to_deck) - fixture.down.mm
    upper = shop["ada.bar_low"] <= height_mm + 1e-6 and height_mm <= shop["ada.bar_high"] + 1e-6
    lower = shop["ada.rim_bar_low"] <= rim + 1e-6 and rim <= shop["ada.rim_bar_high"] + 1e-6
    found = []
    if not (upper or (shape.wall == "back" and lower)):
        text = (
            f"{fixture.name}: {mark(height_mm).text} in above the floor and {mark(rim).text} in "
            f"above the rim; expected {mark(shop['ada.bar_low']).text} to "
            f"{mark(shop['ada.bar_high']).text} above the floor (2010 ADA 609.4)"
        )
        if shape.wall == "back":
            text += (
                f", or {mark(shop['ada.rim_bar_low']).text} to "
                f"{mark(shop['ada.rim_bar_high']).text} above the rim (607.4.2.1)"
            )
        found.append(Caution("ada-bar", text, shape.wall))
    least = shop["ada.bar_length"]
    if shape.wall == "back" and fixture.length_mm is not None and fixture.length_mm < least - 1e-6:
        text = (
            f"{fixture.name}: {mark(fixture.length_mm).text} in long, under "
            f"{mark(least).text} (2010 ADA 607.4.2.1)"
        )
        found.append(Caution("ada-bar", text, shape.wall))
    return found


def _glass(shape: WallShape, window: Window, shop: Practice) -> list[Caution]:
    if window.kind == "niche":
        return []
    rim = max(s.value.mm for s in shape.line_to_deck)
    above = rim - window.sill.mm
    if above >= shop["glazing.standing"] - 1e-6:
        return []
    text = (
        f"{window.name}: its sill is {mark(above).text} in above the rim, under "
        f"{mark(shop['glazing.standing']).text} above where one stands: safety glazing is needed "
        "(IRC R308.4.5; local code governs)"
    )
    return [Caution("safety-glazing", text, shape.wall)]
