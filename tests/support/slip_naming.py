"""One slip in each simulated alcove: what is named, and what could have been.

Slips are made of every kind in equal number, so that a rare one is judged as well as a common one;
shares over all kinds are weighted by the rates and by how many readings each can happen in.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.random import Generator

from service.lengths import parse_length, round_length
from service.measuring.alcove.closing import alcove_closures
from service.measuring.alcove.judging import judge_alcove
from service.measuring.estimates import PhotoEstimates
from service.measuring.judgement import Judgement, Status
from service.measuring.limits import Limits
from service.measuring.network import build_network
from service.measuring.reading import Reading
from service.measuring.slip_kinds import SlipKind
from service.measuring.slips import INSTALLER_BOOK, SlipBook
from tests.support.simulated_alcove import (
    USUAL_TUB,
    Alcove,
    Plan,
    drawn_alcove,
    rectangular_error_mm,
    taped,
)
from tests.support.simulated_slips import (
    BOX,
    NONE,
    OUTCOMES,
    RATES,
    UNLISTED_SHARE,
    UNTAPED_SHARE,
    Taped,
    box_share,
    can_happen,
    drawn,
    on_or_off_listed,
    written,
)
from tests.support.slip_reference import Verdict, verdict

SEEN = ("left", "right", "inner", "outer", "width", "deck", "tub front", "diagonal")
"""Words that begin the names of the sizes that photos show."""
NAMED_BY_REFERENCE = 0.8
"""Least posterior at which the judge that knows the draws names a kind."""


@dataclass(frozen=True)
class Case:
    """How the spoiled alcoves are judged."""

    photos: bool
    rates_off: float = 1.0

    def __str__(self) -> str:
        seen = "photos" if self.photos else "tape alone"
        return seen if self.rates_off == 1 else f"{seen}, {self.rates_off:g}x"


@dataclass
class Tally:
    """What became of the slips of one kind.

    ``right``: named; ``one_of_two_readings``: of these, with the reading left open;
    ``either``: two kinds are named, it is one of them; ``first``: ranked first, named or not;
    ``wrong``: another kind is named. ``known``, ``known_wrong``: as ``right`` and ``wrong`` by the
    judge that knows the draws. ``parts``: the same by what came of the slip.
    """

    made: int = 0
    detected: int = 0
    right: int = 0
    one_of_two_readings: int = 0
    either: int = 0
    first: int = 0
    wrong: int = 0
    known: int = 0
    known_wrong: int = 0
    as_what: dict[str, int] = field(default_factory=dict)
    parts: dict[str, Tally] = field(default_factory=dict)

    def share(self, count: int) -> float:
        return count / max(self.detected, 1)


@dataclass
class Naming:
    """Tallies by kind; ``weight`` is how often each kind is made where slips are at the rates."""

    tallies: dict[str, Tally]
    weight: dict[str, float]

    def overall(self, count: Callable[[Tally], int]) -> float:
        """Share of all the detected, at the rates."""
        detected = named = 0.0
        for kind, tally in self.tallies.items():
            per_slip = self.weight[kind] / max(tally.made, 1)
            detected += per_slip * tally.detected
            named += per_slip * count(tally)
        return named / max(detected, 1e-12)


def naming_study(
    seed: int,
    cases: Sequence[Case],
    kinds: Sequence[str] = (*RATES, NONE),
    *,
    enough: int = 500,
    most: int = 2_000,
    plan: Callable[[Generator], Plan] = lambda _: USUAL_TUB,
    reference: bool = True,
    book: SlipBook = INSTALLER_BOOK,
    limits: Limits | None = None,
) -> dict[Case, Naming]:
    """Spoil alcoves until ``enough`` slips of each kind are detected, or ``most`` are made."""
    found = {case: Naming({kind: Tally() for kind in kinds}, {}) for case in cases}
    room = Generator(np.random.PCG64(seed))
    weights = possible(seed, kinds, plan)
    for naming in found.values():
        naming.weight.update(weights)
    for kind in kinds:
        tallies = [naming.tallies[kind] for naming in found.values()]
        while any(t.detected < enough and t.made < most for t in tallies):
            spoiled = spoiled_alcove(kind, plan, room)
            for case, naming in found.items():
                _note(naming.tallies[kind], kind, spoiled, case, room, reference, book, limits)
    return found


@dataclass(frozen=True)
class Spoiled:
    """An alcove with one slip: at which reading, what came of it, and what the photos say.

    ``honest`` has every size, taped or not; ``places`` says which of these each reading is of.
    """

    alcove: Alcove
    readings: list[Reading]
    places: tuple[int, ...]
    at: str
    outcome: str | None
    honest: Taped
    photo: PhotoEstimates

    @property
    def as_written(self) -> Taped:
        """The readings as written, for whoever has to find the slip; honest where there is none."""
        inches = list(self.honest.inches)
        for place, reading in zip(self.places, self.readings, strict=True):
            inches[place] = round_length(reading.mm, 16)
        return Taped(self.honest.sizes, tuple(inches))


def spoiled_alcove(kind: str, plan: Callable[[Generator], Plan], rng: Generator) -> Spoiled:
    """A drawn alcove with one slip of this kind somewhere, and a few boxes still empty."""
    while True:
        alcove = drawn_alcove(rng, plan=plan(rng))
        readings = honest(alcove, rng)
        true = _taped(alcove, readings)
        for place in map(int, rng.permutation(true.count)):
            text = drawn(kind, true, place, rng) if can_happen(kind, true, place) else None
            if text is None:
                continue
            at = readings[place].id
            readings[place] = _with_text(readings[place], text)
            source = _source(true, place, text, rng) if kind == BOX else place
            outcome = str(rng.choice(OUTCOMES)) if kind == BOX else None
            if kind == NONE:
                outcome = on_or_off_listed(true, place, text)
            if outcome == "exchanged":
                readings[source] = _with_text(readings[source], written(true.inches[place]))
            empty = {source} if outcome == "own box left empty" else set()
            taped = {p for p in range(true.count) if rng.random() >= UNTAPED_SHARE}
            places = tuple(sorted((taped | {place, source}) - empty))
            left = [readings[p] for p in places]
            return Spoiled(alcove, left, places, at, outcome, true, photos_of(alcove, rng))


def _source(true: Taped, place: int, text: str, rng: Generator) -> int:
    """The box that the value written at ``place`` is of."""
    same = [p for p, inches in enumerate(true.inches) if p != place and written(inches) == text]
    shares = np.array([box_share(true.count, place, p) for p in same])
    return same[int(rng.choice(len(same), p=shares / shares.sum()))]


def _note(
    tally: Tally,
    kind: str,
    spoiled: Spoiled,
    case: Case,
    rng: Generator,
    reference: bool,
    book: SlipBook,
    limits: Limits | None,
) -> None:
    judged = judged_in(case, spoiled, rng, book, limits)
    tallies = [tally]
    if spoiled.outcome is not None:
        tallies.append(tally.parts.setdefault(spoiled.outcome, Tally()))
    named = None
    found = judged.reading(spoiled.at).status is Status.CONFLICTS
    if found and reference and case.rates_off == 1:
        named = known_slip(case, spoiled).named(NAMED_BY_REFERENCE)
    for one in tallies:
        one.made += 1
        if found:
            one.detected += 1
            _count(one, kind, judged, spoiled.at)
            one.known += named == kind and kind != NONE
            one.known_wrong += named not in (None, kind, NONE)


def judged_in(
    case: Case, spoiled: Spoiled, rng: Generator, book: SlipBook, limits: Limits | None
) -> Judgement:
    """What the code says of it, told the rates of the case."""
    photo, told = spoiled.photo if case.photos else None, told_book(case, rng, book)
    walls = spoiled.alcove.walls()
    return judge_alcove(walls, photo, spoiled.readings, limits, slips=told).judgement


def told_book(case: Case, rng: Generator, book: SlipBook) -> SlipBook:
    """The book as the case has it: each rate out by its factor, up or down."""
    rates = {k: r * case.rates_off ** int(rng.choice([-1, 1])) for k, r in book.rates.items()}
    return replace(book, rates=rates)


def known_slip(case: Case, spoiled: Spoiled) -> Verdict:
    """What the judge that knows the draws says of it."""
    closures = alcove_closures(spoiled.alcove.walls(), spoiled.alcove.truth_mm)
    photo = spoiled.photo if case.photos else None
    names = [size.name for size in spoiled.honest.sizes]
    network = build_network(names, photo, spoiled.readings, closures)
    return verdict(network, spoiled.as_written, spoiled.places, drawn_rates())


def _count(tally: Tally, kind: str, judged: Judgement, at: str) -> None:
    suspect = judged.dimension(at).suspect
    if suspect is None:
        return
    if suspect.kind is SlipKind.TAKE_AGAIN:
        tally.either += kind in suspect.either
        tally.first += suspect.runner_up == kind
    elif suspect.kind.value == kind:
        tally.right += 1
        tally.first += 1
        tally.one_of_two_readings += bool(suspect.rivals)
    else:
        tally.wrong += 1
        tally.as_what[suspect.kind.value] = tally.as_what.get(suspect.kind.value, 0) + 1


def drawn_rates() -> dict[str, float]:
    """Rates of all kinds as the study draws them, the unlisted among them."""
    total = sum(RATES.values())
    return {**RATES, NONE: total * UNLISTED_SHARE / (1 - UNLISTED_SHARE)}


def possible(
    seed: int, kinds: Sequence[str], plan: Callable[[Generator], Plan], alcoves: int = 12
) -> dict[str, float]:
    """Rate times the share of readings that each kind can happen in."""
    rng = np.random.default_rng(seed + 1)
    every = RATES if NONE in kinds else {kind: RATES[kind] for kind in kinds}
    happens = dict.fromkeys(every, 0.0)
    for _ in range(alcoves):
        alcove = drawn_alcove(rng, plan=plan(rng))
        true = _taped(alcove, honest(alcove, rng))
        for kind, rate in every.items():
            places = sum(can_happen(kind, true, place) for place in range(true.count))
            happens[kind] += rate * places / true.count / alcoves
    happens[NONE] = sum(happens.values()) * UNLISTED_SHARE / (1 - UNLISTED_SHARE)
    return {kind: happens[kind] for kind in kinds}


def honest(alcove: Alcove, rng: Generator) -> list[Reading]:
    return [
        taped(size, alcove.truth_mm[size.name] + rectangular_error_mm(size, rng))
        for size in alcove.all_sizes()
    ]


def _taped(alcove: Alcove, readings: Sequence[Reading]) -> Taped:
    return Taped(tuple(alcove.all_sizes()), tuple(round_length(r.mm, 16) for r in readings))


def _with_text(reading: Reading, text: str) -> Reading:
    length = parse_length(text, "in")
    return replace(reading, mm=float(length.mm), unit=length.unit, text=text)


def photos_of(alcove: Alcove, rng: Generator, own_mm: float = 1.5) -> PhotoEstimates:
    """What photos with checked cards say: ``own_mm`` for each size alone, 0.1 % in common."""
    seen = [
        s.name for s in alcove.all_sizes() if s.name.removeprefix(f"{s.wall} ").startswith(SEEN)
    ]
    truth = np.array([alcove.truth_mm[name] for name in seen])
    spread = np.outer(truth, truth) * 0.001**2 + np.eye(truth.size) * own_mm**2
    error = 0.001 * rng.normal() * truth + own_mm * rng.normal(size=truth.size)
    return PhotoEstimates(tuple(seen), truth + error, spread)
