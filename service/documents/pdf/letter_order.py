"""Words as they are set on paper, where letters are drawn one by one from the left.

Hebrew and Arabic names stand in sentences that run from left to right. Their letters are put in
the order in which they are seen, Arabic ones in the form that joins them to their neighbours
(Unicode presentation forms, from the standard library's own tables). It is less than the
bidirectional algorithm (Unicode Standard Annex 9) on purpose: digits never change places, whatever
name stands beside them, so that no size is read backwards.
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache
from typing import Final

_RIGHT_TO_LEFT: Final = ("R", "AL")
_NOT_PRINTED: Final = ("Cc", "Cf")
_MIRRORED: Final = dict(zip("()[]{}<>«»", ")(][}{><»«", strict=True))
_TATWEEL: Final = "\u0640"
_FORMS: Final = ((0xFB50, 0xFDFC), (0xFE70, 0xFEFD))
"""Arabic presentation forms A and B."""

Form = dict[str, str]


def as_set(words: str) -> str:
    """The letters from left to right; accents composed, marks that only steer a screen left out."""
    if words.isascii() and words.isprintable():
        return words
    kept = "".join(
        " " if letter.isspace() else letter
        for letter in unicodedata.normalize("NFC", words)
        if letter.isspace() or unicodedata.category(letter) not in _NOT_PRINTED
    )
    if not any(_runs_left(letter) for letter in kept):
        return kept
    return "".join(_turned(_joined(run)) if _runs_left(run[0]) else run for run in _runs(kept))


def _runs(words: str) -> list[str]:
    """Pieces of one direction; what stands between two letters that run left goes with them."""
    kinds = "".join(
        "r" if _runs_left(letter)
        else "m" if unicodedata.category(letter) == "Mn"
        else "l" if letter.isalnum()
        else "n"
        for letter in words
    )  # fmt: skip
    pieces, done = [], 0
    for found in re.finditer(r"r(?:[rmn]*[rm])?", kinds):
        pieces += [words[done : found.start()], words[found.start() : found.end()]]
        done = found.end()
    return [piece for piece in (*pieces, words[done:]) if piece]


def _turned(run: str) -> str:
    """Last letter first, each with the marks that belong to it; brackets open the other way."""
    clusters: list[str] = []
    for letter in run:
        if clusters and unicodedata.category(letter) == "Mn":
            clusters[-1] += letter
        else:
            clusters.append(_MIRRORED.get(letter, letter))
    return "".join(reversed(clusters))


def _joined(run: str) -> str:
    """Each Arabic letter in the form that its neighbours ask for; lam with alef as one letter."""
    letters = [i for i, letter in enumerate(run) if unicodedata.category(letter) != "Mn"]
    shaped = list(run)
    for place, i in enumerate(letters):
        before = run[letters[place - 1]] if place else ""
        after = run[letters[place + 1]] if place + 1 < len(letters) else ""
        if not shaped[i]:
            continue
        joins = _joins_on(before) and _joins_back(run[i])
        pair = _forms().get(run[i] + after)
        if pair and after:
            shaped[i], shaped[letters[place + 1]] = pair["final" if joins else "isolated"], ""
            continue
        goes_on = _joins_on(run[i]) and _joins_back(after)
        kind = {(0, 0): "isolated", (1, 0): "final", (0, 1): "initial", (1, 1): "medial"}
        forms = _forms().get(run[i], {})
        shaped[i] = forms.get(kind[joins, goes_on], run[i])
    return "".join(shaped)


def _runs_left(letter: str) -> bool:
    return unicodedata.bidirectional(letter) in _RIGHT_TO_LEFT


def _joins_on(letter: str) -> bool:
    """Whether it joins to the letter after it."""
    return letter == _TATWEEL or "initial" in _forms().get(letter, {})


def _joins_back(letter: str) -> bool:
    return letter == _TATWEEL or "final" in _forms().get(letter, {})


@cache
def _forms() -> dict[str, Form]:
    """Presentation forms by the letter, or the two letters, that they stand for."""
    found: dict[str, Form] = {}
    for first, last in _FORMS:
        for code in range(first, last):
            kind, *codes = unicodedata.decomposition(chr(code)).split() or [""]
            plain = "".join(chr(int(one, 16)) for one in codes)
            if kind.strip("<>") in ("isolated", "final", "initial", "medial") and _is_wanted(plain):
                found.setdefault(plain, {})[kind.strip("<>")] = chr(code)
    return found


def _is_wanted(plain: str) -> bool:
    """Single letters, and the one pair that is always written as one: lam with an alef."""
    return len(plain) == 1 or (len(plain) == 2 and plain[0] == "\u0644" and plain[1] in "آأإا")
