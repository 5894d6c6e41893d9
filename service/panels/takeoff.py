"""Take-off: what is needed to hang and seal the panels, on their real outlines.

Tape-and-bead schedule: upright bond lines no further apart than the spacing and one along the top
and the bottom, a zigzag bead at 45 degrees in each bay, backers bedded and beaded, joints last.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from service.panels.lengths_needed import lengths_needed
from service.panels.model import TakeoffLine
from service.panels.shapes import across_mm, down_mm, joint_round_mm, upright_mm
from service.panels.sizes import cut_mm, mark, marked_mm, needed

if TYPE_CHECKING:
    from service.panels.model import Backer, Trim
    from service.panels.outline import Outline
    from service.panels.practice import Practice
    from service.panels.walls import Bonding

_MM_PER_FOOT: Final = 304.8
_MM2_PER_SQ_FT: Final = 304.8**2
_CUBIC_INCHES_PER_FL_OZ: Final = 231 / 128
"""Exact: 231 cubic inches a US gallon, 128 fluid ounces a gallon."""
_MM3_PER_CUBIC_INCH: Final = 25.4**3


@dataclass(frozen=True)
class Extents:
    """The lengths of one panel that materials are counted on, as cut, mm.

    `height` is without the leg; `rim` the bottom joint to the tub; `leg`, `apron` and `floor` are
    0 without a leg; `outer` the finished outer edge, 0 on the back panel; `corners` the inner
    corner joints that this panel brings (the back panel brings both); `notch` the joint round what
    the panel is cut round. `uprights` are the upright bond lines of a panel that is cut, by their
    own lengths; empty where all are as high as the panel.
    """

    width: float
    height: float
    leg: float
    rim: float
    apron: float
    floor: float
    top: float
    outer: float
    corners: float
    notch: float = 0.0
    uprights: tuple[float, ...] = ()


@dataclass(frozen=True)
class Work:
    """What materials are counted on.

    `strips` are pieces of packing board (height, length), `reveal_mm` the way round all window
    openings, `cut_mm` how much is sawn, `saws` the hole saws that are needed; mm and mm2.
    """

    sizes: tuple[Extents, ...]
    trims: tuple[Trim, ...] = ()
    strips: tuple[tuple[float, float], ...] = ()
    reveal_mm: float = 0.0
    area_mm2: float = 0.0
    cut_mm: float = 0.0
    saws: tuple[str, ...] = ()
    bonding: Bonding = "tape and bead"


@dataclass(frozen=True)
class BondLines:
    """The bond lines of one panel: bays between upright lines, and the total length, mm."""

    bays: int
    line_mm: float
    total_mm: float
    zigzag_mm: float


def extents(outline: Outline, is_back: bool, shop: Practice) -> Extents:
    """Measure one outline for the take-off; widths as they are cut, heights as marked."""
    if outline.cut:
        return _cut_extents(outline, is_back, shop)
    bottoms = [p for edge, p in outline.edge_points if edge == "bottom"]
    knots = sorted({0.0, *(p.y for _, p in outline.edge_points if p.y < bottoms[-1].y + 1e-6)})
    width = max(outline.width_at(y) for y in knots)
    leg = outline.leg
    first, last = bottoms[0], bottoms[-1]
    start = first.x if leg is None else leg.tub_front_mm
    height = marked_mm(max(p.y for p in bottoms))
    outer = leg.bottom_mm if leg else first.y
    return Extents(
        width=cut_mm(width),
        height=height,
        leg=marked_mm(leg.bottom_mm - first.y) if leg else 0.0,
        rim=cut_mm(last.x - start),
        apron=marked_mm(leg.bottom_mm - first.y) if leg else 0.0,
        floor=marked_mm(leg.x_floor_mm - outline.box[0]) if leg else 0.0,
        top=cut_mm(outline.width_at(0.0)),
        outer=0.0 if is_back else marked_mm(outer),
        corners=marked_mm(first.y) + marked_mm(last.y) if is_back else 0.0,
    )


def _cut_extents(outline: Outline, is_back: bool, shop: Practice) -> Extents:
    """A panel that is cut round something, or sloped: measured on its own polygon."""
    left, top, right, low = outline.box
    leg = outline.leg
    deck = max(p.y for p in outline.lows)
    height = marked_mm((min(low, deck) if leg else low) - top)
    edge = shop["bond.edge"]
    across = cut_mm(right - left) - 2 * edge
    bays = max(1, math.ceil(across / shop["bond.spacing"] - 1e-9))
    places = [left + edge + k * across / bays for k in range(bays + 1)]
    lows = outline.lows
    down = marked_mm(leg.bottom_mm - lows[0].y) if leg else 0.0
    ends = [down_mm(outline, x) for x in (left + 1.0, right - 1.0)]
    return Extents(
        width=cut_mm(right - left),
        height=height,
        leg=down,
        rim=cut_mm(lows[-1].x - lows[0].x),
        apron=down,
        floor=marked_mm(leg.x_floor_mm - left) if leg else 0.0,
        top=cut_mm(across_mm(outline, top + 1.0)),
        outer=0.0 if is_back else marked_mm(ends[0][1] - ends[0][0]),
        corners=sum(marked_mm(b - a) for a, b in ends) if is_back else 0.0,
        notch=joint_round_mm(outline),
        uprights=tuple(upright_mm(outline, x, edge - 1e-3) for x in places),
    )


def bond_lines(size: Extents, shop: Practice) -> BondLines:
    """Upright lines `bond.edge` off the edges and at most `bond.spacing` apart, top and bottom."""
    edge = shop["bond.edge"]
    across = size.width - 2 * edge
    bays = max(1, math.ceil(across / shop["bond.spacing"] - 1e-9))
    line = size.height - 2 * edge
    leg = max(0.0, size.leg - edge)
    if size.uprights:
        # A bay between two lines of unlike length is beaded as far as their mean.
        between = sum((a + b) / 2 for a, b in pairwise(size.uprights))
        total = sum(size.uprights) + 2 * across + leg
        return BondLines(bays, line, total, math.sqrt(2) * between)
    total = (bays + 1) * line + 2 * across + leg
    return BondLines(bays, line, total, math.sqrt(2) * bays * line)


def tube_yield_mm(area_mm2: float, shop: Practice) -> float:
    """Length of bead of one section that a cartridge gives, mm."""
    ounces = shop["bond.tube_fl_oz"]
    return ounces * _CUBIC_INCHES_PER_FL_OZ * _MM3_PER_CUBIC_INCH / area_mm2


def round_area_mm2(diameter_mm: float) -> float:
    """Section of a round bead."""
    return math.pi * diameter_mm**2 / 4


def rectangle_area_mm2(width_mm: float, depth_mm: float) -> float:
    """Section of a filled joint."""
    return width_mm * depth_mm


def fillet_area_mm2(leg_mm: float) -> float:
    """Section of a triangular fillet: half the square, so twice the yield of a filled joint."""
    return leg_mm**2 / 2


def takeoff(work: Work, backers: tuple[Backer, ...], shop: Practice) -> tuple[TakeoffLine, ...]:
    """Everything the panels need, in whole packages, by the shop's bonding schedule."""
    if not work.sizes:
        return ()
    lines = [bond_lines(size, shop) for size in work.sizes]
    tape = sum(line.total_mm for line in lines)
    backer_mm = sum(backer.length.mm for backer in backers)
    found = []
    if work.bonding == "tape and bead":
        found += [_tape(tape, shop), _primer(tape, shop), _adhesive(lines, 0.0, backer_mm, shop)]
    elif work.bonding == "beads only":
        found += [_primer(tape, shop), _adhesive(lines, tape, backer_mm, shop)]
    else:
        found += [_spread(work.area_mm2, shop), _adhesive([], 0.0, backer_mm, shop)]
    found.append(_sealant(work, shop))
    if backers:
        found.append(_sticks("corner backer", [b.length.mm for b in backers], shop))
    if work.trims:
        found.append(_sticks("edge trim", [t.length.mm for t in work.trims], shop))
    if work.strips:
        found.append(_packing(work.strips, shop))
    return (*found, *_sundries(work, shop))


