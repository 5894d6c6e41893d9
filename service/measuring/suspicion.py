"""Which reading of a judged network is suspected of which slip."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

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
    group_of = {row: group for group in found.aside for row in group.rows}
    for place, rows in enumerate(network.rows_of):
        aside = [row for row in rows if row in group_of]
        if aside:
            worst = max(aside, key=lambda row: abs(_own_w(group_of[row], row)))
            named[place] = _suspect(network, group_of[worst], worst, place, figures, limits, book)
        elif rows and found.print_scale is not None and _disagrees(figures[place], limits):
            named[place] = _scale_suspect(network.readings[rows[-1]].id, found.print_scale)
    return named


def _suspect(
    network: Network,
    group: SetAside,
    row: int,
    place: int,
    figures: Sequence[Figures],
    limits: Limits,
    book: SlipBook,
) -> Suspect:
    reading = network.readings[row]
    truth = figures[place].best
    if group.clash:
        clashing = ", ".join(network.readings[other].id for other in group.rows if other != row)
        text = f"contradicts {clashing} and nothing tells which is off: take them all again"
        return replace(take_again(reading), text=text)
    if truth is None:
        return take_again(reading)
    others = {
        name: _magnitude(of.best)
        for name, of in zip(network.names, figures, strict=True)
        if of.best is not None and name != reading.dimension
    }
    filled = {
        name
        for name, of in zip(network.names, figures, strict=True)
        if of.active and not _disagrees(of, limits)
    }
    if network.photo is None or reading.dimension not in network.photo.names:
        book = replace(book, rates={**book.rates, SlipKind.PHOTO_MARK: 0.0})
    witnesses = sum(other in network.rows_of[place] for other in group.rows)
    return suspect_slip(
        reading, _magnitude(truth), others, book, limits.clear_odds, witnesses, filled
    )


def _scale_suspect(reading_id: str, scale: PrintScale) -> Suspect:
    kind = SlipKind.PRINT_SCALE
    text = wording(kind, f"tape is {scale.factor:.4f} of photo")
    return Suspect(reading_id, kind, None, scale.odds, None, text)


def _disagrees(of: Figures, limits: Limits) -> bool:
    return of.en is not None and abs(of.en) > limits.agree_en


def _own_w(group: SetAside, row: int) -> float:
    return group.w[group.rows.index(row)]


def _magnitude(estimate: Estimate) -> Estimate:
    return Estimate(abs(estimate.mm), estimate.u_mm)
