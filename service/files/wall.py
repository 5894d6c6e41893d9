"""WALL.json: the photos, marks, cards and tape readings of one wall."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, model_validator

from service.files.shape import FilePath, InputModel, Name, misplaced
from service.files.wall_parts import (
    BareUnit,
    Card,
    Dimension,
    MarkPair,
    Reading,
    Rectangle,
    StraightLine,
    WallPhoto,
)
from service.files.wall_roles import check_roles, check_surfaces
from service.files.wall_rules import (
    check_dimensions,
    check_lengths,
    check_lines,
    check_marks,
    check_photos,
    check_readings,
    check_rectangles,
    refuse_doubles,
)


class WallFile(InputModel):
    """The photos, marks, cards and readings of one wall; photos or readings must be there."""

    wall: Name | None = Field(
        default=None, description="back, plumbing, far end, or any name of your own."
    )
    bare_unit: BareUnit | None = Field(
        default=None,
        description="Unit of a length without one; without it, such a length is refused.",
    )
    datum_card: int | None = Field(
        default=None,
        ge=1,
        description="Card that sets the frame; default: the lowest serial found.",
    )
    cards: tuple[Card, ...] = ()
    rectangles: tuple[Rectangle, ...] = ()
    lines: tuple[StraightLine, ...] = Field(
        default=(), description="Lines of the wall that are known to be straight."
    )
    lens: tuple[FilePath, ...] = Field(default=(), description="Lens profiles.")
    photos: tuple[WallPhoto, ...] = ()
    level: MarkPair | None = Field(
        default=None, description="Two marks on the level line: the frame's origin and its x."
    )
    plumb: MarkPair | None = Field(default=None, description="Two marks on a plumb line.")
    corner: Literal["left", "right"] | None = Field(
        default=None, description="Of an end wall: the side, as seen, of its back corner."
    )
    dimensions: tuple[Dimension, ...] = ()
    readings: tuple[Reading, ...] = ()

    @model_validator(mode="after")
    def _hangs_together(self) -> WallFile:
        if not self.photos and not self.readings:
            misplaced("", "expected photos or readings, and there are neither")
        refuse_doubles("cards", "serial", [card.serial for card in self.cards])
        refuse_doubles("lens", "", self.lens)
        check_photos(self.photos)
        check_rectangles(self.rectangles, self.photos)
        check_lines(self.lines, self.photos)
        check_dimensions(self.dimensions)
        check_marks(self.photos, self.level, self.plumb, self.dimensions)
        check_readings(self.readings, self.dimensions)
        check_lengths(self.cards, self.readings, self.bare_unit)
        check_roles(self.dimensions, self.corner, self.bare_unit)
        check_surfaces(self.readings, self.dimensions)
        return self
