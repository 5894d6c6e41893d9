"""Closures as photos see them: which way round they count, and whether they hold there."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from service.measuring.adjustment import Prior, adjust
from service.measuring.alcove.closing import alcove_closures
from service.measuring.alcove.vocabulary import USUAL_ROOM, Room, WallSizes
from service.measuring.estimates import Closure, PhotoEstimates

_CONTRADICTED_W: Final = 3.890591886413
"""Two-sided point of the normal distribution that is past once in 10,000."""


def oriented(closures: Sequence[Closure], photo: PhotoEstimates | None) -> tuple[Closure, ...]:
    """The same closures where photos count a size negative: a line drawn the other way."""
    negative = _negative(photo)
    return tuple(
        Closure(
            closure.name,
            {n: -c if n in negative else c for n, c in closure.coefficients.items()},
            closure.constant_mm,
            closure.u_mm,
        )
        for closure in closures
    )


def contradicted(
    walls: Sequence[WallSizes], photo: PhotoEstimates | None, room: Room = USUAL_ROOM
) -> tuple[Closure, ...]:
    """The closures that the photos contradict by themselves, the worst first.

    A mark that is not where its size's name says, in all photos alike, fits every photo and yet
    makes an equation false. The photos' sizes hang together so closely that the equation would
    bend all of them, by inches, before it bent the one that is wrong; so it is not to be used.
    Nothing tells whether the mark is wrong or the wall is not as straight as the trade has it.

    Each is tested by what is left of it over what may be left, and the worst set aside, until the
    rest holds (data snooping: Baarda 1968).
    """
    if photo is None or not photo.names:
        return ()
    values = {name: abs(float(mm)) for name, mm in zip(photo.names, photo.mm, strict=True)}
    every = oriented(alcove_closures(walls, values, room), photo)
    closures = [c for c in every if set(c.coefficients) <= set(photo.names)]
    if not closures:
        return ()
    places = {name: place for place, name in enumerate(photo.names)}
    design = np.zeros((len(closures), len(places)))
    for row, closure in enumerate(closures):
        for name, coefficient in closure.coefficients.items():
            design[row, places[name]] = coefficient
    constants = np.array([closure.constant_mm for closure in closures])
    spread = np.diag([closure.u_mm**2 for closure in closures])
    prior = Prior(np.arange(len(places), dtype=np.intp), photo.mm, photo.covariance_mm2)
    solved = adjust(design, constants, spread, prior)
    aside: list[int] = []
    while True:
        w = np.nan_to_num(np.abs(solved.without(aside).w))
        worst = int(np.argmax(w))
        if w[worst] <= _CONTRADICTED_W:
            return tuple(closures[row] for row in aside)
        aside.append(worst)


def holding(closures: Sequence[Closure], doubted: Sequence[Closure]) -> tuple[Closure, ...]:
    """Those of the closures, wherever linearised, that are not among the doubted."""
    names = {closure.name for closure in doubted}
    return tuple(closure for closure in closures if closure.name not in names)


def _negative(photo: PhotoEstimates | None) -> set[str]:
    if photo is None:
        return set()
    return {name for name, mm in zip(photo.names, photo.mm, strict=True) if mm < 0}
