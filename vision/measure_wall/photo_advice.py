"""What would make a photo, or the set of photos, worth more; explains, never gates."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from vision.measure_wall.request import WallRequest
from vision.measure_wall.sight import Sight
from vision.measure_wall.vetting import SetAside
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


_LINES: Final = {
    "line-point": (
        "line-point-set-aside",
        "A point of the line {name!r} lies beside it, so it was left out: set it again.",
    ),
    "edge-point": (
        "edge-point-set-aside",
        "A point of an edge of {name!r} lies beside it, so it was left out: set it again.",
    ),
    "bent": (
        "line-bent",
        "The line {name!r} is less straight than stated, so it counts for less. Was it followed "
        "along one and the same edge?",
    ),
    "direction": (
        "line-off-direction",
        "The line {name!r} is not level or plumb as stated, so that was left out: put a level on "
        "it.",
    ),
    "plumb": (
        "plumb-off",
        "The plumb line at {name!r} is not square to the level line, so it was left out: set its "
        "marks again, or the level line's.",
    ),
}


def _findings_in(wall: WallMeasurement, index: int) -> list[SetAside]:
    """Findings in one photo, a card's corners named once."""
    found = [f for f in wall.set_aside if index in wall.photos_of(f)]
    return list(dict.fromkeys(found))


def _of_finding(wall: WallMeasurement, finding: SetAside) -> Advice:
    name = wall.name_of(finding)
    if finding.kind == "mark":
        text = f"The mark {name!r} does not fit the other photos, so it was left out: set it again."
        return Advice("mark-set-aside", text)
    if finding.kind == "disagree":
        photos = " and ".join(wall.request.photos[i].name for i in wall.photos_of(finding))
        text = (
            f"The mark {name!r} lies elsewhere in {photos}, and nothing tells which is right: "
            "set it again in each."
        )
        return Advice("marks-disagree", text)
    if finding.kind == "uneven":
        text = (
            f"The corners of {name} fit only roughly, so they count for less. Tape it flat, "
            "without bubbles or curl."
        )
        return Advice("card-uneven", text)
    if finding.kind in _LINES:
        return Advice(_LINES[finding.kind][0], _LINES[finding.kind][1].format(name=name))
    text = f"Corners of {name} do not fit and were left out. Is the card flat, and did it stay put?"
    return Advice("card-corners-set-aside", text)


def _of_the_set(
    request: WallRequest, wall: WallMeasurement, sight: Sight, index: int
) -> list[Advice]:
    said = []
    if index in wall.not_tied:
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
    if index in wall.used_photos and wall.profile_disagrees(index):
        said.append(
            Advice(
                "profile-disagrees",
                "This photo does not fit the lens profile of its phone. Make the profile anew, and "
                "turn off zoom and lens correction that was not on then.",
            )
        )
    said += [_of_finding(wall, finding) for finding in _findings_in(wall, index)]
    checked = {card.serial for card in request.cards if {c.axis for c in card.checks} == {"x", "y"}}
    jobs = {card.print_job for card in request.cards if card.serial in checked}
    job_of = {card.serial: card.print_job for card in request.cards}
    others = wall.other_walls[index]
    for serial in sorted(others):
        text = f"Card {serial} hangs on another wall, so it was not used here."
        said.append(Advice("card-on-another-wall", text))
    for card in (card for card in sight.cards if card.serial not in others):
        job = job_of.get(card.serial)
        if card.serial not in checked and (job is None or job not in jobs):
            said.append(
                Advice(
                    "print-unchecked",
                    f"Card {card.serial} was not checked with a ruler. Lay one along both check "
                    "bars: it is the largest part of every photo size's uncertainty.",
                )
            )
    return said
