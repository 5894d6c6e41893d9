"""Locked revisions of a sheet, and what a later change re-opens.

A released sheet is locked as revision A, B, ...: what it was cut by is kept with a fingerprint.
Later facts are held against it; only a sheet whose own facts changed is open again, and it is said
what changed.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Final

from service.measuring.field_truth import Evidence
from service.measuring.release.facts import is_named
from service.measuring.release.sealed import (
    closing_lines,
    cut_lines,
    lies_beside,
    other_people,
    people_lines,
    people_of,
)
from service.measuring.release.sheet import SheetState
from service.measuring.release.size import ProvedSize, exact_text

_LETTERS: Final = "ABCDEFGHJKLMNPQRSTUVWXYZ"
_SIZE: Final = "size "
SAME_MM: Final = 25.4 / 64
"""A size that moved by less is the same size: another reading elsewhere moves each best value by
a hair, and nobody cuts to it."""


class NotReleasable(ValueError):
    """A sheet that is held back cannot be locked; the message says by what."""


@dataclass(frozen=True, slots=True)
class Revision:
    """One sheet as it was released.

    Attributes
    ----------
    letter
        A, B, ... Z, AA, ...
    content
        All that it hangs on, and who answers for it, as text by name, in a fixed order.
    fingerprint
        SHA-256 of sheet, letter and content, which holds a hash of all the rest.
    sizes_mm
        The sizes alone, by name.
    evidence
        What its photos and its tape said then; None where that was not kept.
    """

    sheet: str
    letter: str
    content: Mapping[str, str]
    fingerprint: str
    who: str
    at: str
    sizes_mm: Mapping[str, float]
    evidence: Evidence | None = None


@dataclass(frozen=True, slots=True)
class Change:
    """One thing that is no longer as it was locked; None where it was not there, or is gone."""

    what: str
    was: str | None
    now: str | None

    @property
    def text(self) -> str:
        if self.was is None:
            return f"{self.what}: new, {self.now}"
        if self.now is None:
            gone = "does not count any more" if self.what.startswith(_SIZE) else "is gone"
            return f"{self.what}: was {self.was}, {gone}"
        return f"{self.what}: was {self.was}, now {self.now}"


def lock(
    state: SheetState,
    earlier: Sequence[Revision],
    who: str,
    at: str,
    evidence: Evidence | None = None,
) -> Revision:
    """The next revision of a sheet.

    Raises
    ------
    NotReleasable
        If something holds the sheet back, or nobody is named who releases it.
    """
    if not is_named(who):
        raise NotReleasable(f"{state.needs.sheet}: expected the name of the one who releases it")
    if not state.may_be_released:
        reasons = "; ".join(f"{held.what}: {held.why}" for held in state.held) or "no size yet"
        raise NotReleasable(f"{state.needs.sheet}: expected nothing to hold it, but {reasons}")
    own = [revision for revision in earlier if revision.sheet == state.needs.sheet]
    letter = next_letter(own[-1].letter) if own else "A"
    content = content_of(state)
    sizes = MappingProxyType({size.name: size.mm for size in state.proved})
    content |= people_of(state) | closing_lines(who, at, sizes, evidence)
    mark = fingerprint(state.needs.sheet, letter, content)
    return Revision(
        state.needs.sheet, letter, MappingProxyType(content), mark, who, at, sizes, evidence
    )


def changes_since(revision: Revision, state: SheetState) -> tuple[Change, ...]:
    """What of the sheet is not as it was locked; empty while the revision holds."""
    now = content_of(state)
    for size in state.proved:
        was_mm = revision.sizes_mm.get(size.name)
        if was_mm is not None and abs(was_mm - size.mm) <= SAME_MM:
            now[_size_key(size.name)] = _size_text(replace(size, mm=was_mm))
    changed = _changes(cut_lines(revision.content), now)
    told = {change.what for change in changed}
    same = [size for size in state.proved if _size_key(size.name) not in told]
    others = other_people(revision.content, replace(state, proved=tuple(same)))
    return (*changed, *(Change(*other) for other in others))


def changes_between(earlier: Revision, later: Revision) -> tuple[Change, ...]:
    """What one revision of a sheet has otherwise than the one before it."""
    people = _changes(people_lines(earlier.content), people_lines(later.content))
    kept = people if people_lines(earlier.content) else ()
    return (*_changes(cut_lines(earlier.content), _as_before(earlier, later)), *kept)


def _as_before(earlier: Revision, later: Revision) -> dict[str, str]:
    """What the later one is cut by, a size that is the same one told as it was."""
    lines = dict(cut_lines(later.content))
    for name, mm in later.sizes_mm.items():
        was_mm, key = earlier.sizes_mm.get(name), _size_key(name)
        if key in lines and was_mm is not None and abs(was_mm - mm) <= SAME_MM:
            lines[key] = lines[key].replace(exact_text(mm), exact_text(was_mm), 1)
    return lines


def is_intact(revision: Revision) -> bool:
    """Whether the revision is what its fingerprint was made of, and so is what lies beside it."""
    mark = fingerprint(revision.sheet, revision.letter, revision.content)
    return mark == revision.fingerprint and lies_beside(
        revision.content, revision.who, revision.at, revision.sizes_mm, revision.evidence
    )


def content_of(state: SheetState) -> dict[str, str]:
    """All that a sheet is cut by, as text: its sizes with their proofs, what was looked at, its
    facts, what holds it."""
    content = {}
    for size in state.proved:
        content[_size_key(size.name)] = _size_text(size)
    for what, value in state.needs.looks.items():
        content[str(what)] = value
    content.update(state.needs.facts)
    content.update({f"not proved: {held.what}": held.why for held in state.held})
    return content


def mark_of(state: SheetState) -> str:
    """SHA-256 of a sheet as its papers show it: of another sheet it is another. Figures of its
    sizes that no paper shows, and what holds it, are left out."""
    lines = {size.name: f"{size.proof}, {size.note}" for size in state.proved}
    lines |= {str(what): value for what, value in state.needs.looks.items()}
    return fingerprint(state.needs.sheet, "", lines | dict(state.needs.facts))


def fingerprint(sheet: str, letter: str, content: Mapping[str, str]) -> str:
    """SHA-256 over the content, whatever order it is kept in."""
    text = json.dumps([sheet, letter, sorted(content.items())], ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()


def next_letter(letter: str) -> str:
    """A, B, ... Z, AA, AB, ... without I and O, which are read as figures.

    ASME Y14.35 leaves these out as well, and Q, S, X and Z besides (from memory).

    Examples
    --------
    >>> next_letter("A"), next_letter("H"), next_letter("Z"), next_letter("AZ")
    ('B', 'J', 'AA', 'BA')
    """
    if not letter or any(one not in _LETTERS for one in letter):
        raise ValueError(f"revision {letter!r}: expected capital letters without I and O")
    kept = letter.rstrip(_LETTERS[-1])
    turned = _LETTERS[0] * (len(letter) - len(kept))
    if not kept:
        return _LETTERS[0] + turned
    return kept[:-1] + _LETTERS[_LETTERS.index(kept[-1]) + 1] + turned


def newest_letter(letters: Iterable[str]) -> str:
    """The newest of the letters that sheets were locked under; a dash before the first."""
    return max(filter(None, letters), key=lambda letter: (len(letter), letter), default="–")


def _changes(was: Mapping[str, str], now: Mapping[str, str]) -> tuple[Change, ...]:
    names = [*was, *(name for name in now if name not in was)]
    found = (Change(name, was.get(name), now.get(name)) for name in names)
    return tuple(change for change in found if change.was != change.now)


def _size_key(name: str) -> str:
    return f"{_SIZE}{name}"


def _size_text(size: ProvedSize) -> str:
    note = f", {size.note}" if size.note else ""
    return f"{exact_text(size.mm)}, {size.proof}{note}"
