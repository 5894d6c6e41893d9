"""Whether one size may be cut by: checked, taped twice, overridden, or the reason why not."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import combinations
from typing import Final

from service.lengths import inches_text
from service.measuring.limits import Limits
from service.measuring.reading import Reading
from service.measuring.release.facts import NOBODY, Override, is_named, same_person
from service.measuring.release.judged import JudgedReading, JudgedSize, JudgedWall

_USUAL_LIMITS = Limits()
_MM_PLACES: Final = 3
_IN_FULL: Final = "; if they are two people, type both names in full"
_OF_STATUS: Final = {
    "photo only": "not taped",
    "tape only": "nothing checks its tape reading",
    "unsure": "unsure: take this reading again",
    "conflicts": "conflicts with the photos or with other readings",
}


class Proof(StrEnum):
    """What stands behind a size that may be cut by."""

    CHECKED = "checked"
    """A tape that agrees with a check that would have shown a slip."""
    TAPED_TWICE = "taped twice"
    """By another person or another method, and they agree."""
    OVERRIDE = "override"
    """In conflict, and someone other than the taper lets it stand."""


@dataclass(frozen=True, slots=True)
class ProvedSize:
    """A size that may be cut by, mm.

    Attributes
    ----------
    note
        What prints wherever the size does.
    taped, corrected
        Its readings in words, each with who took it: those that stand, and those that were taken
        again since.
    """

    name: str
    mm: float
    u_mm: float
    proof: Proof
    note: str = ""
    taped: tuple[str, ...] = ()
    corrected: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Held:
    """One thing that keeps a sheet from the saw, and what would let it go."""

    what: str
    why: str
    do: str


def size_proof(
    size: JudgedSize,
    wall: JudgedWall,
    overrides: Sequence[Override] = (),
    limits: Limits = _USUAL_LIMITS,
) -> ProvedSize | Held:
    """What proves one size of a wall, or what holds it; other sizes of the wall may be held."""
    found = _proof(size, wall, overrides, limits)
    if isinstance(found, Held):
        return found
    own = [reading for reading in wall.readings if reading.dimension == size.name]
    return replace(
        found,
        taped=tuple(_by_whom(reading) for reading in own if reading.stands),
        corrected=tuple(_by_whom(reading) for reading in own if not reading.stands),
    )


def _proof(
    size: JudgedSize, wall: JudgedWall, overrides: Sequence[Override], limits: Limits
) -> ProvedSize | Held:
    why = why_held(size, wall, limits)
    if not why and size.best_mm is not None:
        return ProvedSize(size.name, abs(size.best_mm), size.best_u_mm or 0.0, Proof.CHECKED)
    own = wall.of_size(size.name)
    if size.status == "conflicts" or any(reading.clashes_with for reading in own):
        taken = [reading for reading in wall.readings if reading.dimension == size.name]
        return _overridden(size.name, why, taken, overrides)
    twice = taped_twice(own, limits)
    if twice and size.tape_mm is not None:
        u_mm = size.tape_u_mm or min(reading.u_mm for reading in twice)
        note = _how_twice(*twice)
        return ProvedSize(size.name, abs(size.tape_mm), u_mm, Proof.TAPED_TWICE, note)
    if size.tape_mm is None:
        return Held(size.name, why, "tape it")
    if twice_and_agreed(own, limits):
        slip = inches_text(limits.slip_mm, 64)
        why = f"taped twice, but too roughly to show a {slip} in slip"
    return Held(size.name, why, "tape it again, by another person or another method")


def why_held(size: JudgedSize, wall: JudgedWall, limits: Limits = _USUAL_LIMITS) -> str:
    """Why the check of this size is not enough; empty when it agrees and is checked."""
    own = _by_figures(size, limits)
    if own:
        return own
    known = {found.name for found in wall.sizes}
    for name, why in wall.blocking:
        if name == size.name:
            return why
        if name not in known:  # said of something that is not there: of the whole report
            return f"{wall.name} is held by {name!r}: {why}"
    return ""


def taped_twice(
    readings: Sequence[JudgedReading], limits: Limits = _USUAL_LIMITS
) -> tuple[JudgedReading, JudgedReading] | None:
    """Readings of one size by two persons or two methods, where all its readings agree.

    A person or tape that nobody told is not another one, and readings that would agree though one
    of them was a whole slip out prove nothing.
    """
    pairs = twice_and_agreed(readings, limits)
    return next((pair for pair in pairs if _u_of_both(*pair, limits) <= limits.slip_mm), None)


def twice_and_agreed(
    readings: Sequence[JudgedReading], limits: Limits = _USUAL_LIMITS
) -> list[tuple[JudgedReading, JudgedReading]]:
    """Pairs by two persons or two methods, sharp or not; none where any two do not agree."""
    known = [reading for reading in readings if reading.mm is not None]
    pairs = list(combinations(known, 2))
    if len(known) < len(readings) or not all(_agree(*pair, limits) for pair in pairs):
        return []
    return [pair for pair in pairs if _independent(*pair)]


def as_taken(reading: Reading) -> JudgedReading:
    """A reading as the rules of release take it, before anything judged it."""
    return JudgedReading(
        reading.id,
        "",
        reading.uncertainty.u_mm,
        reading.dimension,
        reading.mm,
        reading.who,
        reading.instrument.method,
    )


def _by_figures(size: JudgedSize, limits: Limits) -> str:
    if size.status != "agrees":
        return _OF_STATUS.get(size.status, f"status {size.status!r} is not known")
    if size.tape_mm is None or size.best_mm is None:
        return "said to agree, but there is no tape reading"
    if size.en is None or not abs(size.en) <= limits.agree_en:
        return "said to agree, but its E_n is not within 1"
    if size.mdb_mm is None or not size.mdb_mm <= limits.slip_mm:
        return "agrees with a check too vague to catch a slip"
    return "" if size.checked else "agrees, but is not marked as checked"


def _overridden(
    name: str, why: str, own: Sequence[JudgedReading], overrides: Sequence[Override]
) -> ProvedSize | Held:
    """A conflict is resolved by a re-taping, or by a named person other than the taper."""
    why = why or "its readings contradict one another"
    do = "tape it again, or let someone other than the taper override it with a reason"
    given = [override for override in overrides if override.dimension == name]
    if not given:
        return Held(name, why, do)
    override = given[-1]
    reading = next((r for r in own if r.id == override.reading), None)
    refused = override_refused(override, own)
    if refused is not None or reading is None or reading.mm is None:
        said, remedy = refused or ("overridden, but its reading has no value", do)
        return Held(name, said, remedy)
    note = f"override by {override.who}: {override.reason}"
    return ProvedSize(name, reading.mm, reading.u_mm, Proof.OVERRIDE, note)


def override_refused(override: Override, own: Sequence[JudgedReading]) -> tuple[str, str] | None:
    """Why an override does not count and what to do, or None if it does.

    Whoever taped the size is none to let it stand, be it by the reading of another: two who read
    the same wrongly would do it for one another.

    Parameters
    ----------
    own
        All readings of the size, those that were taken again among them.
    """
    reading = next((r for r in own if r.id == override.reading), None)
    if reading is None or not reading.stands:
        return "overridden for a reading that no longer stands", "override the one that stands"
    if reading.who is None or not is_named(reading.who):
        return "overridden, but nobody told who taped it", "tell who taped it"
    if not is_named(override.who):
        return "overridden by nobody known", "give the name of the one who lets it stand"
    tapers = (one.who for one in own if one.who is not None and is_named(one.who))
    if any(same_person(override.who, taper) for taper in tapers):
        return "overridden by the one who taped it", f"let someone else override it{_IN_FULL}"
    if not any(one.isalnum() for one in override.reason):
        return "overridden without a reason", "give the reason; it is printed"
    return None


def _agree(one: JudgedReading, other: JudgedReading, limits: Limits) -> bool:
    return abs((one.mm or 0.0) - (other.mm or 0.0)) <= _u_of_both(one, other, limits)


def _u_of_both(one: JudgedReading, other: JudgedReading, limits: Limits) -> float:
    """How far apart two readings may be and still agree, mm (ISO 13528, U = 2u)."""
    return limits.agree_en * 2 * math.hypot(one.u_mm, other.u_mm)


def _independent(one: JudgedReading, other: JudgedReading) -> bool:
    return _by_two(one, other) or (
        one.method is not None and other.method is not None and one.method != other.method
    )


def _by_two(one: JudgedReading, other: JudgedReading) -> bool:
    return one.who is not None and other.who is not None and not same_person(one.who, other.who)


def _how_twice(one: JudgedReading, other: JudgedReading) -> str:
    if _by_two(one, other):
        return f"taped by {one.who} and {other.who}"
    return f"taped {one.method} and {other.method}"


def _by_whom(reading: JudgedReading) -> str:
    """A reading in words, to the figure, with who took it and how."""
    length = "no value" if reading.mm is None else exact_text(reading.mm)
    told = [f"by {reading.who or NOBODY}", *([reading.method] if reading.method else [])]
    return f"{length} {', '.join(told)}"


def exact_text(mm: float) -> str:
    """A size as it is kept with a revision: in inches, and in mm to the figure.

    Examples
    --------
    >>> exact_text(25.4)
    '1" (25.400 mm)'
    """
    return f'{inches_text(mm, 64)}" ({mm:.{_MM_PLACES}f} mm)'
