"""The stated chance that a sheet suffices, against errors thrown at the walls themselves."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import replace

import pytest

from service.panels.box_chance import BoxTerms
from service.panels.chance import Term, chance_within
from service.panels.corners import corner_height
from service.panels.model import WallName
from service.panels.plan import plan_panels
from service.panels.planned_wall import PlannedWall, planned_walls
from service.panels.walls import Alcove, Given, Pattern, Station, StockSheet, Top, WallShape
from tests.panels.worked_alcove import shipped_practice, worked_alcove, worked_practice

pytestmark = pytest.mark.statistical
INCH = 25.4
THROWS = 4000
FEWER = 2000


def thrown(alcove: Alcove, wall: str, rng: random.Random) -> tuple[float, float]:
    """Width and height of a panel's box after an error in every reading, mm.

    What readings have in common is drawn once for all of them.
    """
    shape = alcove.wall(wall)  # type: ignore[arg-type]
    assert shape is not None

    def off(stations: tuple[Station, ...]) -> tuple[Station, ...]:
        return tuple(replace(s, value=moved(s.value)) for s in stations)

    common: dict[str, float] = {}

    def moved(size: Given) -> Given:
        own = math.sqrt(size.u_mm**2 - sum(part**2 for _, part in size.shared))
        off = own * rng.gauss(0, 1)
        for cause, part in size.shared:
            off += part * common.setdefault(cause, rng.gauss(0, 1))
        return replace(size, mm=size.mm + off)

    front = shape.tub_front
    changed = replace(
        shape,
        left=off(shape.left),
        right=off(shape.right),
        line_to_deck=off(shape.line_to_deck),
        tub_front=front and replace(front, line_to_floor=moved(front.line_to_floor)),
    )
    walls = tuple(changed if s.wall == wall else s for s in alcove.walls)
    made = planned_walls(replace(alcove, walls=walls), 25.4, worked_practice())
    left, top, right, bottom = next(w for w in made if w.shape.wall == wall).outline.box
    return right - left, bottom - top


def uncertain(alcove: Alcove, u_mm: float) -> Alcove:
    """The alcove with every reading this uncertain, as by photo alone."""
    return each_size(alcove, lambda size: replace(size, u_mm=u_mm))


def sharing(alcove: Alcove, share: float) -> Alcove:
    """The alcove with this share of every uncertainty the same error, such as a card's scale."""
    return each_size(alcove, lambda size: replace(size, shared=(("scale", share * size.u_mm),)))


def each_size(alcove: Alcove, changed: Callable[[Given], Given]) -> Alcove:
    """The alcove with what its sides and decks are known by changed."""

    def stations(found: tuple[Station, ...]) -> tuple[Station, ...]:
        return tuple(replace(s, value=changed(s.value)) for s in found)

    walls = tuple(
        replace(
            w, left=stations(w.left), right=stations(w.right), line_to_deck=stations(w.line_to_deck)
        )
        for w in alcove.walls
    )
    return replace(alcove, walls=walls)


@pytest.mark.parametrize(("share", "matters"), [(0.6, 0.04), (0.95, 0.08)])
def test_errors_in_common_are_in_the_stated_chances(share: float, matters: float) -> None:
    """With most of each error the same in all sizes, chances still are the shares of throws.

    Width and both together, within four standard errors of 2,000 throws; left out, the chance of
    the width would be off by that or twice that.
    """
    from tests.panels.worked_alcove import inch

    plain = sharing(uncertain(worked_alcove(), 2.0), 0.0)
    alcove = sharing(plain, share)
    back = next(w for w in planned_walls(alcove, 25.4, worked_practice()) if w.hand == "none")
    sheet = StockSheet("58 5/8", inch("58 5/8") * INCH, inch("67 1/4") * INCH, ("top",))
    rng = random.Random(311)
    boxes = [thrown(alcove, "back", rng) for _ in range(FEWER)]
    wide = sum(w <= sheet.width_mm for w, _ in boxes) / FEWER
    both = sum(w <= sheet.width_mm and h <= sheet.height_mm for w, h in boxes) / FEWER
    assert back.terms.chance_wide(sheet.width_mm) == pytest.approx(wide, abs=0.04)
    assert back.terms.chance_fits(sheet) == pytest.approx(both, abs=0.04)
    alone = next(w for w in planned_walls(plain, 25.4, worked_practice()) if w.hand == "none")
    off = alone.terms.chance_wide(sheet.width_mm) - back.terms.chance_wide(sheet.width_mm)
    assert abs(off) > matters


def test_what_is_common_adds_up_over_two_sides() -> None:
    """Two sides of u = 1: wholly common their sum has u = 2, else root 2; the limit is 2 over."""
    apart = [(Term(100.0, ((0, 1.0),)),), (Term(100.0, ((1, 1.0),)),)]
    common = [(Term(100.0, (("scale", 1.0),)),), (Term(100.0, (("scale", 1.0),)),)]
    assert chance_within(apart, 202.0) == pytest.approx(0.9214, abs=1e-4)  # Phi(1.41421)
    assert chance_within(common, 202.0) == pytest.approx(0.8413, abs=1e-4)  # Phi(1)


