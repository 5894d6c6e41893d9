"""Take-off of the alcove worked by hand: every quantity, in inches and feet."""

from __future__ import annotations

import math

import pytest

from service.panels.outline import back_outline, end_outline
from service.panels.takeoff import BondLines, Extents, bond_lines, extents
from service.panels.under_panels import pack_strips
from service.panels.walls import Region, WallShape
from tests.panels.worked_alcove import inch, material, worked_alcove, worked_practice

RISE = 25.4


def surfaces() -> tuple[Region, ...]:
    """The regions that all three walls share."""
    return shape("back").surfaces


def shape(wall: str) -> WallShape:
    """One wall as measured."""
    return next(found for found in worked_alcove().walls if found.wall == wall)


def size(wall: str) -> Extents:
    """The lengths that one panel's materials are counted on."""
    shop = worked_practice()
    if wall == "back":
        sides = {"left": surfaces(), "right": surfaces()}
        return extents(back_outline(shape(wall), sides, RISE, shop), True, shop)  # type: ignore[arg-type]
    return extents(end_outline(shape(wall), surfaces(), RISE, shop), False, shop)


def lines(wall: str) -> BondLines:
    """The bond lines of one panel."""
    return bond_lines(size(wall), worked_practice())


@pytest.mark.parametrize(
    ("wall", "bays", "total"),
    [
        ("back", 7, "624 3/8"),  # 55 7/16 / 9; 8 x 64 3/16 + 2 x 55 7/16
        ("plumbing", 4, "389 11/16"),  # 28 1/8 / 9; 5 x 64 + 2 x 28 1/8 + leg 13 7/16
        ("far end", 4, "390 7/8"),  # 28 1/16 / 9; 5 x 64 5/16 + 2 x 28 1/16 + leg 13 3/16
    ],
)
def test_bond_lines(wall: str, bays: int, total: str) -> None:
    """Lines stand 1 1/2 off the edges and at most 9 apart."""
    found = lines(wall)
    assert found.bays == bays
    assert found.total_mm / 25.4 == pytest.approx(inch(total), abs=0.001)


def test_tape() -> None:
    """1404 15/16 in are 117.1 ft, with 10 % 128.8 ft: three rolls of 50 ft."""
    tape = material("panel tape")
    assert tape.net * 12 == pytest.approx(inch("1404 15/16"), abs=0.001)
    assert tape.gross == pytest.approx(128.8, abs=0.05)
    assert tape.packages == 3


def test_primer() -> None:
    """19.5 sq ft of 2 in stripe with 10 % at 200 sq ft a gallon are .107 gal: one pint."""
    primer = material("primer")
    assert primer.gross == pytest.approx(0.107, abs=0.0005)
    assert (primer.packages, primer.package) == (1, "can of 0.125 gal")


def test_zigzag_length() -> None:
    """The zigzag at 45 degrees is sqrt 2 x (7 x 64 3/16 + 4 x 64 + 4 x 64 5/16) = 113.4 ft."""
    bays = sum(lines(wall).bays * lines(wall).line_mm for wall in ("back", "plumbing", "far end"))
    assert bays / 25.4 == pytest.approx(inch("962 9/16"), abs=0.001)
    assert math.sqrt(2) * bays / 304.8 == pytest.approx(113.4, abs=0.05)


def test_adhesive() -> None:
    """113.4 ft and 3 x 133 9/16 in at 30.9 ft a tube, x 1.15, are 5.46: six tubes."""
    adhesive = material("adhesive")
    assert adhesive.gross == pytest.approx(5.46, abs=0.005)
    assert adhesive.packages == 6


@pytest.mark.parametrize(
    ("wall", "rim", "apron", "floor"),
    [
        ("back", "58 3/16", "0", "0"),
        ("plumbing", "28 3/4", "14 15/16", "2 1/4"),
        ("far end", "28 11/16", "14 11/16", "2 1/4"),
    ],
)
def test_joint_lengths(wall: str, rim: str, apron: str, floor: str) -> None:
    """Joints run along rim, apron and floor; apron 29 5/8 and floor 4 1/2 in all."""
    found = size(wall)
    assert [found.rim / 25.4, found.apron / 25.4, found.floor / 25.4] == pytest.approx(
        [inch(rim), inch(apron), inch(floor)], abs=0.001
    )


def test_corner_joints() -> None:
    """The inner corners are 66 7/8 + 67 3/16 = 134 1/16."""
    assert size("back").corners / 25.4 == pytest.approx(inch("134 1/16"), abs=0.001)


def test_finished_edges() -> None:
    """Tops and outer edges are 284 in: 120 1/16 + 163 15/16."""
    sizes = [size(wall) for wall in ("back", "plumbing", "far end")]
    assert sum(s.top + s.outer for s in sizes) / 25.4 == pytest.approx(284.0, abs=0.001)


def test_sealant() -> None:
    """Joints .49 and fillet .12 of a tube, x 1.15, are .70: one tube."""
    sealant = material("sealant")
    assert sealant.net == pytest.approx(23.65 / 48.6 + 23.67 / 194.4, abs=0.001)
    assert sealant.gross == pytest.approx(0.70, abs=0.005)
    assert sealant.packages == 1


def test_backers_from_two_lengths() -> None:
    """66 5/8 and 66 15/16 come from two 96 in lengths."""
    assert material("corner backer").packages == 2


@pytest.mark.parametrize(
    ("wall", "length"), [("back", "59 3/16"), ("plumbing", "30 3/8"), ("far end", "30 1/8")]
)
def test_packing_strips(wall: str, length: str) -> None:
    """Strips are 15 + 1 - 1/8 - 1/4 = 15 5/8 high, a joint clear of each corner."""
    around = {"left": surfaces(), "right": surfaces()}
    strips = pack_strips(shape(wall), around, RISE, worked_practice())  # type: ignore[arg-type]
    assert strips == [pytest.approx((inch("15 5/8") * 25.4, inch(length) * 25.4))]


def test_packing_boards() -> None:
    """119 11/16 in of 15 5/8 strip are 13.0 sq ft, from two boards of 36 x 60."""
    board = material("packing board")
    assert board.net == pytest.approx(13.0, abs=0.05)
    assert board.packages == 2