def _tape(total_mm: float, shop: Practice) -> TakeoffLine:
    gross = total_mm * (1 + shop["bond.tape_waste"])
    roll = shop["bond.roll"]
    return TakeoffLine(
        item="panel tape",
        net=total_mm / _MM_PER_FOOT,
        gross=gross / _MM_PER_FOOT,
        unit="ft",
        packages=_whole(gross / roll),
        package=f"roll of {roll / _MM_PER_FOOT:g} ft",
        why=f"bond lines {total_mm / _MM_PER_FOOT:.1f} ft + {shop['bond.tape_waste']:.0%}",
    )


def _primer(total_mm: float, shop: Practice) -> TakeoffLine:
    return _by_the_gallon(
        "primer",
        total_mm * shop["bond.stripe"] / _MM2_PER_SQ_FT,
        "sq ft under the bond lines",
        shop["bond.primer_sq_ft_per_gallon"],
        shop["bond.primer_waste"],
        ("can", shop["bond.primer_gallons_per_can"]),
    )


def _adhesive(
    lines: list[BondLines], straight_mm: float, backer_mm: float, shop: Practice
) -> TakeoffLine:
    """Zigzag in every bay, straight beads where there is no tape, and the backers' beads."""
    zigzag = sum(line.zigzag_mm for line in lines)
    beads = shop["bond.backer_beads"] * backer_mm
    tube = tube_yield_mm(round_area_mm2(shop["bond.bead"]), shop)
    net = (zigzag + straight_mm + beads) / tube
    gross = net * (1 + shop["bond.tube_waste"])
    also = f"lines {straight_mm / _MM_PER_FOOT:.1f} ft + " if straight_mm else ""
    return TakeoffLine(
        item="adhesive",
        net=net,
        gross=gross,
        unit="tubes",
        packages=_whole(gross),
        package="tube",
        why=f"{also}zigzag {zigzag / _MM_PER_FOOT:.1f} ft + "
        f"backers {beads / _MM_PER_FOOT:.1f} ft at {tube / _MM_PER_FOOT:.1f} ft a tube "
        f"+ {shop['bond.tube_waste']:.0%}",
    )