def test_a_tapes_own_error_is_in_common() -> None:
    """Class II of OIML R 35-1: 0.3 mm and 0.2 mm per m as limits, so 0.17 mm and 115e-6 as u."""
    size = worked_alcove().walls[0].left[1].value
    shared = dict(size.shared)
    assert shared["tape hook"] == pytest.approx(0.3 / math.sqrt(3), abs=0.005)
    assert shared["tape scale"] == pytest.approx(0.2e-3 / math.sqrt(3) * size.mm, rel=0.01)


@pytest.mark.parametrize(
    ("wall", "wide", "high"),
    [("back", "58 13/16", "67 1/4"), ("back", "59", "67 3/8"), ("far end", "31 1/8", "82")],
)
def test_stated_chance_is_the_share_of_throws(wall: str, wide: str, high: str) -> None:
    """At 2 mm a reading, chances of width and height are within 2.5 points of 4,000 throws.

    Four standard errors of a share of one half are 3.2 points; the panel is planned anew each time.
    """
    from tests.panels.worked_alcove import inch

    alcove = uncertain(worked_alcove(), 2.0)
    made = planned_walls(alcove, 25.4, worked_practice())
    terms = next(w for w in made if w.shape.wall == wall).terms
    rng = random.Random(8471)
    boxes = [thrown(alcove, wall, rng) for _ in range(THROWS)]
    for limit, place, stated in (
        (inch(wide) * INCH, 0, terms.chance_wide(inch(wide) * INCH)),
        (inch(high) * INCH, 1, terms.chance_high(inch(high) * INCH)),
    ):
        share = sum(box[place] <= limit for box in boxes) / THROWS
        assert stated == pytest.approx(share, abs=0.025)
    assert 0.02 < terms.chance_wide(inch(wide) * INCH) < 0.999


def test_the_greatest_of_many_is_more_than_any() -> None:
    """Of two independent terms at the limit, both are within it one time in four."""
    side = (Term(100.0, ((0, 1.0),)), Term(100.0, ((1, 1.0),)))
    assert chance_within([side], 100.0) == pytest.approx(0.25, abs=0.005)


def test_two_terms_of_one_reading_count_once() -> None:
    """The same reading twice is one term: one time in two."""
    side = (Term(100.0, ((0, 1.0),)), Term(100.0, ((0, 1.0),)))
    assert chance_within([side], 100.0) == pytest.approx(0.5, abs=0.005)


def test_the_same_chance_in_every_run() -> None:
    """Nothing random is in it."""
    side = (Term(100.0, ((0, 1.0),)), Term(99.5, ((1, 2.0),)))
    assert chance_within([side], 100.5) == chance_within([side], 100.5)


def test_a_doubtful_sheet_lists_the_chance_of_every_other() -> None:
    """A plumb wall of 58 less 1/4 on a sheet of 57 3/4: one in two; on 60, sure."""

    def plain(mm: float) -> Given:
        return Given("reading", mm, 2.0, "plain")

    def side(mm: float) -> tuple[Station, ...]:
        return (Station(760.0, plain(mm)),)

    wall = WallShape("back", (Station(0.0, plain(1524.0)),), side(30 * INCH), side(28 * INCH))
    stock = (
        StockSheet("57 3/4", 57.75 * INCH, 2438.4, ("top",)),
        StockSheet("60", 60 * INCH, 2438.4, ("top",)),
    )
    alcove = Alcove("one wall", "over tile", (wall,), Top(0.75 * INCH), stock=stock)
    planned = planned_walls(alcove, 0.75 * INCH, shipped_practice())[0]
    terms = BoxTerms(planned.shape, planned.outline)
    assert [terms.chance_fits(s) for s in stock] == pytest.approx([0.5, 1.0], abs=1e-6)


def test_corner_mismatch_is_within_its_interval() -> None:
    """Of 4,000 throws of readings and level line, 95 % differ from the truth by less than u95.

    Readings are normal, the line's closure is even between its limits; 1.4 points are four standard
    errors of such a share.
    """
    pattern = replace(worked_alcove().pattern or Pattern((304.8, 304.8), 3.175), course="stacked")
    alcove = replace(uncertain(worked_alcove(), 2.0), pattern=pattern)
    shop = worked_practice()
    stated = {c.side: c.u95.mm for c in plan_panels(alcove, shop).corners}
    half = shop["top.line_closure"]
    rng = random.Random(977)
    back, end = alcove.wall("back"), alcove.wall("far end")
    assert back is not None
    assert end is not None
    planned = {w.shape.wall: w for w in planned_walls(alcove, 25.4, shop)}
    nominal = _mismatch(back, end, planned)
    within = 0
    for _ in range(THROWS):
        moved_back, moved_end = (_thrown_deck(shape, rng) for shape in (back, end))
        line = rng.uniform(-half, half)
        off = _mismatch(moved_back, moved_end, planned) + line - nominal
        within += abs(off) <= stated["right"]
    assert within / THROWS == pytest.approx(0.95, abs=0.014)


def _thrown_deck(shape: WallShape, rng: random.Random) -> WallShape:
    return replace(
        shape,
        line_to_deck=tuple(
            replace(s, value=replace(s.value, mm=rng.gauss(s.value.mm, s.value.u_mm)))
            for s in shape.line_to_deck
        ),
    )


def _mismatch(back: WallShape, end: WallShape, planned: dict[WallName, PlannedWall]) -> float:
    seen_back, _ = corner_height(back, "right", planned["back"].neighbours["right"])
    seen_end, _ = corner_height(end, "left", planned["far end"].neighbours["left"])
    return seen_back - seen_end
