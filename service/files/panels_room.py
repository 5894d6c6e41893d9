"""What panels.json says of the room and of the sheets as they are cut.

These rows mirror the calculator's own values name by name, so they are filled from them directly;
a size is an object of its exact millimetres and its text.
"""

from __future__ import annotations

from decimal import Decimal
from typing import ClassVar, Literal

from pydantic import ConfigDict, Field

from service.files.shape import OutputModel

WallName = Literal["back", "plumbing", "far end"]
Hand = Literal["none", "left", "right"]


class MirrorModel(OutputModel):
    """A row that is read off a value with the same names."""

    model_config: ClassVar[ConfigDict] = ConfigDict(
        **{**OutputModel.model_config, "from_attributes": True}
    )


class SizeRow(MirrorModel):
    """A length: exact, and as printed."""

    mm: float = Field(description="mm, exact, unrounded.")
    text: str = Field(description="As printed: inches and a fraction.")


class TopHeightRow(MirrorModel):
    """One top that could be agreed on."""

    above_floor: SizeRow
    lowest_course: SizeRow | None = Field(description="Null on a plain sheet.")
    why_not: tuple[str, ...] = Field(description="What speaks against it; empty: it passes.")


class TopRow(MirrorModel):
    """The planned top against every height of the agreed band."""

    planned: SizeRow
    best: SizeRow | None = Field(description="Passing height nearest to the planned one.")
    heights: tuple[TopHeightRow, ...]


class EndMoveRow(MirrorModel):
    """Where the outer edge of one end wall may stand, from plumb outwards, and where it is best."""

    wall: WallName = Field(description="The end wall.")
    planned: SizeRow
    best: SizeRow
    low: SizeRow
    high: SizeRow
    cut_now: SizeRow
    cut: SizeRow


class LayoutRow(MirrorModel):
    """The best top, pattern place and outer edges together, of all that are allowed."""

    top: SizeRow | None = Field(description="Above the floor; null where the floor is not known.")
    planned_top: SizeRow | None = Field(description="As planned, above the floor.")
    ends: tuple[EndMoveRow, ...]
    short_now: SizeRow
    short: SizeRow
    imbalance: SizeRow | None = Field(description="Of the back's cuts at the best; null: no back.")
    tried: int = Field(description="Combinations compared; none of them is better.")


class CornerRow(MirrorModel):
    """The level joints in one back corner."""

    side: Literal["left", "right"] = Field(description="Which corner, as seen from the room.")
    wall: WallName = Field(description="The end wall that meets the back wall there.")
    heights: tuple[SizeRow, ...] = Field(description="Upper edges below the finished top.")
    mismatch: SizeRow
    u95: SizeRow


class CoverRow(MirrorModel):
    """What an outer edge must cover or clear."""

    what: str = Field(description="Tile edge, paint scar, door casing, outside corner.")
    rule: Literal["cover", "clear"] = Field(description="Which of the two.")
    by: SizeRow
    passes: bool = Field(description="Whether it does.")


class EndRow(MirrorModel):
    """How one end wall ends."""

    wall: WallName = Field(description="The end wall.")
    finish: str = Field(description="Return, trim under or trim over.")
    how: str = Field(description="In words.")
    covers: tuple[CoverRow, ...]


class FlatSpotRow(MirrorModel):
    """A hump or hollow and what is done about it."""

    wall: WallName = Field(description="The wall it is on.")
    at: SizeRow
    down: SizeRow
    gap: SizeRow
    kind: Literal["hump", "hollow"] = Field(description="Which of the two.")
    advice: str = Field(description="What is done.")
    must: bool = Field(description="Whether it is past the limit.")


class BlockingRow(MirrorModel):
    """Blocking that must stand before the sheet covers it."""

    wall: WallName = Field(description="The wall it stands in.")
    what: str = Field(description="What it carries.")
    from_plumb: SizeRow
    down: SizeRow
    width: SizeRow
    height: SizeRow
    why: str = Field(description="Why it is there.")


