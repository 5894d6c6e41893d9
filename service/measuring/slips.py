"""What a conflicting reading was probably meant to be: which kind of slip is named.

The kinds are weighed one against all others together, "none of these" among them (`weighing`). A
kind is named only where it is clearly likelier than all the rest; where two kinds together are,
both are said; otherwise the advice is to take the reading again.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from service.measuring.boxes import Boxes
from service.measuring.estimates import Estimate
from service.measuring.limits import NAMED_ODDS
from service.measuring.reading import Reading
from service.measuring.slip_book import INSTALLER_BOOK, Elsewhere, SlipBook
from service.measuring.slip_kinds import SlipKind, asking, wording
from service.measuring.weighing import Weighed, ranked_slips

__all__ = ["INSTALLER_BOOK", "Elsewhere", "SlipBook", "Suspect", "choose", "suspect_slip"]

MOST_ODDS: Final = 1e6
_LOOSE: Final = frozenset(
    {
        SlipKind.WRONG_REFERENCE,
        SlipKind.CAULK,
        SlipKind.BENT_TAPE,
        SlipKind.SHEET_EDGE,
        SlipKind.OTHER_HEIGHT,
        SlipKind.NOMINAL,
        SlipKind.PHOTO_MARK,
    }
)
_SEVERAL: Final = frozenset({SlipKind.FRACTION_DROPPED, SlipKind.WRONG_END, SlipKind.EIGHTHS})
"""Kinds that fit several values as well as the right one."""
_LOOSER: Final = 4.0
_OF_SEVERAL: Final = 6.0
_VAGUER: Final = 25.0
"""How much more it takes to name a kind that fits a stretch of values, several, or nearly all:
what such a kind beats the rest by hangs on rates that nobody knows well."""
_BOX: Final = 0.8
"""A look at the paper settles whether a value is in the right box, and no second way to the wall:
it is asked once it is likelier than all else."""
_FITS: Final = 2.5
"""Standard deviations: a slip of a kind lands nearer to the kind's own value, 99 times in 100."""


@dataclass(frozen=True, slots=True)
class Suspect:
    """The likeliest slip behind a reading.

    Attributes
    ----------
    reading
        Its id.
    kind
        ``take again`` where no kind is clearly likelier than the rest.
    meant
        What was meant, as the reading was written; None where the kind does not say.
    odds
        Of the likeliest kind against the next.
    runner_up
        The next kind; of ``take again`` the likeliest one, which was not clear enough to be named.
    text
        As a colleague would say it.
    again
        Id of the reading whose repeat would tell most; its own, unless it contradicts another.
    either
        The two kinds that it is one of, where they are told from the rest but not from one
        another.
    rivals
        Ids of the other readings that may be the one that is off.
    truth
        What everything else says of its size, a magnitude, where this reading alone is accused.
    """

    reading: str
    kind: SlipKind
    meant: str | None
    odds: float
    runner_up: str | None
    text: str
    again: str | None = None
    either: tuple[SlipKind, ...] = ()
    rivals: tuple[str, ...] = ()
    truth: Estimate | None = None


@dataclass(frozen=True, slots=True)
class Choice:
    """What comes of weighing the kinds.

    Attributes
    ----------
    slip
        The likeliest kind, at its heaviest.
    named
        Whether it is clearly likelier than all the rest together.
    odds
        Against the next kind.
    runner_up
        That next kind.
    either
        Two kinds, where only both together are clearly likelier than the rest.
    """

    slip: Weighed
    named: bool
    odds: float
    runner_up: SlipKind
    either: tuple[SlipKind, ...]

    @property
    def likeliest(self) -> SlipKind:
        """The likeliest kind that has a name."""
        return self.slip.kind if _nameable(self.slip.kind) else self.runner_up


