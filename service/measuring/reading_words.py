"""How a suspect's words speak of readings: by what they are of, never by the ids they have."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from service.measuring.reading import Reading
from service.measuring.slips import Suspect


def in_words(
    suspect: Suspect, readings: Mapping[str, Reading], called: Mapping[str, str]
) -> Suspect:
    """The suspect with its text in words that need no list of readings.

    Only where the text names readings is it changed: an id may be a word, or a letter.

    Parameters
    ----------
    readings
        All readings by id.
    called
        What each dimension is called where the text is read.
    """
    rivals = ", ".join(suspect.rivals)
    rivals_said = ", ".join(_said(one, suspect, readings, called) for one in suspect.rivals)
    again = suspect.again or ""
    again_said = _said(again, suspect, readings, called)
    text = suspect.text
    for form, named, said in (
        ("this one or {}: ", rivals, rivals_said),
        ("contradicts {} and nothing tells", rivals, rivals_said),
        ("contradicts {}, the likelier one", again, again_said),
        ("ake {} again", again, again_said),
    ):
        text = text.replace(form.format(named), form.format(said), 1)
    return replace(suspect, text=_box_called(text, called))


def reading_text(reading: Reading) -> str:
    """As written, else in mm."""
    return reading.text or f"{reading.mm:.1f} mm"


def _box_called(text: str, called: Mapping[str, str]) -> str:
    """The box that a value is suspected to belong to, as it is called here."""
    for judged, name in called.items():
        if text.endswith(f"It reads like {judged}"):
            return f"{text.removesuffix(judged)}{name}"
    return text


def _said(
    reading_id: str, suspect: Suspect, readings: Mapping[str, Reading], called: Mapping[str, str]
) -> str:
    """One reading by its size; of several of one size by what it says as well."""
    reading, own = readings.get(reading_id), readings.get(suspect.reading)
    if reading is None or own is None:
        return reading_id
    if reading is own:
        return "this one"
    if reading.dimension == own.dimension:
        return f"the {reading_text(reading)}"
    name = called.get(reading.dimension, reading.dimension)
    beside = [one for one in readings.values() if one.dimension == reading.dimension]
    return name if len(_standing(beside)) < 2 else f"{name} ({reading_text(reading)})"


def _standing(readings: Sequence[Reading]) -> list[Reading]:
    replaced = {reading.replaces for reading in readings}
    return [reading for reading in readings if reading.id not in replaced]
