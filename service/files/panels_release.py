"""What panels.json says of each sheet's sizes and of its release."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from service.files.panels_room import MirrorModel, SizeRow


class SheetSizeRow(MirrorModel):
    """One measured size that a panel is cut by, with what proves or holds it."""

    name: str = Field(description="As messages call it.")
    value: SizeRow
    u_mm: float = Field(description="Standard uncertainty (k = 1), mm.")
    dimension: str = Field(description="The report's dimension behind it; empty: none.")
    proof: str = Field(description="checked, taped twice or override; empty while it is held.")
    note: str = Field(description="What prints with it, such as an override's reason.")
    why_not: str = Field(description="What holds it; empty once it is proved.")
    do: str = Field(description="What would let it go.")
    taped: tuple[str, ...] = Field(
        default=(), description="Its readings once it is proved, each with who took it and how."
    )
    corrected: tuple[str, ...] = Field(
        default=(), description="The same of readings that were taken again since."
    )


class SheetReleaseRow(MirrorModel):
    """How a sheet stands once somebody decides on it."""

    state: Literal["shut", "open", "released", "reopened"] = Field(
        description="shut: held; open: may be released; released: locked; reopened: changed since."
    )
    revision: str = Field(description="Letter of its last locked revision; empty: none.")
    fingerprint: str = Field(description="SHA-256 of that revision.")
    who: str = Field(description="Who released it.")
    at: str = Field(description="When.")
    changes: tuple[str, ...] = Field(description="What has changed since that revision.")
    wanted: tuple[tuple[str, str], ...] = Field(
        description="What nothing checks, and what it is now: PLAN.json's `what` and `value` of a "
        "second look."
    )
    looked: tuple[str, ...] = Field(description="What was looked at, and who vouches for it.")
    held: tuple[str, ...] = Field(description="What keeps it from the saw.")
