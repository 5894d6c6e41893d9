"""Cards and rectangles of a wall turned into the network's sheets and print scales."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import hypot, sqrt
from typing import Final

import numpy as np

from vision.adjust.network import ScaleGroup, Sheet
from vision.card.design import COLUMNS, ROWS, SQUARE_MM, card_design
from vision.errors import Refusal
from vision.measure_wall.doubts import limit
from vision.measure_wall.request import (
    UNCHECKED_PRINT_U,
    CardRequest,
    Habits,
    PrintCheck,
    RectangleRequest,
)
from vision.measure_wall.sight import Sight
from vision.units import read_only

SMALLEST_SIZE_U_MM: Final = 1e-4
COMMON_PRINT_U: Final = 0.013
"""Of 1.5 %, three quarters of the variance: two such pages differ by 1 % (our estimate)."""


@dataclass(frozen=True)
class Sheets:
    """Sheets with their print scales, and where to find a card or rectangle among them."""

    sheets: tuple[Sheet, ...]
    scale_groups: tuple[ScaleGroup, ...]
    card_index: dict[int, int]
    rectangle_index: dict[str, int]
    datum: int

    @property
    def datum_name(self) -> str:
        """The datum sheet's name."""
        return self.sheets[self.datum].name


def gather_sheets(
    sights: Sequence[Sight],
    cards: Sequence[CardRequest],
    rectangles: Sequence[RectangleRequest],
    datum_card: int | None,
    habits: Habits,
) -> Sheets:
    """All sheets that at least one photo shows; what is known by its name alone is none.

    Raises
    ------
    Refusal
        ``no-card`` if there is none, ``datum-card-not-found`` if the named one is not seen,
        ``duplicate-serial`` if one photo shows two sheets of one serial, ``nominal-size`` if a
        rectangle whose size is but a name is all the scale there is.
    """
    serials = _serials(sights)
    named = [rectangle for rectangle in rectangles if rectangle.is_nominal]
    rectangles = [rectangle for rectangle in rectangles if not rectangle.is_nominal]
    if not serials and not rectangles and named:
        raise _nominal_alone(named[0])
    if not serials and not rectangles:
        raise Refusal(
            "no-card",
            " ".join(["No reference card was found in any photo.", *_why_none(sights)]),
            "Tape a printed card flat on the wall and take the photo again from within 3 m, "
            "with the whole card in the frame.",
        )
    known = {card.serial: card for card in cards}
    wanted = [known.get(serial, CardRequest(serial)) for serial in serials]
    groups, group_of = _print_jobs(wanted, cards)
    sheets = [_card_sheet(card, group_of[card.serial], habits) for card in wanted]
    for rectangle in rectangles:
        sheets.append(_rectangle_sheet(rectangle, len(groups), habits))
        groups.append(_rectangle_scale(rectangle))
    index = {serial: i for i, serial in enumerate(serials)}
    return Sheets(
        sheets=tuple(sheets),
        scale_groups=tuple(groups),
        card_index=index,
        rectangle_index={r.name: len(serials) + i for i, r in enumerate(rectangles)},
        datum=_datum(index, datum_card),
    )


def refuse_twice(serial: int, photos: Sequence[str] = ()) -> Refusal:
    """The refusal of two sheets with one serial: in one photo, or as ``photos`` show it."""
    if not photos:
        return Refusal(
            "duplicate-serial",
            f"Two sheets with serial {serial} are on this wall.",
            f"Take one of the sheets with serial {serial} down, or print it with another serial, "
            "and take the photos again.",
            {"serial": serial},
        )
    return Refusal(
        "duplicate-serial",
        f"Two sheets with serial {serial} are on this wall, or the sheet was moved, or a photo is "
        f"of another wall: {', '.join(photos)} show it in places too far apart to be one.",
        f"Leave out the photos of another wall and those from before it was moved; if there are "
        f"two sheets with serial {serial}, print one with another serial and take the photos "
        "again.",
        {"serial": serial, "photos": list(photos)},
    )


def _nominal_alone(rectangle: RectangleRequest) -> Refusal:
    # ANSI A137.1: the size of a pressed floor tile may be 3 % off its name
    return Refusal(
        "nominal-size",
        f"No card was found, and the size of {rectangle.name!r} is a nominal one, which names a "
        "tile or board and does not measure it: it may be 3 % off, 1 3/4 in over 60 in.",
        "Tape it and give what the tape reads, or tape a printed card flat on the wall and take "
        "the photo again.",
        {"rectangle": rectangle.name},
    )


def _why_none(sights: Sequence[Sight]) -> list[str]:
    """What was seen of cards in the photos, each said once."""
    return list(dict.fromkeys(note.text for sight in sights for note in sight.notes))[:3]


def _serials(sights: Sequence[Sight]) -> list[int]:
    found: set[int] = set()
    for sight in sights:
        in_photo = [card.serial for card in sight.cards]
        for serial in in_photo:
            if in_photo.count(serial) > 1:
                raise refuse_twice(serial)
        found.update(in_photo)
    return sorted(found)


