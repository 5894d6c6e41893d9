"""Whether one sheet may be cut: every size that it needs is proved, or the reason why not."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import combinations

from service.measuring.gate import why_shut
from service.measuring.judgement import Judgement, Status
from service.measuring.limits import Limits
from service.measuring.reading import Reading, combine, effective_readings
from service.measuring.release.facts import NothingChecks, Override, SecondLook, SheetNeeds

_USUAL_LIMITS = Limits()


class Proof(StrEnum):
    """What stands behind a size that may be cut by."""

    CHECKED = "checked"
    """A tape that agrees with a check that would have shown a slip."""
    TAPED_TWICE = "taped twice"
    """By another person or another method, and the two agree."""
    OVERRIDE = "override"
    """In conflict, and someone other than the taper lets it stand."""


@dataclass(frozen=True, slots=True)
class ProvedSize:
    """A size that may be cut by, mm; ``note`` prints wherever the size does."""

    name: str
    mm: float
    u_mm: float
    proof: Proof
    note: str = ""


@dataclass(frozen=True, slots=True)
class Held:
    """One thing that keeps a sheet from the saw, and what would let it go."""

    what: str
    why: str
    do: str


@dataclass(frozen=True, slots=True)
class SheetState:
    """How one sheet stands."""

    needs: SheetNeeds
    proved: tuple[ProvedSize, ...]
    held: tuple[Held, ...]

    @property
    def may_be_released(self) -> bool:
        """Whether nothing holds it; a sheet that needs no size is not made yet."""
        return bool(self.needs.sizes) and not self.held


def sheet_state(
    needs: SheetNeeds,
    judgement: Judgement,
    readings: Sequence[Reading],
    overrides: Sequence[Override] = (),
    looks: Sequence[SecondLook] = (),
    limits: Limits = _USUAL_LIMITS,
) -> SheetState:
    """Judge one sheet; other sheets of the same alcove may stand otherwise.

    Raises
    ------
    KeyError
        If the sheet needs a size that was not judged.
    """
    standing = effective_readings(readings)
    known = {found.name for found in judgement.dimensions}
    proved: list[ProvedSize] = []
    held: list[Held] = []
    for name in needs.sizes:
        if name not in known:
            raise KeyError(f"size {name!r}: expected one that was judged")
        own = [reading for reading in standing if reading.dimension == name]
        found = _size(name, judgement, own, overrides, limits)
        if isinstance(found, Held):
            held.append(found)
        else:
            proved.append(found)
    held += [held_look for what in needs.looks if (held_look := _look(what, looks)) is not None]
    return SheetState(needs, tuple(proved), tuple(held))


def taped_twice(readings: Sequence[Reading], limits: Limits = _USUAL_LIMITS) -> list[Reading]:
    """Readings of one size by two persons or two methods that agree; empty if there are none.

    A person or tape that nobody told is not another one.
    """
    for one, other in combinations(readings, 2):
        if _independent(one, other):
            big_u = 2 * math.hypot(one.uncertainty.u_mm, other.uncertainty.u_mm)
            if abs(one.mm - other.mm) <= limits.agree_en * big_u:
                return [one, other]
    return []


def _size(
    name: str,
    judgement: Judgement,
    own: Sequence[Reading],
    overrides: Sequence[Override],
    limits: Limits,
) -> ProvedSize | Held:
    dimension = judgement.dimension(name)
    why = why_shut(dimension, judgement, limits)
    if why is None and dimension.best is not None:
        best = dimension.best
        return ProvedSize(name, abs(best.mm), best.u_mm, Proof.CHECKED)
    why = why or "has no value"
    in_conflict = dimension.status is Status.CONFLICTS or any(
        found.clashes_with for found in judgement.readings if found.dimension == name
    )
    if not in_conflict and (twice := taped_twice(own, limits)):
        together = combine(twice)
        note = _how_twice(*twice)
        return ProvedSize(name, together.mm, together.u_mm, Proof.TAPED_TWICE, note)
    if in_conflict:
        return _overridden(name, why, own, overrides)
    do = "tape it" if not own else "tape it again, by another person or another method"
    return Held(name, why, do)


def _overridden(
    name: str, why: str, own: Sequence[Reading], overrides: Sequence[Override]
) -> ProvedSize | Held:
    """A conflict is resolved by a re-taping, or by a named person other than the taper."""
    do = "tape it again, or let someone other than the taper override it with a reason"
    given = [override for override in overrides if override.dimension == name]
    if not given:
        return Held(name, why, do)
    override = given[-1]
    reading = next((r for r in own if r.id == override.reading), None)
    if reading is None:
        return Held(name, "overridden for a reading that no longer stands", do)
    if reading.who is None:
        return Held(name, "overridden, but nobody told who taped it", "tell who taped it")
    if not override.who.strip() or _same(override.who, reading.who):
        return Held(name, "overridden by the one who taped it", "let someone else override it")
    if not override.reason.strip():
        return Held(name, "overridden without a reason", "give the reason; it is printed")
    note = f"override by {override.who}: {override.reason}"
    return ProvedSize(name, reading.mm, reading.uncertainty.u_mm, Proof.OVERRIDE, note)


def _look(what: NothingChecks, looks: Sequence[SecondLook]) -> Held | None:
    own = [look for look in looks if look.what is what]
    for look in own:
        if look.photo:
            return None
        if look.first and look.second and not _same(look.first, look.second):
            return None
    do = "let a second person confirm it, or take a photo with the tape in it"
    why = "confirmed by the one who stated it" if own else "nothing can check it"
    return Held(str(what), why, do)


def _independent(one: Reading, other: Reading) -> bool:
    if one.instrument.method is not other.instrument.method:
        return True
    return one.who is not None and other.who is not None and not _same(one.who, other.who)


def _how_twice(one: Reading, other: Reading) -> str:
    if one.who is not None and other.who is not None and not _same(one.who, other.who):
        return f"taped by {one.who} and {other.who}"
    return f"taped {one.instrument.method} and {other.instrument.method}"


def _same(one: str, other: str) -> bool:
    return one.strip().casefold() == other.strip().casefold()
