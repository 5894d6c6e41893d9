"""A wall as its measure report judges it: what the release of a sheet is decided by.

A report's own word that its gate is open is never believed: each size is judged again by its
figures. What a report says is blocking still counts, for it knows of clashes that no single size
shows.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class JudgedReading:
    """One reading that was taken; None where the report does not say.

    Attributes
    ----------
    status
        ``replaced`` where a later reading took its place.
    dimension, mm
        Of which size, and what was read.
    u_mm
        Standard uncertainty.
    who, method
        Who took it, and how.
    clashes_with
        Readings of which one is wrong, and it cannot be told which.
    """

    id: str
    status: str
    u_mm: float
    dimension: str | None = None
    mm: float | None = None
    who: str | None = None
    method: str | None = None
    clashes_with: tuple[str, ...] = ()

    @property
    def stands(self) -> bool:
        """Whether no later reading replaced it."""
        return self.status != "replaced"


@dataclass(frozen=True, slots=True)
class TakenOf:
    """Which size of its wall one is, in the words of an alcove's sizes, mm; None: not told.

    ``side`` is as seen from the room, ``down_mm`` below the level line, ``at_mm`` from the plumb
    line, left negative, ``surface`` what the tape touched.
    """

    role: str
    side: str | None = None
    down_mm: float | None = None
    at_mm: float | None = None
    fixture: str | None = None
    surface: str | None = None


@dataclass(frozen=True, slots=True)
class JudgedSize:
    """One size of a report; absent figures are None, lengths mm.

    ``of`` is which size of its wall it is; None where nothing tells.
    """

    name: str
    status: str
    checked: bool
    tape_mm: float | None
    tape_u_mm: float | None
    best_mm: float | None
    best_u_mm: float | None
    expected_mm: float | None
    expected_u_mm: float | None
    photo_mm: float | None
    photo_u_mm: float | None
    en: float | None
    mdb_mm: float | None
    of: TakenOf | None = None


@dataclass(frozen=True, slots=True)
class JudgedPoint:
    """One point of a report, in the wall's frame: x right, y up from the level line, mm."""

    name: str
    x_mm: float
    y_mm: float
    u_x_mm: float
    u_y_mm: float


@dataclass(frozen=True, slots=True)
class JudgedWall:
    """One report, by the name of its file.

    ``blocking`` is what it says keeps its gate shut: size, and why. ``photo_parts`` are parts of
    the uncertainty of a size by photo, mm: the same place in two sizes is the same error.
    ``points`` are all that it places, ``levelled`` whether their y counts from the level line.
    ``together`` is the mark of the judgement of several walls that it is of, ``judged_with`` the
    other walls of it; empty where the wall was judged by itself.
    """

    name: str
    sizes: tuple[JudgedSize, ...]
    readings: tuple[JudgedReading, ...] = ()
    blocking: tuple[tuple[str, str], ...] = ()
    photo_parts: tuple[tuple[str, tuple[float, ...]], ...] = ()
    points: tuple[JudgedPoint, ...] = ()
    levelled: bool = False
    together: str = ""
    judged_with: tuple[str, ...] = ()

    def of_size(self, name: str) -> tuple[JudgedReading, ...]:
        """The standing readings of a size."""
        return tuple(r for r in self.readings if r.dimension == name and r.stands)

    def size(self, name: str) -> JudgedSize | None:
        """The size of that name, None if the report has none."""
        return next((size for size in self.sizes if size.name == name), None)
