"""What would make a photo, or the set of photos, worth more; explains, never gates."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from vision.measure_wall.finding_advice import findings_advice
from vision.measure_wall.request import WallRequest
from vision.measure_wall.sheets import checks_contradict
from vision.measure_wall.sight import Sight
from vision.measure_wall.wall import WallMeasurement
from vision.quality.advice import Advice

SHRUNK_LONG_PX: Final = 2600
"""Phones have long taken more than this; messengers send less."""


TELLING_NOTES: Final = ("too-small", "mostly-hidden", "same-serial-twice")
"""Notes worth telling even where another card was found; one cut off by the frame is not."""


def photo_advice(
    request: WallRequest, sights: Sequence[Sight], index: int, wall: WallMeasurement | None
) -> tuple[Advice, ...]:
    """Advice on one photo, the most pressing first; every code is documented."""
    sight = sights[index]
    if sight.refusal is not None:
        return (Advice(sight.refusal.code, f"{sight.refusal.text} {sight.refusal.do}"),)
    said = list(sight.advice)
    if not sight.cards:
        said.append(_no_card())
    said += [
        Advice(f"card-{note.code}", note.text)
        for note in sight.notes
        if not sight.cards or note.code in TELLING_NOTES
    ]
    if _looks_shrunk(sight):
        said.append(
            Advice(
                "ask-for-original",
                "The photo has been shrunk or stripped of its camera data. "
                "Ask for the original file.",
            )
        )
    said += _altered(sight)
    if wall is not None:
        said += _of_the_set(request, wall, sight, index)
    return tuple(said)


def _no_card() -> Advice:
    return Advice(
        "no-card-in-photo",
        "No card was found in this photo. Step closer, clear the view of the card, add light.",
    )


def _looks_shrunk(sight: Sight) -> bool:
    header = sight.header
    if header is None or header.altered == "screenshot":
        return False
    if header.altered == "resized":
        return True
    if header.focal_35mm_mm is not None:
        return False
    return max(header.width_px, header.height_px) < SHRUNK_LONG_PX


_ALTERED: Final = {
    "screenshot": (
        "screenshot",
        "This is a picture of a screen, so nothing is known of its lens and it counts for little. "
        "Send the photo itself.",
    ),
    "cropped": (
        "photo-cropped",
        "Part of this photo was cut off, so the middle of its lens is uncertain and it counts for "
        "less. Send the photo as it was taken.",
    ),
    "edited": (
        "photo-edited",
        "This photo was edited after it was taken, so it counts for less. Send it as it was taken.",
    ),
}


def _altered(sight: Sight) -> list[Advice]:
    kind = None if sight.header is None else sight.header.altered
    return [Advice(*_ALTERED[kind])] if kind in _ALTERED else []


def _of_the_set(
    request: WallRequest, wall: WallMeasurement, sight: Sight, index: int
) -> list[Advice]:
    said = []
    if index in wall.repeated:
        first = request.photos[wall.repeated[index]].name
        text = f"This is the same photo as {first}, so it counts once. Take another one."
        said.append(Advice("same-photo", text))
    elif index in wall.not_tied:
        said.append(
            Advice(
                "not-tied",
                "Nothing ties this photo to the others, so it was left out. Take one that shows "
                "a card, or at least four marks that other photos show too.",
            )
        )
    elif len(wall.used_photos) == 1:
        said.append(
            Advice(
                "one-viewpoint",
                "Only one photo of this wall is used. A second from another place, turned 15° to "
                "45° to the wall, would narrow every interval.",
            )
        )
    said += _nominal_sizes(request, request.photos[index].name)
    found = findings_advice(wall, index)
    told = any(item.code == "profile-disagrees" for item in found)
    if index in wall.used_photos and wall.profile_disagrees(index) and not told:
        said.append(
            Advice(
                "profile-disagrees",
                "This photo does not fit the lens profile of its phone. Make the profile anew, and "
                "turn off zoom and lens correction that was not on then.",
            )
        )
    said += found
    checked = {card.serial for card in request.cards if {c.axis for c in card.checks} == {"x", "y"}}
    jobs = {card.print_job for card in request.cards if card.serial in checked}
    job_of = {card.serial: card.print_job for card in request.cards}
    others = wall.other_walls[index]
    for serial in sorted(others):
        text = f"Card {serial} hangs on another wall, so it was not used here."
        said.append(Advice("card-on-another-wall", text))
    for card in (card for card in sight.cards if card.serial not in others):
        job = job_of.get(card.serial)
        if job is not None and checks_contradict([c for c in request.cards if c.print_job == job]):
            text = (
                f"The ruler checks of the cards of print {job!r} do not agree, so each was taken "
                "by its own alone. Lay the ruler on them again, or name their prints apart."
            )
            said.append(Advice("card-other-print", text))
        if card.serial not in checked and (job is None or job not in jobs):
            said.append(
                Advice(
                    "print-unchecked",
                    f"Card {card.serial} was not checked with a ruler. Lay one along both check "
                    "bars: it is the largest part of every photo size's uncertainty. If the page "
                    "was fitted to the paper, sizes are 3 to 6 % off, more than is stated.",
                )
            )
    return said


def _nominal_sizes(request: WallRequest, photo: str) -> list[Advice]:
    return [
        Advice(
            "nominal-size-left-out",
            f"The size of {rectangle.name} is only its name, which may be 3 % off, so it was left "
            "out and the sizes rest on the rest. Tape it, best over several tiles, and give that.",
        )
        for rectangle in request.rectangles
        if rectangle.is_nominal and photo in {*rectangle.corners_px, *rectangle.edges_px}
    ]
