"""PLAN.json: what the panels of one alcove are planned from."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, model_validator

from service.files.field_length import check_size
from service.files.plan_beside import check_job_beside, check_walls_beside
from service.files.plan_parts import (
    ChangeOrder,
    FrontOpening,
    HallTurn,
    Job,
    Pattern,
    PlanWall,
    Stock,
    Top,
)
from service.files.plan_release import PlanRelease, check_release
from service.files.plan_rules import check_plan_lengths, check_walls
from service.files.shape import FilePath, InputModel, LengthText


class PlanFile(InputModel):
    """What the panels of one alcove are planned from."""

    job: Job
    practice: FilePath | None = Field(
        default=None, description="The shop's allowances; default: those shipped."
    )
    bare_unit: Literal["in", "mm", "cm", "m"] = Field(
        default="in", description="Unit of a bare number."
    )
    walls: tuple[PlanWall, ...] = Field(min_length=1)
    top: Top = Top()
    pattern: Pattern | None = Field(default=None, description="Null: a plain sheet.")
    stock: tuple[Stock, ...] = ()
    opening: LengthText | None = Field(
        default=None, description="Finished opening between the end walls at the tub front."
    )
    prices: FilePath | None = Field(default=None, description="The price book, CSV.")
    openings: tuple[FrontOpening, ...] = Field(
        default=(), description="Opening at the tub front at several heights, for a door."
    )
    way_in: tuple[HallTurn, ...] = Field(default=(), description="Turns on the way to the bath.")
    changes: tuple[ChangeOrder, ...] = Field(default=(), description="Change orders.")
    release: PlanRelease | None = Field(
        default=None, description="Null: a sheet is released by its sizes alone, unlocked."
    )

    @model_validator(mode="after")
    def _hangs_together(self) -> PlanFile:
        check_walls(self.walls, self.stock)
        check_plan_lengths(self.walls, self.top, self.pattern, self.stock, self.bare_unit)
        if self.opening is not None:
            check_size("opening", self.opening, self.bare_unit)
        check_walls_beside(self.walls, self.bare_unit)
        if self.release is not None:
            check_release(self.release, self.walls)
        check_job_beside(self.top, self.openings, self.way_in, self.changes, self.bare_unit)
        return self
