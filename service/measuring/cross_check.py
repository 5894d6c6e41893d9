"""The cross-check of an alcove: each size by photo, tape and all else, and what became of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from service.measuring.alcove.closing import Closing
from service.measuring.alcove.derived import Derived
from service.measuring.alcove.vocabulary import Size, WallSizes
from service.measuring.estimates import Estimate
from service.measuring.gate import why_shut
from service.measuring.judgement import DimensionJudgement, Judgement, Status
from service.measuring.limits import Limits
from service.measuring.reading import Reading, effective_readings
from service.measuring.release.facts import Override

_USUAL_LIMITS = Limits()


@dataclass(frozen=True, slots=True)
class CheckedSize:
    """One size of the cross-check; absent figures are None, lengths mm.

    Attributes
    ----------
    name
        As its wall's file calls it.
    size
        Which size of an alcove it is, where that is known.
    readings
        The standing readings, as written, with who took them.
    holds
        What still keeps it from the saw; empty if nothing does.
    suspect
        The likeliest slip, as a colleague would say it; empty without a conflict.
    done
        What was done about each conflict: taken again, overridden.
    """

    name: str
    size: Size | None
    status: Status
    checked: bool
    photo: Estimate | None
    tape: Estimate | None
    expected: Estimate | None
    best: Estimate | None
    readings: tuple[str, ...]
    holds: str
    suspect: str
    done: tuple[str, ...]

    @property
    def mm(self) -> float | None:
        """The value to draw it by: the best there is."""
        for estimate in (self.best, self.tape, self.expected, self.photo):
            if estimate is not None:
                return abs(estimate.mm)
        return None


@dataclass(frozen=True, slots=True)
class CheckedWall:
    """One wall, with what must close in it and what follows from its sizes."""

    sizes: WallSizes
    rows: tuple[CheckedSize, ...]
    closings: tuple[Closing, ...]
    derived: tuple[Derived, ...] = ()


@dataclass(frozen=True, slots=True)
class CrossCheck:
    """A whole alcove, or one wall, as read; ``across`` is what must close between its walls."""

    walls: tuple[CheckedWall, ...]
    across: tuple[Closing, ...]
    print_scale: float | None = None

    @property
    def rows(self) -> tuple[CheckedSize, ...]:
        return tuple(row for wall in self.walls for row in wall.rows)

    def count(self, status: Status) -> int:
        return sum(row.status is status for row in self.rows)


@dataclass(frozen=True, slots=True)
class WallPart:
    """A wall of the alcove: what its file calls each dimension, by the name it was judged under."""

    sizes: WallSizes
    called: dict[str, str]


def cross_check(
    parts: Sequence[WallPart],
    judgement: Judgement,
    readings: Sequence[Reading],
    closings: Sequence[Closing],
    overrides: Sequence[Override] = (),
    limits: Limits = _USUAL_LIMITS,
    derived: Sequence[Derived] = (),
) -> CrossCheck:
    """Put the judgement of an alcove together wall by wall.

    A closure belongs to the wall that all its sizes are on; the others are across walls.
    """
    walls = []
    inside: set[str] = set()
    for part in parts:
        rows = tuple(
            _row(found, part, judgement, readings, overrides, limits)
            for found in judgement.dimensions
            if found.name in part.called
        )
        own = tuple(c for c in closings if all(name in part.called for name in c.sizes))
        inside.update(closing.name for closing in own)
        follows = tuple(found for found in derived if found.wall == part.sizes.wall)
        walls.append(CheckedWall(part.sizes, rows, own, follows))
    across = tuple(closing for closing in closings if closing.name not in inside)
    scale = judgement.print_scale
    return CrossCheck(tuple(walls), across, None if scale is None else scale.factor)


def _row(
    found: DimensionJudgement,
    part: WallPart,
    judgement: Judgement,
    readings: Sequence[Reading],
    overrides: Sequence[Override],
    limits: Limits,
) -> CheckedSize:
    own = [reading for reading in readings if reading.dimension == found.name]
    standing = effective_readings(own)
    return CheckedSize(
        name=part.called[found.name],
        size=next((size for size in part.sizes.sizes if size.name == found.name), None),
        status=found.status,
        checked=found.checked,
        photo=found.photo,
        tape=found.tape,
        expected=found.expected,
        best=found.best,
        readings=tuple(_said(reading) for reading in standing),
        holds=why_shut(found, judgement, limits) or "",
        suspect=found.suspect.text if found.suspect is not None else "",
        done=(*_taken_again(own), *_overridden(found.name, overrides)),
    )


def _taken_again(own: Sequence[Reading]) -> list[str]:
    by_id = {reading.id: reading for reading in own}
    return [
        f"{_said(by_id[reading.replaces])} was taken again: {_said(reading)}"
        for reading in own
        if reading.replaces in by_id
    ]


def _overridden(name: str, overrides: Sequence[Override]) -> list[str]:
    return [
        f"overridden by {override.who}: {override.reason}"
        for override in overrides
        if override.dimension == name
    ]


def _said(reading: Reading) -> str:
    text = reading.text or f"{reading.mm:.1f} mm"
    return f"{text} ({reading.who})" if reading.who else text
