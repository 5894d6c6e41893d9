"""What a locked revision holds beside what its sheet is cut by: who answers for it, and a hash of
what lies beside it.

They are lines of its content, so its fingerprint covers them. A revision that was locked before
they were kept has none of them: it is as intact as it was, and nothing is asked of them.
"""

from __future__ import annotations

import hashlib
import json
from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Final

from service.measuring.field_truth import Evidence
from service.measuring.release.sheet import SheetState

_TAPED: Final = "taped: "
_LOOKED: Final = "looked at: "
_RELEASED: Final = "released"
_BESIDE: Final = "hash of sizes, photos and tape"
_NEXT: Final = "; "


def people_of(state: SheetState) -> dict[str, str]:
    """Who taped each size of a sheet, and who looked at what nothing checks."""
    taped = {f"{_TAPED}{size.name}": _NEXT.join(size.taped) for size in state.proved}
    looked = {f"{_LOOKED}{look.what}": look.words for look in state.looked}
    return taped | looked


def closing_lines(
    who: str, at: str, sizes_mm: Mapping[str, float], evidence: Evidence | None
) -> dict[str, str]:
    """Who released it and when, and the hash of what is kept beside the content."""
    return {_RELEASED: _released(who, at), _BESIDE: _hash(sizes_mm, evidence)}


def lies_beside(
    content: Mapping[str, str],
    who: str,
    at: str,
    sizes_mm: Mapping[str, float],
    evidence: Evidence | None,
) -> bool:
    """Whether what is kept beside a content is what it was closed with; true of one without."""
    if _BESIDE not in content:
        return True
    closed = closing_lines(who, at, sizes_mm, evidence)
    return all(content.get(name) == text for name, text in closed.items())


def cut_lines(content: Mapping[str, str]) -> dict[str, str]:
    """The content without who answers for it: what the sheet is cut by."""
    return {
        name: text
        for name, text in content.items()
        if name not in (_RELEASED, _BESIDE) and not name.startswith((_TAPED, _LOOKED))
    }


def people_lines(content: Mapping[str, str]) -> dict[str, str]:
    """Of the content who taped and who looked."""
    return {name: text for name, text in content.items() if name.startswith((_TAPED, _LOOKED))}


def other_people(
    content: Mapping[str, str], state: SheetState
) -> Iterator[tuple[str, str, str | None]]:
    """Who answered for the sheet when it was locked and is not told any more: line, was, now.

    A reading is never changed, so each that stood then still stands or was taken again; who came
    to it since changes nothing, nor does another pair of eyes. What holds the sheet, a size that
    is not proved any more or what nobody looks at, is told elsewhere.
    """
    for size in state.proved:
        name = f"{_TAPED}{size.name}"
        known = _NEXT.join((*size.taped, *size.corrected))
        if name in content and _parts(content[name]) - _parts(known):
            yield name, content[name], _NEXT.join(size.taped) or None
    for what in state.needs.looks:
        name = f"{_LOOKED}{what}"
        now = [look.words for look in state.looked if look.what is what]
        if name in content and now and content[name] not in now:
            yield name, content[name], now[-1]


def _parts(text: str) -> Counter[str]:
    return Counter(text.split(_NEXT))


def _released(who: str, at: str) -> str:
    return f"by {who}, {at}"


def _hash(sizes_mm: Mapping[str, float], evidence: Evidence | None) -> str:
    """SHA-256 of the figures as exact floats, whatever order they are kept in."""
    sizes = sorted((name, float(mm)) for name, mm in sizes_mm.items())
    said = None if evidence is None else [evidence.phone, sorted(_figures(evidence))]
    text = json.dumps([sizes, said], ensure_ascii=False)
    return f"SHA-256 {hashlib.sha256(text.encode()).hexdigest()}"


def _figures(evidence: Evidence) -> Iterator[tuple[str, list[float]]]:
    for name, both in evidence.sizes.items():
        yield name, [float(figure) for one in both for figure in (one.mm, one.u_mm)]
