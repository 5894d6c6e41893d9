"""What is cut from which sheet, as it is handed out: sheets, the pieces on them, what is left."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from service.panels.places import Hand, Size, WallName


@dataclass(frozen=True)
class PlacedPiece:
    """One piece on a sheet: its upper left corner from the sheet's, front up, x right, y down."""

    name: str
    x: Size
    y: Size
    width: Size
    height: Size


@dataclass(frozen=True)
class Drop:
    """An offcut worth keeping, with the finished edges that it still has."""

    width: Size
    height: Size
    finished: tuple[str, ...]


@dataclass(frozen=True)
class SheetCut:
    """One sheet that is bought, and how it is cut."""

    sheet: str
    hand: Hand
    width: Size
    height: Size
    pieces: tuple[PlacedPiece, ...]
    drops: tuple[Drop, ...]
    lot: str = ""


@dataclass(frozen=True)
class Seam:
    """Where a panel is made of two sheets because no sheet holds it.

    `at` is x from the panel's reference vertical for an upright seam, y from the finished top for
    a level one; `behind` says what hides it.
    """

    wall: WallName
    direction: Literal["upright", "level"]
    at: Size
    behind: Literal["pattern joint", "batten"]
    parts: tuple[str, str]
    why: str

    @property
    def place(self) -> str:
        """Where it is, in words: on the back wall with the side as seen from the room."""
        size = f"{self.at.text.removeprefix('-')} in"
        if self.direction == "level":
            return f"{size} down from the top"
        if self.wall != "back":
            return f"{size} from the finished outer edge"
        return f"{size} {'left' if self.at.mm < 0 else 'right'} of the plumb line"


@dataclass(frozen=True)
class CuttingPlan:
    """The sheets to buy; `tried` groupings were compared, so none of them costs less.

    `bound` is the area of the pieces over that of the sheets bought: how full they are.
    """

    sheets: tuple[SheetCut, ...]
    seams: tuple[Seam, ...]
    tried: int
    proved: bool
    used: float