class WayInRow(MirrorModel):
    """Whether one kind of sheet goes in."""

    sheet: str = Field(description="Name of the stock sheet.")
    longest: SizeRow
    verdict: Literal["goes in", "cut outside", "does not go in"] = Field(description="Of three.")
    why: str = Field(description="In words.")


class OpeningRow(MirrorModel):
    """The finished opening at the tub front at one height."""

    down: SizeRow
    width: SizeRow


class PlacedRow(MirrorModel):
    """One piece on a sheet, from the sheet's upper left corner, front up."""

    name: str = Field(description="Panel, part of one, or liner.")
    x: SizeRow
    y: SizeRow
    width: SizeRow
    height: SizeRow


class DropRow(MirrorModel):
    """An offcut worth keeping."""

    width: SizeRow
    height: SizeRow
    finished: tuple[str, ...] = Field(description="Finished edges that it still has.")


class SheetCutRow(MirrorModel):
    """One sheet that is bought, and how it is cut."""

    sheet: str = Field(description="Name of the stock sheet.")
    hand: Hand = Field(description="Side of its finished outer edge; none: either.")
    width: SizeRow
    height: SizeRow
    pieces: tuple[PlacedRow, ...]
    drops: tuple[DropRow, ...]
    lot: str = Field(description="Colour lot, where stated.")


class SeamRow(MirrorModel):
    """Where a panel is made of two sheets."""

    wall: WallName = Field(description="The wall.")
    direction: Literal["upright", "level"] = Field(description="Which way it runs.")
    at: SizeRow
    behind: Literal["pattern joint", "batten"] = Field(description="What hides it.")
    parts: tuple[str, str] = Field(description="Names of both parts.")
    why: str = Field(description="In words.")


class CuttingRow(MirrorModel):
    """The sheets to buy."""

    sheets: tuple[SheetCutRow, ...]
    seams: tuple[SeamRow, ...]
    tried: int = Field(description="Ways to cut that were compared.")
    proved: bool = Field(description="Whether no purchase without more seams costs less.")
    used: float = Field(description="Share of the bought area that becomes pieces.")


class LinerRow(MirrorModel):
    """One piece that lines a window's reveal or covers what a panel is cut round."""

    name: str = Field(description="Sill, head, jamb, top, front and the like.")
    length: SizeRow
    depth: SizeRow
    how: str = Field(description="In which order it is fixed.")


class ScribeRow(MirrorModel):
    """The largest upright rectangle that goes in, and what must be scribed."""

    width: SizeRow
    height: SizeRow
    edges: tuple[tuple[str, SizeRow], ...] = Field(
        description="Edge, and how far it leaves the straight; straight edges are left out."
    )


class WindowRow(MirrorModel):
    """A rectangular opening in a panel."""

    name: str = Field(description="The window, niche or box.")
    kind: Literal["window", "niche", "box"] = Field(description="Which of the three.")
    drill: SizeRow | None = Field(description="Hole drilled in each corner first.")
    corner_mm: tuple[float, float] = Field(
        description="Corner of least x and y, in the panel's frame, mm."
    )
    from_side: SizeRow
    from_top: SizeRow
    width: SizeRow
    height: SizeRow
    liners: tuple[LinerRow, ...]
    notes: tuple[str, ...] = Field(description="What the installer must know of it.")


class NotchRow(MirrorModel):
    """What a panel is cut round."""

    name: str = Field(description="The soffit, seat, curb, ledge or pony wall.")
    kind: str = Field(description="Which of these.")
    corner_mm: tuple[float, float] = Field(
        description="Corner of least x and y of the thing itself, in the panel's frame, mm."
    )
    width: SizeRow
    height: SizeRow
    liners: tuple[LinerRow, ...] = Field(description="Pieces that cover it.")
    notes: tuple[str, ...] = Field(description="What the installer must know of it.")


class OfferedRow(MirrorModel):
    """A change order that is not signed, and not in the price."""

    item: str = Field(description="What is changed.")
    high: Decimal = Field(description="Its amount.")


class OtherSheetRow(MirrorModel):
    """A kind of sheet with the edges a panel needs."""

    name: str = Field(description="Name of the stock sheet.")
    chance_fits: float = Field(description="That it is wide and high enough, 0 to 1.")
