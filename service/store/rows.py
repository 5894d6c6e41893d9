"""The rows as values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final, Literal, TypeAlias

from service.measuring.release.facts import Override

Json: TypeAlias = Any
Facts: TypeAlias = dict[str, Any]
WallName: TypeAlias = Literal["plumbing", "back", "far-end"]
WALL_NAMES: Final[tuple[WallName, ...]] = ("plumbing", "back", "far-end")


@dataclass(frozen=True)
class JobRow:
    """One alcove.

    ``document`` holds what the job has beside its walls: ``print_jobs`` (ruler checks by print
    job), ``plan`` (plan settings or null), ``releases`` (which revision of a sheet is locked),
    ``looks`` (second looks by sheet and thing) and ``overrides`` (by sheet and size).
    """

    id: str
    name: str
    plumbing_side: str
    bare_unit: str | None
    scope: str
    notes: str
    example: bool
    hidden: bool
    revision: int
    created_at: str
    updated_at: str
    document: Mapping[str, Json]

    @property
    def practice(self) -> str | None:
        """The shop's own practice, as its text; None where it goes by the shipped one."""
        kept = self.document["plan"]
        return None if kept is None else kept["practice"]

    @property
    def overrides(self) -> dict[str, tuple[Override, ...]]:
        """Every override, by its wall as a plan calls it: ``far end``."""
        return {
            sheet.replace("-", " "): tuple(
                Override(name, row["reading"], row["who"], row["reason"])
                for name, row in rows.items()
            )
            for sheet, rows in self.document["overrides"].items()
        }


@dataclass(frozen=True)
class WallRow:
    """One wall; ``facts`` as `service.store.wall_document` has them."""

    id: str
    job_id: str
    name: WallName
    place: int
    revision: int
    facts: Facts


@dataclass(frozen=True)
class PhotoRow:
    """One photo of a wall, and what was found in it; ``found`` is None while nobody has looked."""

    id: str
    wall_id: str
    filename: str
    sha256: str
    bytes: int
    kind: str
    added_at: str
    found: Mapping[str, Json] | None = None
    views_sha256: str | None = None

    @property
    def file(self) -> str:
        """The photo's name beside a wall file."""
        return f"{self.sha256}.{self.kind}"

    @property
    def state(self) -> Literal["looking", "ready", "refused"]:
        """Whether it has been looked at, and whether it can be used."""
        if self.found is None:
            return "looking"
        return "ready" if self.found["sight"]["refusal"] is None else "refused"


@dataclass(frozen=True)
class CardPhotoRow:
    """A photo of a card, for a lens profile; ``found`` as of a wall's photo."""

    id: str
    job_id: str
    filename: str
    sha256: str
    bytes: int
    added_at: str
    found: Mapping[str, Json] | None = None


@dataclass(frozen=True)
class LensProfileRow:
    """A lens profile: ``body`` is its file's text, ``report`` what each photo added.

    It counts in the job it was made in, and for photos that are added anywhere after it was made.
    """

    id: str
    job_id: str
    body: str
    report: str
    who: str
    at: str

    @property
    def file(self) -> str:
        """The profile's name beside a wall file."""
        return f"lens-{self.id[:20]}.json"


@dataclass(frozen=True)
class EventRow:
    """One change: who, when, what, and the value before and after it.

    ``path`` leads to the changed value inside the wall's facts, or inside the job's document.
    """

    seq: int
    at: str
    who: str
    device: str
    job_id: str
    wall_id: str | None
    kind: str
    what: str
    path: tuple[str, ...]
    before: Json
    after: Json
    undoes: int | None
    prev_hash: str
    hash: str


@dataclass(frozen=True)
class Acting:
    """Who changes something, when (ISO 8601, UTC), and from which device."""

    who: str
    at: str
    device: str = ""


@dataclass(frozen=True)
class TaskRow:
    """A task that this worker holds until its lease ends; ``token`` proves that it still does."""

    id: int
    kind: str
    subject: str
    version: int
    attempts: int
    token: int


@dataclass(frozen=True)
class KeptAnswer:
    """The answer that a request with an idempotency key was given."""

    fingerprint: str
    status: int
    headers: Mapping[str, str] = field(default_factory=dict)
    body: bytes = b""
