"""What the service answers of a sheet's release and its revisions."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from service.files.shape import OutputModel


class HeldModel(OutputModel):
    """One thing that keeps a sheet from the saw."""

    what: str = Field(description="The size, or what nothing checks.", examples=["back left 40"])
    why: str
    do: str = Field(description="What would let it go.")


class LookModel(OutputModel):
    """What nothing checks of a sheet, and who vouches for it."""

    what: str = Field(examples=["agreed top"])
    value: str = Field(description="What it is now.", examples=["3/4 in above the level line"])
    first: str | None = Field(description="Who stated it.")
    second: str | None = Field(description="Who looked at it.")
    photo: str | None = Field(description="A photo with the tape in it.")
    counts: bool = Field(description="Whether a second person or a photo vouches for just this.")


class OverrideModel(OutputModel):
    """A conflict that somebody other than the taper lets stand."""

    dimension: str
    reading: str = Field(description="Id of the reading that stands.")
    who: str
    reason: str
    at: str


class ReleaseModel(OutputModel):
    """Whether a panel's sheet may be cut from."""

    state: Literal["shut", "open", "released", "reopened"] = Field(
        description="shut: something holds it; open: may be released; released: locked; "
        "reopened: it has changed since it was locked."
    )
    revision: str | None = Field(description="Letter of the last release.")
    fingerprint: str | None = Field(description="SHA-256 of what that revision was cut by.")
    who: str | None
    at: str | None
    why_not: tuple[str, ...]
    may_release: bool = Field(description="Whether nothing holds it.")
    held: tuple[HeldModel, ...]
    looks: tuple[LookModel, ...]
    overrides: tuple[OverrideModel, ...]
    changes: tuple[str, ...] = Field(description="What has changed since the last revision.")
    shown: str = Field(
        description="SHA-256 of the sheet as its papers show it now: sent back with its release, "
        "no other sheet is released than the one that was looked at. Empty where it is kept back."
    )


class RevisionModel(OutputModel):
    """One sheet as it was locked."""

    letter: str
    who: str
    at: str
    fingerprint: str
    intact: bool = Field(description="Whether it is still what its fingerprint was made of.")
    content: dict[str, str] = Field(description="What it was cut by, and who answered for it.")
    changes: tuple[str, ...] = Field(description="What changed from the revision before it.")


class RevisionList(OutputModel):
    """The locked revisions of one sheet, the oldest first."""

    revisions: tuple[RevisionModel, ...]
