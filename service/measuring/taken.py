"""What was taken of each size, and what took its place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from service.measuring.reading import Reading
from service.measuring.reading_words import reading_text


@dataclass(frozen=True, slots=True)
class Taken:
    """All readings by id, those that stand, and what each dimension is called where it is told."""

    by_id: Mapping[str, Reading]
    stand: frozenset[str]
    called: Mapping[str, str]

    def of(self, name: str) -> list[Reading]:
        """Every reading of a size, replaced ones among them."""
        return [reading for reading in self.by_id.values() if reading.dimension == name]

    def standing(self, name: str) -> list[Reading]:
        """Those that no other took the place of."""
        return [reading for reading in self.of(name) if reading.id in self.stand]

    def again(self, name: str) -> list[str]:
        """Those that another of the same size took the place of, in words."""
        return [
            f"{reading_said(older)} was taken again: {reading_said(reading, how=True)}"
            for reading in self.of(name)
            if (older := self._replaced_by(reading)) is not None and older.dimension == name
        ]

    def moved(self, name: str) -> list[str]:
        """Those that were taken back, for they are of another size, in words."""
        return [
            f"{reading_said(older)} was taken back: it is {reading_said(reading, how=True)} of "
            f"{self.called.get(reading.dimension, reading.dimension)}"
            for reading in self.by_id.values()
            if (older := self._replaced_by(reading)) is not None
            and older.dimension == name != reading.dimension
        ]

    def _replaced_by(self, reading: Reading) -> Reading | None:
        return None if reading.replaces is None else self.by_id.get(reading.replaces)


def reading_said(reading: Reading, *, how: bool = False) -> str:
    """As written, by whom; where it is told, how and when as well."""
    text = reading_text(reading)
    method = reading.instrument.method if how else None
    at = (reading.at or "")[:16].replace("T", " ") if how else None  # to the minute
    told = [part for part in (reading.who, method, at) if part]
    return f"{text} ({', '.join(told)})" if told else text
