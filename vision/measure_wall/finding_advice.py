"""What was found wrong in the photos of a wall, in words."""

from __future__ import annotations

from typing import Final

from vision.measure_wall.vetting import SetAside
from vision.measure_wall.wall import WallMeasurement
from vision.quality.advice import Advice

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


_KNOWN: Final = {
    "lens": (
        "lens-doubted",
        "The focal length or zoom that the file states does not fit what the photo shows, so it "
        "was left out and every size is wider. Was it zoomed, cropped or edited? Send it as it "
        "was taken, at the same zoom as the others.",
    ),
    "exposure": (
        "lens-doubted",
        "This photo is not by the same lens and zoom as the others of its phone, whatever its "
        "file states, so it counts for less. Was it zoomed, cropped or edited?",
    ),
    "print": (
        "print-check-doubted",
        "The ruler check of {name} does not fit the photos, so it was left out. Lay the ruler "
        "along both check bars again.",
    ),
    "other-print": (
        "card-other-print",
        "{name} is of another print than it is said to be, as its size against the other cards "
        "shows, so its print scale was left open. Lay the ruler along both of its check bars.",
    ),
    "size": (
        "size-doubted",
        "The {name} does not fit the photos, so it was left out. Was another thing outlined?",
    ),
    "off-wall": (
        "card-off-wall",
        "{name} does not hang in the plane of the rest as stated: state its stand-off if it is on "
        "a ledge or in a niche, else tape it flat on the wall.",
    ),
    "tilted": (
        "card-tilted",
        "{name} does not lie flat on the wall. Tape it down on all sides.",
    ),
    "moved": (
        "card-moved",
        "{name} hangs elsewhere in this photo than in the others, so each place was taken as a "
        "sheet of its own. Was it moved, or are there two sheets with its number?",
    ),
    "profile": (
        "profile-disagrees",
        "This photo does not fit the lens profile of its phone, so that was left out. Make the "
        "profile anew, and turn off zoom and lens correction that was not on then.",
    ),
}


def findings_advice(wall: WallMeasurement, index: int) -> list[Advice]:
    """Advice on what was found in one photo, each thing named once."""
    found = [f for f in wall.set_aside if index in wall.photos_of(f)]
    return list(dict.fromkeys(_of_finding(wall, finding) for finding in found))


def _of_finding(wall: WallMeasurement, finding: SetAside) -> Advice:
    name = wall.name_of(finding)
    if finding.kind == "mark":
        text = f"The mark {name!r} does not fit the other photos, so it was left out: set it again."
        return Advice("mark-set-aside", text)
    if finding.kind == "exchanged":
        other = wall.built.network.marks[finding.other or 0].name
        photos = " and ".join(wall.request.photos[i].name for i in wall.photos_of(finding))
        text = (
            f"The marks {name!r} and {other!r} have changed places "
            + (f"in {photos}" if len(finding.shots) == 1 else f"between {photos}")
            + ", so they count for nothing there until they are set again."
        )
        return Advice("marks-exchanged", text)
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
    for texts in (_LINES, _KNOWN):
        if (kind := _kind(wall, finding)) in texts:
            code, text = texts[kind]
            text = text.format(name=name)
            return Advice(code, text[0].upper() + text[1:])
    text = f"Corners of {name} do not fit and were left out. Is the card flat, and did it stay put?"
    return Advice("card-corners-set-aside", text)


def _kind(wall: WallMeasurement, finding: SetAside) -> str:
    if finding.kind == "print" and wall.built.network.scale_groups[finding.thing].is_size:
        return "size"
    if finding.kind == "lens" and wall.built.spare_lenses[finding.thing] is not None:
        return "profile"
    return finding.kind