def _spread(area_mm2: float, shop: Practice) -> TakeoffLine:
    return _by_the_gallon(
        "spread adhesive",
        area_mm2 / _MM2_PER_SQ_FT,
        "sq ft",
        shop["spread.sq_ft_per_gallon"],
        shop["spread.waste"],
        ("pail", shop["spread.gallons_per_pail"]),
    )


def _by_the_gallon(
    item: str, area: float, of: str, cover: float, waste: float, sold: tuple[str, float]
) -> TakeoffLine:
    """What is spread over an area, sq ft, ``cover`` of it a gallon; ``sold`` in what, holding how
    many gallons."""
    package, each = sold
    gallons = area * (1 + waste) / cover
    return TakeoffLine(
        item=item,
        net=area / cover,
        gross=gallons,
        unit="gal",
        packages=_whole(gallons / each),
        package=f"{package} of {each:g} gal",
        why=f"{area:.1f} {of} at {cover:g} sq ft a gallon + {waste:.0%}",
    )


def _sundries(work: Work, shop: Practice) -> list[TakeoffLine]:
    """What is used up or must be on the van; charged only where the price book has it."""
    area, sawn = work.area_mm2 / _MM2_PER_SQ_FT, work.cut_mm / _MM_PER_FOOT
    cleaner, blades = (
        area / shop["sundry.cleaner_sq_ft_per_quart"],
        sawn / shop["sundry.cut_ft_per_blade"],
    )
    found = [
        TakeoffLine("cleaner", cleaner, cleaner, "qt", _whole(cleaner), "quart",
                    f"{area:.1f} sq ft wiped", True),
        TakeoffLine("saw blade", blades, blades, "blades", _whole(blades), "blade",
                    f"{sawn:.1f} ft of cut", True),
    ]  # fmt: skip
    found += [
        TakeoffLine(saw, 1, 1, "saw", 1, "saw", "to have on the van", True)
        for saw in work.saws
        if saw != "jigsaw"
    ]
    return [line for line in found if line.packages]