def choose(weighed: Sequence[tuple[float, Weighed]], named_odds: float) -> Choice:
    """Weigh the kinds: pairs of a logarithm of weight and a slip, of at least two kinds."""
    logs: dict[SlipKind, list[float]] = {}
    heaviest: dict[SlipKind, tuple[float, Weighed]] = {}
    for log, slip in weighed:
        logs.setdefault(slip.kind, []).append(log)
        if slip.kind not in heaviest or log > heaviest[slip.kind][0]:
            heaviest[slip.kind] = (log, slip)
    ranked = sorted(((log_sum(of), kind) for kind, of in logs.items()), key=lambda one: -one[0])
    (best, kind), (second, next_kind) = ranked[0], ranked[1]
    slip = heaviest[kind][1]
    against_rest = _odds(best - log_sum([log for log, _ in ranked[1:]]))
    named = _nameable(kind) and against_rest >= _needed(slip, named_odds)
    either: tuple[SlipKind, ...] = ()
    if not named and _nameable(kind) and _nameable(next_kind):
        other = heaviest[next_kind][1]
        both = _odds(log_sum([best, second]) - log_sum([log for log, _ in ranked[2:]]))
        if both >= max(_needed(slip, named_odds), _needed(other, named_odds)):
            either = (kind, next_kind)
    return Choice(slip, named, _odds(best - second), next_kind, either)


def suspect_slip(
    reading: Reading,
    truth: Estimate,
    boxes: Boxes,
    book: SlipBook = INSTALLER_BOOK,
    named_odds: float = NAMED_ODDS,
    witnesses: int = 1,
) -> Suspect:
    """The likeliest slip of one conflicting reading.

    Parameters
    ----------
    reading
        The reading, a magnitude.
    truth
        What everything that agrees says of its dimension, as a magnitude.
    boxes
        The other dimensions, for a value in the wrong box.
    book
        Rates and the shop's sizes.
    named_odds
        Least odds against all the rest at which a sharp kind is named; a looser one needs more, up
        to 25 times.
    witnesses
        Readings that say the same as this one. Each further one makes a slip of the tape less
        likely, and a wrong mark in the photo no less.
    """
    ranked = ranked_slips(reading, truth, boxes, book, witnesses)
    choice = choose([(log_of(slip.weight), slip) for slip in ranked], named_odds)
    if not choice.named:
        return take_again(reading, choice)
    slip = choice.slip
    said = wording(slip.kind, slip.meant if slip.meant is not None else slip.where)
    return Suspect(reading.id, slip.kind, slip.meant, choice.odds, str(choice.runner_up), said)


def take_again(reading: Reading, choice: Choice | None = None) -> Suspect:
    """No kind is named: the reading has to be taken again."""
    kind = SlipKind.TAKE_AGAIN
    if choice is None:
        return Suspect(reading.id, kind, None, 1.0, None, wording(kind))
    text = either_wording(choice.either) if choice.either else wording(kind)
    likeliest = str(choice.likeliest)
    return Suspect(reading.id, kind, None, choice.odds, likeliest, text, either=choice.either)


def either_wording(kinds: Sequence[SlipKind], again: str = "this one") -> str:
    """Two questions that the same reading asks, and which reading settles them."""
    return f"{' Or: '.join(map(asking, kinds))} Take {again} again"


def log_of(weight: float) -> float:
    return math.log(weight) if weight > 0 else -math.inf


def log_sum(logs: Sequence[float]) -> float:
    """Logarithm of the sum of what these are the logarithms of."""
    top = max(logs, default=-math.inf)
    if top == -math.inf:
        return top
    return top + math.log(sum(math.exp(log - top) for log in logs))


def _odds(difference: float) -> float:
    return min(math.exp(min(difference, 50.0)), MOST_ODDS) if difference == difference else 1.0


def _needed(slip: Weighed, named_odds: float) -> float:
    """What a kind must beat the rest by: the looser its size, the more; a poor fit never does."""
    if slip.off > _FITS:
        return math.inf
    if slip.vague:
        return named_odds * _VAGUER
    if slip.kind is SlipKind.WRONG_BOX:
        return named_odds * _BOX
    if slip.kind in _SEVERAL:
        return named_odds * _OF_SEVERAL
    return named_odds * (_LOOSER if slip.kind in _LOOSE else 1.0)


def _nameable(kind: SlipKind) -> bool:
    return kind not in (SlipKind.UNLISTED, SlipKind.TAKE_AGAIN)
