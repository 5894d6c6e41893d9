"""Which reading of a judged network is suspected of which slip."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from service.measuring.clash import Clash, seen_book, swapped_with, weigh_clash
from service.measuring.estimates import Estimate
from service.measuring.figures import Figures
from service.measuring.judgement import PrintScale
from service.measuring.limits import Limits
from service.measuring.network import Network
from service.measuring.slip_kinds import SlipKind, wording
from service.measuring.slips import SlipBook, Suspect, suspect_slip, take_again
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
    clashes = {g.rows: weigh_clash(network, found, g, book) for g in found.aside if g.clash}
    known = _known(network, figures, clashes.values())
    group_of = {row: group for group in found.aside for row in group.rows}
    for place, rows in enumerate(network.rows_of):
        aside = [row for row in rows if row in group_of]
        if aside and group_of[aside[0]].clash:
            named[place] = clashes[group_of[aside[0]].rows].suspect(place, limits)
        elif aside:
            worst = max(aside, key=lambda row: abs(_own_w(group_of[row], row)))
            others = [row for row in group_of if row not in rows]
            witnesses = sum(row in rows for row in group_of[worst].rows)
            one = _Aside(worst, place, witnesses, others)
            named[place] = _suspect(network, one, figures, known, limits, book)
        elif rows and found.print_scale is not None and _disagrees(figures[place], limits):
            named[place] = _scale_suspect(network.readings[rows[-1]].id, found.print_scale)
    return named


@dataclass(frozen=True, slots=True)
class _Aside:
    """A reading set aside by itself; ``others`` are the rows of other dimensions set aside."""

    row: int
    place: int
    witnesses: int
    others: Sequence[int]


def _known(
    network: Network, figures: Sequence[Figures], clashes: Iterable[Clash]
) -> dict[str, Estimate]:
    """Every dimension's magnitude at best; of those that clash, as the others would have it."""
    known = {
        one.reading.dimension: one.truth
        for clash in clashes
        for one in clash.accused
        if one.truth is not None
    }
    for name, of in zip(network.names, figures, strict=True):
        if of.best is not None:
            known[name] = Estimate(abs(of.best.mm), of.best.u_mm)
    return known


def _suspect(
    network: Network,
    aside: _Aside,
    figures: Sequence[Figures],
    known: dict[str, Estimate],
    limits: Limits,
    book: SlipBook,
) -> Suspect:
    reading = network.readings[aside.row]
    truth = figures[aside.place].best
    if truth is None:
        return take_again(reading)
    filled = {
        name
        for name, of in zip(network.names, figures, strict=True)
        if of.active and not _disagrees(of, limits)
    }
    # Signed as the reading: a pipe found on the other side of the plumb line is below zero.
    turned = math.copysign(1.0, float(network.signed_mm[aside.row]))
    meant = Estimate(turned * truth.mm, truth.u_mm)
    return suspect_slip(
        reading,
        meant,
        {name: of for name, of in known.items() if name != reading.dimension},
        seen_book(network, reading.dimension, book),
        limits.named_odds,
        aside.witnesses,
        filled,
        swapped_with(network, aside.others, meant),
    )


def _scale_suspect(reading_id: str, scale: PrintScale) -> Suspect:
    kind = SlipKind.PRINT_SCALE
    text = wording(kind, f"tape is {scale.factor:.4f} of photo")
    return Suspect(reading_id, kind, None, scale.odds, None, text)


def _disagrees(of: Figures, limits: Limits) -> bool:
    return of.en is not None and abs(of.en) > limits.agree_en


def _own_w(group: SetAside, row: int) -> float:
    return group.w[group.rows.index(row)]