def _sealant(work: Work, shop: Practice) -> TakeoffLine:
    sizes = work.sizes
    kinds = (
        ("deck", sum(size.rim for size in sizes)),
        ("apron", sum(size.apron for size in sizes)),
        ("floor", sum(size.floor for size in sizes)),
        ("corner", sum(size.corners for size in sizes)),
        ("notch", sum(size.notch for size in sizes)),
    )
    depth = shop["joint.depth"]
    joints = sum(
        length / tube_yield_mm(rectangle_area_mm2(shop[f"joint.{kind}"], depth), shop)
        for kind, length in kinds
    )
    # Round every window: a joint at the frame, and a fillet where the liners meet the sheet.
    joints += work.reveal_mm / tube_yield_mm(rectangle_area_mm2(shop["joint.side"], depth), shop)
    edges = sum(size.top + size.outer for size in sizes) + work.reveal_mm
    fillet = edges / tube_yield_mm(fillet_area_mm2(shop["joint.fillet"]), shop)
    net = joints + fillet
    gross = net * (1 + shop["joint.waste"])
    joint_ft = (sum(length for _, length in kinds) + work.reveal_mm) / _MM_PER_FOOT
    return TakeoffLine(
        item="sealant",
        net=net,
        gross=gross,
        unit="tubes",
        packages=_whole(gross),
        package="tube",
        why=f"joints {joint_ft:.2f} ft + finished edges {edges / _MM_PER_FOOT:.2f} ft "
        f"+ {shop['joint.waste']:.0%}",
    )


def _sticks(item: str, pieces: list[float], shop: Practice) -> TakeoffLine:
    stock = shop["backer.stock_length"]
    total = sum(pieces)
    return TakeoffLine(
        item=item,
        net=total / _MM_PER_FOOT,
        gross=total / _MM_PER_FOOT,
        unit="ft",
        packages=lengths_needed(pieces, stock, shop["saw.kerf"]),
        package=f"length of {stock / 25.4:g} in",
        why=f"{len(pieces)} pieces",
    )


def _packing(strips: tuple[tuple[float, float], ...], shop: Practice) -> TakeoffLine:
    area = sum(height * length for height, length in strips)
    width, length, kerf = shop["pack.board_width"], shop["pack.board_length"], shop["saw.kerf"]
    rows = math.floor((width + kerf + 1e-6) / (max(h for h, _ in strips) + kerf))
    pieces = [piece for _, piece in strips]
    if rows:
        boards = math.ceil(lengths_needed(pieces, length, kerf) / rows)
    else:  # higher than a board is wide: boards side by side
        boards = sum(math.ceil(h / width) * math.ceil(piece / length) for h, piece in strips)
    return TakeoffLine(
        item="packing board",
        net=area / _MM2_PER_SQ_FT,
        gross=area / _MM2_PER_SQ_FT,
        unit="sq ft",
        packages=boards,
        package=f"board {mark(width).text} x {mark(length).text} in",
        why=f"{len(strips)} strips, {needed(sum(pieces)).text} in of length together",
    )


def _whole(amount: float) -> int:
    return math.ceil(amount - 1e-9)
