"""What is named rightly and wrongly as the odds move from which a kind is named.

For the code, and for the judge that knows how the slips were drawn: what more odds would buy, and
what nobody could have.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.random import Generator

from service.measuring.accusation import accusations
from service.measuring.alcove.judging import as_read, judge_alcove
from service.measuring.alcove.slip_places import alcove_book
from service.measuring.alcove.vocabulary import USUAL_ROOM
from service.measuring.limits import Limits
from service.measuring.network import build_network
from service.measuring.slip_kinds import SlipKind
from service.measuring.slips import INSTALLER_BOOK
from service.measuring.snooping import snoop
from tests.support.simulated_alcove import Plan
from tests.support.simulated_slips import NONE
from tests.support.slip_naming import Case, Spoiled, known_slip, spoiled_alcove, told_book


@dataclass
class Named:
    """Of the slips of one kind: made, detected, and at each threshold named rightly, wrongly."""

    made: int = 0
    detected: int = 0
    right: dict[float, int] = field(default_factory=dict)
    wrong: dict[float, int] = field(default_factory=dict)

    def note(self, kind: str, least: float, named: str | None) -> None:
        self.right[least] = self.right.get(least, 0) + (named == kind)
        self.wrong[least] = self.wrong.get(least, 0) + (named not in (None, kind))


Frontier = Mapping[Case, Mapping[str, Named]]


def frontiers(
    seed: int,
    cases: Sequence[Case],
    odds: Sequence[float],
    sureness: Sequence[float],
    enough: Mapping[str, int],
    plan: Callable[[Generator], Plan],
) -> tuple[Frontier, Frontier]:
    """By the code from each of ``odds``, and by the judge that knows the draws from each of
    ``sureness`` where the rates are as made; ``enough`` slips of each kind are detected."""
    rng = Generator(np.random.PCG64(seed))
    code = {case: {kind: Named() for kind in enough} for case in cases}
    known = {case: {kind: Named() for kind in enough} for case in cases if case.rates_off == 1}
    for kind, count in enough.items():
        while any(code[case][kind].detected < count for case in cases):
            spoiled = spoiled_alcove(kind, plan, rng)
            for case in cases:
                found = list(_names(case, spoiled, odds, rng))
                for of in (code, known) if case in known else (code,):
                    of[case][kind].made += 1
                    of[case][kind].detected += bool(found)
                for least, named in found:
                    code[case][kind].note(kind, least, named)
                if found and case in known:
                    judged = known_slip(case, spoiled)
                    for least in sureness:
                        named = judged.named(least)
                        known[case][kind].note(kind, least, None if named == NONE else named)
    return code, known


def _names(
    case: Case, spoiled: Spoiled, odds: Sequence[float], rng: Generator
) -> Iterator[tuple[float, str | None]]:
    """At each least odds the kind that is named, if any; nothing where no conflict is seen."""
    told = told_book(case, rng, INSTALLER_BOOK)
    walls, readings = spoiled.alcove.walls(), spoiled.readings
    photo = spoiled.photo if case.photos else None
    closures = judge_alcove(walls, photo, readings).closures
    names = [size.name for size in spoiled.honest.sizes]
    network = build_network(names, photo, readings, closures)
    book = alcove_book(walls, as_read(photo, readings), told, USUAL_ROOM)
    found = snoop(network, Limits())
    row = next(row for row, reading in enumerate(readings) if reading.id == spoiled.at)
    if all(row not in group.rows for group in found.aside):
        return
    accused = accusations(network, found, book)
    accusation = next((one for rows, one in accused.items() if row in rows), None)
    for least in odds:
        named = None
        if accusation is not None:
            kind = accusation.suspect(names.index(spoiled.at), Limits(named_odds=least)).kind
            named = kind.value if kind is not SlipKind.TAKE_AGAIN else None
        yield least, named


def all_wrong(of: Mapping[str, Named], least: float, weight: Mapping[str, float]) -> float:
    """Share of all detected slips that are named wrongly, each kind as often as it is made."""
    detected = wrong = 0.0
    for kind, named in of.items():
        per_slip = weight[kind] / named.made
        detected += per_slip * named.detected
        wrong += per_slip * named.wrong[least]
    return wrong / detected
