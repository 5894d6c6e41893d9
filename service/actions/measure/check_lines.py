"""What a cross-check comes to, line by line for a terminal."""

from __future__ import annotations

from collections.abc import Iterator

from service.actions.measure.check import CheckedFiles
from service.documents.pdf.faces import BOXED_DO, BOXED_WORDS
from service.lengths import inches_text
from service.measuring.cross_check import CrossCheck

_GIVE_THEM = "give their wall files too, for only another wall shows some slips"
_BY_ROLE = "listed by what sheets are usually cut by, not by the plan"


def check_lines(checked: CheckedFiles) -> Iterator[str]:
    """What is in doubt, what does not close, what to tape next, and the files written."""
    yield from _in_doubt(checked.found)
    if checked.unplanned is not None:
        yield from (checked.unplanned, _BY_ROLE)
    for wall, wanted in checked.to_tape.items():
        listed = {
            "take anew": wanted.anew,
            "tape next": wanted.first,
            "tape again, by another person or method": wanted.again,
        }
        for words, names in listed.items():
            if names:
                yield f"{wall} wall, {words}: {', '.join(names)}"
    if checked.beside:
        those = f"{' and '.join(checked.beside)} wall{'s' if len(checked.beside) > 1 else ''}"
        yield f"judged without the {those} of the plan: {_GIVE_THEM}"
    if checked.boxed:
        yield f"{checked.boxed} {BOXED_WORDS}; {BOXED_DO}"
    yield from map(str, checked.written)


def _in_doubt(found: CrossCheck) -> Iterator[str]:
    """Each reading in doubt with its wall and how it was read, and what does not close."""
    for wall in found.walls:
        for row in wall.rows:
            if row.suspect:
                read = "; ".join(row.readings)
                yield f"{wall.sizes.wall} wall, {row.name}, {read}: {row.suspect}"
    for closing in (*(c for wall in found.walls for c in wall.closings), *found.across):
        if closing.closes is False and closing.out_mm is not None:
            out = inches_text(abs(closing.out_mm), mark='"')
            yield f"does not close, {out} out: {closing.name}"
