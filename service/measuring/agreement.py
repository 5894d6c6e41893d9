"""Tape and photo check each other: every reading against everything else.

Linear fusion in the space of dimensions. Each figure of a dimension comes from one solved network
by deletion formulas (`adjustment`), not by solving again.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from service.measuring.estimates import Closure, PhotoEstimates, Resolve, TapeObservation
from service.measuring.figures import Figures, dimension_figures
from service.measuring.judgement import (
    DimensionJudgement,
    Judgement,
    ReadingJudgement,
    Status,
    is_enough,
)
from service.measuring.limits import Limits
from service.measuring.network import Network, build_network
from service.measuring.reading import Reading, effective_readings
from service.measuring.slips import INSTALLER_BOOK, SlipBook, Suspect
from service.measuring.snooping import Snooping, snoop
from service.measuring.suspicion import suspects

_USUAL_LIMITS = Limits()


def judge(
    dimension_names: Sequence[str],
    photo: PhotoEstimates | None,
    readings: Sequence[Reading],
    limits: Limits = _USUAL_LIMITS,
    resolve: Resolve | None = None,
    closures: Sequence[Closure] = (),
    slips: SlipBook = INSTALLER_BOOK,
) -> Judgement:
    """Judge all readings of one wall, or of one alcove.

    Parameters
    ----------
    dimension_names
        In the order of the report.
    photo
        Photo-only estimates of those that photos can see.
    readings
        As taken, replaced ones among them.
    limits
        The shop's limits.
    resolve
        Called once with the readings that agree, for photo estimates linearised at the solution
        that includes them; the final judgement is made on these. ``photo`` of the result stays
        what the photos said without a tape.
    closures
        Further equations between dimensions. A dimension no photo shows is expected from them.
    slips
        Rates and sizes behind the suspects.

    Raises
    ------
    ReadingError, ValueError
        For input that contradicts itself; see `build_network` and `effective_readings`.
    """
    standing = effective_readings(readings)
    network = build_network(dimension_names, photo, standing, closures)
    found = snoop(network, limits)
    figures = dimension_figures(network, found)
    if resolve is not None and (tapes := _agreeing_tapes(network, figures, limits)):
        network = build_network(dimension_names, resolve(tapes), standing, closures)
        found = snoop(network, limits)
        figures = dimension_figures(network, found)
    named = suspects(network, found, figures, limits, slips)
    dimensions = tuple(
        _judged(name, photo, figures[place], named.get(place), limits)
        for place, name in enumerate(network.names)
    )
    judged = _readings_judged(network, found, limits)
    return Judgement(dimensions, judged, found.print_scale, limits)


def _agreeing_tapes(
    network: Network, figures: Sequence[Figures], limits: Limits
) -> list[TapeObservation]:
    """What the photos may be linearised at; dimensions that no photo shows are no help."""
    if network.photo is None:
        return []
    return [
        TapeObservation(name, of.tape.mm, of.tape.u_mm)
        for name, of in zip(network.names, figures, strict=True)
        if name in network.photo.names
        and of.tape is not None
        and of.active
        and _status(of, limits, seen=True) is Status.AGREES
    ]


def _judged(
    name: str,
    photo: PhotoEstimates | None,
    of: Figures,
    suspect: Suspect | None,
    limits: Limits,
) -> DimensionJudgement:
    estimate = photo.estimate(name) if photo is not None else None
    return DimensionJudgement(
        name=name,
        status=_status(of, limits, seen=estimate is not None),
        photo=estimate,
        tape=of.tape,
        expected=of.expected,
        best=of.best,
        en=of.en,
        w=of.w,
        mdb_mm=of.mdb_mm,
        checked=is_enough(of.mdb_mm, limits),
        birge=of.birge,
        tape_stays_mm=of.tape_stays_mm,
        suspect=suspect,
    )


def _status(of: Figures, limits: Limits, *, seen: bool) -> Status:
    if not of.taped:
        return Status.PHOTO_ONLY if seen else Status.TAPE_ONLY
    if of.expected is None:
        return Status.TAPE_ONLY
    if not of.active or of.w is None or of.en is None:
        return Status.CONFLICTS
    if abs(of.en) <= limits.agree_en:
        return Status.AGREES
    return Status.CONFLICTS if abs(of.w) > limits.conflict_w else Status.UNSURE


def _readings_judged(
    network: Network, found: Snooping, limits: Limits
) -> tuple[ReadingJudgement, ...]:
    aside = {row: group for group in found.aside for row in group.rows}
    active_w = found.active.w
    least, least_of_aside = found.active.detectable, network.solved.detectable
    judged = []
    for row, reading in enumerate(network.readings):
        clashes: tuple[str, ...] = ()
        if row in aside:
            group = aside[row]
            w = group.w[group.rows.index(row)]
            status = Status.CONFLICTS
            if group.clash:
                clashes = tuple(network.readings[o].id for o in group.rows if o != row)
        else:
            w = float(active_w[row])
            status = _reading_status(w, limits)
        u_mm = reading.uncertainty.u_mm
        judged.append(
            ReadingJudgement(
                reading.id,
                reading.dimension,
                status,
                u_mm,
                None if math.isnan(w) else w,
                _finite(least_of_aside[row] if row in aside else least[row]),
                clashes,
            )
        )
    return tuple(judged)


def _finite(mm: float) -> float | None:
    return float(mm) if math.isfinite(mm) else None


def _reading_status(w: float, limits: Limits) -> Status:
    if math.isnan(w):
        return Status.TAPE_ONLY
    if abs(w) / 2 <= limits.agree_en:  # U = 2u in E_n
        return Status.AGREES
    return Status.CONFLICTS if abs(w) > limits.conflict_w else Status.UNSURE
