"""What PLAN.json says of release, and the file that the locked revisions are kept in."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated

from pydantic import Field

from service.errors import FileError
from service.files.field_truth import EvidenceRow, evidence_row
from service.files.loading import is_there, load_model, named_by
from service.files.plan_parts import PlanWall, WallName
from service.files.shape import FilePath, InputModel, Name, misplaced
from service.measuring.release.facts import NothingChecks, Override, SecondLook
from service.measuring.release.revision import Revision, is_intact

if TYPE_CHECKING:
    from pathlib import Path

Reason = Annotated[Name, Field(description="It prints on every later page of the sheet.")]


class OverrideRow(InputModel):
    """Someone other than the taper lets a reading stand against what the rest expects."""

    wall: WallName = Field(description="Wall whose report holds the size.")
    dimension: Name = Field(description="Name of the size.")
    reading: Name = Field(description="Id of the reading that is let stand.")
    who: Name = Field(description="Who lets it stand: nobody who taped the size.")
    reason: Reason

    def override(self) -> Override:
        """As the rules of release take it."""
        return Override(self.dimension, self.reading, self.who, self.reason)


class SecondLookRow(InputModel):
    """A second person, or a photo with the tape in it, for what no reading can check."""

    wall: WallName = Field(description="Wall whose sheet it is for.")
    what: NothingChecks = Field(
        description="What was looked at. Hold-down and agreed top are common to the alcove: once, "
        "at any wall, speaks for every sheet of the same value."
    )
    value: Name = Field(description="What it was then, as panels.json puts it; else it is void.")
    first: Name | None = Field(default=None, description="Who stated it.")
    second: Name | None = Field(default=None, description="Who looked at it: another person.")
    photo: FilePath | None = Field(
        default=None, description="A photo with the tape in it; the file must be there."
    )

    def look(self) -> SecondLook:
        """As the rules of release take it."""
        return SecondLook(self.what, self.value, self.first, self.second, self.photo)


class PlanRelease(InputModel):
    """Overrides, second looks and locked revisions. With this key a sheet is released only once
    a person has locked it; without it, once every size it needs is taped and checked."""

    locked: FilePath = Field(
        default="releases.json",
        description="File with the locked revisions; it need not be there before the first.",
    )
    overrides: tuple[OverrideRow, ...] = ()
    second_looks: tuple[SecondLookRow, ...] = ()


class RevisionRow(InputModel):
    """One sheet as it was locked."""

    sheet: WallName = Field(description="Wall that it is for.")
    letter: Annotated[str, Field(pattern="^[A-HJ-NP-Z]{1,3}$")] = Field(
        description="A, B and so on, without I and O, which are read as figures."
    )
    who: Name = Field(description="Who released it.")
    at: Name = Field(description="When.")
    fingerprint: Annotated[str, Field(pattern="^[0-9a-f]{64}$")] = Field(
        description="SHA-256 of sheet, letter and content."
    )
    content: dict[str, str] = Field(
        description="All that it was cut by, as it was printed; who answered for it; the hash of "
        "what lies beside."
    )
    sizes_mm: dict[str, float] = Field(description="Its measured sizes, mm.")
    evidence: EvidenceRow | None = Field(
        default=None, description="What photos and tape said of them then, for field truth."
    )

    def revision(self) -> Revision:
        """As the rules of release take it."""
        return Revision(
            self.sheet,
            self.letter,
            self.content,
            self.fingerprint,
            self.who,
            self.at,
            self.sizes_mm,
            None if self.evidence is None else self.evidence.evidence(),
        )


class LockedFile(InputModel):
    """The locked revisions of one job, the oldest first: added to, never changed."""

    revisions: tuple[RevisionRow, ...]


def revision_row(revision: Revision) -> RevisionRow:
    """A revision as it is kept."""
    return RevisionRow.model_validate(
        {
            "sheet": revision.sheet,
            "letter": revision.letter,
            "who": revision.who,
            "at": revision.at,
            "fingerprint": revision.fingerprint,
            "content": dict(revision.content),
            "sizes_mm": dict(revision.sizes_mm),
            "evidence": None if revision.evidence is None else evidence_row(revision.evidence),
        }
    )


def read_locked(path: Path) -> tuple[Revision, ...]:
    """The revisions that a file keeps, the oldest first.

    Raises
    ------
    FileError
        A file that cannot be used, or a revision in it that is not as it was locked.
    """
    file = load_model(path, LockedFile)
    touched = tampered(file)
    if touched is not None:
        expected = "is not what its fingerprint was made of: expected the file as it was written"
        raise FileError(str(path), touched, expected)
    return tuple(row.revision() for row in file.revisions)


def locked_beside(plan: Path, release: PlanRelease) -> tuple[Revision, ...]:
    """The revisions kept beside a plan's file; none before its first release.

    Raises
    ------
    FileError
        As `read_locked`.
    """
    kept = plan.parent / release.locked
    field = "release.locked"
    if not is_there(kept, str(plan), field) and not kept.is_dir():
        return ()
    with named_by(str(plan), field):
        return read_locked(kept)


def tampered(file: LockedFile) -> str | None:
    """The first revision that is not what its fingerprint was made of, as a path; None if none."""
    for index, row in enumerate(file.revisions):
        if not is_intact(row.revision()):
            return f"revisions[{index}]"
    return None


def check_release(release: PlanRelease, walls: Sequence[PlanWall]) -> None:
    """Overrides and looks are of walls that are planned, and overrides of walls with reports."""
    planned = {wall.wall: wall for wall in walls}
    named: dict[str, list[WallName]] = {
        "overrides": [row.wall for row in release.overrides],
        "second_looks": [row.wall for row in release.second_looks],
    }
    for key, of_rows in named.items():
        for index, wall in enumerate(of_rows):
            if wall not in planned:
                known = ", ".join(planned)
                misplaced(f"release.{key}[{index}].wall", f"expected one of the walls: {known}")
    for index, row in enumerate(release.overrides):
        if not planned[row.wall].reports:
            field = f"release.overrides[{index}].wall"
            misplaced(field, f"expected a wall with reports; {row.wall} lists none")