def _datum(index: dict[int, int], datum_card: int | None) -> int:
    if datum_card is None:
        return 0
    if datum_card not in index:
        seen = ", ".join(str(serial) for serial in index) or "none"
        raise Refusal(
            "datum-card-not-found",
            f"The datum card, serial {datum_card}, is in no photo; cards found: {seen}.",
            "Name one of the cards found, or take a photo that shows the datum card.",
            {"serial": datum_card, "found": list(index)},
        )
    return index[datum_card]


def _print_jobs(
    wanted: Sequence[CardRequest], listed: Sequence[CardRequest]
) -> tuple[list[ScaleGroup], dict[int, int]]:
    """Print scales of the jobs; checks count for a job even if made on a card not seen here.

    Cards of which nothing is known err together for the most part: they are mostly printed in one
    go, and if each were taken to err by itself, two would seem to know more than one does. Cards
    of one job whose checks contradict one another are each taken by their own.
    """
    groups: list[ScaleGroup] = []
    by_job: dict[str, int] = {}
    group_of: dict[int, int] = {}
    for card in wanted:
        mates, job = mates_of(card, listed), f"job {card.print_job}"
        if card.print_job is None or checks_contradict(mates):
            mates, job = (card,), f"serial {card.serial}"
        if job not in by_job:
            checks = [check for mate in mates for check in mate.checks]
            by_job[job] = len(groups)
            group = _print_scale(job, checks)
            known = card.print_job is not None or bool(checks)
            groups.append(group if known else replace(group, common_u=COMMON_PRINT_U))
        group_of[card.serial] = by_job[job]
    return groups, group_of


def mates_of(card: CardRequest, listed: Sequence[CardRequest]) -> tuple[CardRequest, ...]:
    """The cards said to be of its print, itself among them."""
    return tuple(mate for mate in listed if mate.print_job == card.print_job)


def checks_contradict(cards: Sequence[CardRequest]) -> bool:
    """Whether ruler checks of several cards cannot be of one print; honest ones once in 10,000."""
    for axis in ("x", "y"):
        checks = [check for card in cards for check in card.checks if check.axis == axis]
        scales = np.array([check.measured_mm / check.nominal_mm for check in checks])
        weights = np.array(
            [(check.half_width_mm / sqrt(3) / check.nominal_mm) ** -2 for check in checks]
        )
        if len(checks) > 1:
            off = scales - np.average(scales, weights=weights)
            if float(np.sum(weights * off**2)) > limit(len(checks) - 1):
                return len(cards) > 1
    return False


def _print_scale(name: str, checks: Sequence[PrintCheck]) -> ScaleGroup:
    """The prior scale joined with every ruler check, axis by axis (weighted mean)."""
    means, spreads = [], []
    for axis in ("x", "y"):
        weights, values = [UNCHECKED_PRINT_U**-2], [1.0]
        for check in checks:
            if check.axis == axis:
                u = check.half_width_mm / sqrt(3) / check.nominal_mm
                weights.append(u**-2)
                values.append(check.measured_mm / check.nominal_mm)
        means.append(float(np.average(values, weights=weights)))
        spreads.append(1 / sqrt(sum(weights)))
    return ScaleGroup(name, (means[0], means[1]), (spreads[0], spreads[1]))


def _card_sheet(card: CardRequest, group: int, habits: Habits) -> Sheet:
    design = card_design(card.serial)
    standoff_u = habits.card_standoff_u_mm if card.standoff_u_mm is None else card.standoff_u_mm
    standoff = habits.card_standoff_mm if card.standoff_mm is None else card.standoff_mm
    board = (COLUMNS * SQUARE_MM, ROWS * SQUARE_MM)
    return Sheet(
        name=f"card {card.serial}",
        points_mm=design.corners_mm,
        size_mm=board,
        scale_group=group,
        standoff_mm=standoff,
        standoff_u_mm=hypot(standoff_u, habits.flatness_u_mm),
        tilt_u_rad=habits.card_tilt_u_rad,
        bow_u_mm=habits.card_bow_u_mm,
    )


def _rectangle_sheet(rectangle: RectangleRequest, group: int, habits: Habits) -> Sheet:
    width, height = rectangle.size_mm
    return Sheet(
        name=rectangle.name,
        points_mm=read_only(np.array([[0, 0], [width, 0], [width, height], [0, height]])),
        size_mm=rectangle.size_mm,
        scale_group=group,
        standoff_mm=rectangle.standoff_mm,
        standoff_u_mm=hypot(habits.card_standoff_u_mm, habits.flatness_u_mm),
        tilt_u_rad=habits.card_tilt_u_rad,
        bow_u_mm=habits.card_bow_u_mm,
    )


def _rectangle_scale(rectangle: RectangleRequest) -> ScaleGroup:
    pairs = zip(rectangle.u_mm, rectangle.size_mm, strict=True)
    u = [max(u, SMALLEST_SIZE_U_MM) / size for u, size in pairs]
    return ScaleGroup(f"size of {rectangle.name}", (1.0, 1.0), (u[0], u[1]), is_size=True)
