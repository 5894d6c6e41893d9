"""Which reading of a judged network is suspected of which slip."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from service.measuring.accusation import Accusation, accusations, seen_book
from service.measuring.boxes import Boxes
from service.measuring.estimates import Estimate
from service.measuring.figures import Figures
from service.measuring.judgement import PrintScale
from service.measuring.limits import Limits
from service.measuring.network import Network
from service.measuring.slip_book import SlipBook
from service.measuring.slip_kinds import SlipKind, wording
from service.measuring.slips import Suspect, suspect_slip, take_again
from service.measuring.snooping import SetAside, Snooping


def suspects(
    network: Network,
    found: Snooping,
    figures: Sequence[Figures],
    limits: Limits,
    book: SlipBook,
) -> dict[int, Suspect]:
    """The suspect of each dimension that has one, by its place."""
    named: dict[int, Suspect] = {}
    accused = accusations(network, found, book)
    known = _known(network, figures, accused.values())
    group_of = {row: group for group in found.aside for row in group.rows}
    for place, rows in enumerate(network.rows_of):
        aside = [row for row in rows if row in group_of]
        if aside and group_of[aside[0]].rows in accused:
            named[place] = accused[group_of[aside[0]].rows].suspect(place, limits)
        elif aside:
            group = group_of[aside[0]]
            named[place] = _alike(network, group, place, figures, known, limits, book)
        elif rows and found.print_scale is not None and _disagrees(figures[place], limits):
            named[place] = _scale_suspect(network.readings[rows[-1]].id, found.print_scale)
    return named


def _known(
    network: Network, figures: Sequence[Figures], accusations: Iterable[Accusation]
) -> dict[str, Estimate]:
    """Every dimension's magnitude at best; of those in doubt, as the others would have it."""
    known = {
        one.reading.dimension: one.truth
        for accusation in accusations
        for one in accusation.accused
        if one.truth is not None
    }
    for name, of in zip(network.names, figures, strict=True):
        if of.best is not None:
            known[name] = Estimate(abs(of.best.mm), of.best.u_mm)
    return known


def _alike(
    network: Network,
    group: SetAside,
    place: int,
    figures: Sequence[Figures],
    known: dict[str, Estimate],
    limits: Limits,
    book: SlipBook,
) -> Suspect:
    """Repeats that are off alike: the same slip made twice, or the photo's mark."""
    own = [row for row in group.rows if row in network.rows_of[place]]
    worst = max(own, key=lambda row: abs(group.w[group.rows.index(row)]))
    reading, truth = network.readings[worst], figures[place].best
    if truth is None:
        return take_again(reading)
    boxes = Boxes(
        sizes={name: of for name, of in known.items() if name != reading.dimension},
        filled={
            name
            for name, of in zip(network.names, figures, strict=True)
            if of.active and not _disagrees(of, limits)
        },
        empty=network.empty,
        empty_share=network.empty_share,
    )
    # Signed as the reading: a pipe found on the other side of the plumb line is below zero.
    turned = math.copysign(1.0, float(network.signed_mm[worst]))
    return suspect_slip(
        reading,
        Estimate(turned * truth.mm, truth.u_mm),
        boxes,
        seen_book(network, reading.dimension, book),
        limits.named_odds,
        len(own),
    )


def _scale_suspect(reading_id: str, scale: PrintScale) -> Suspect:
    kind = SlipKind.PRINT_SCALE
    text = wording(kind, f"tape is {scale.factor:.4f} of photo")
    return Suspect(reading_id, kind, None, scale.odds, None, text)


def _disagrees(of: Figures, limits: Limits) -> bool:
    return of.en is not None and abs(of.en) > limits.agree_en
