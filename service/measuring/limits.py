"""Limits of the shop and of the tests, in one place."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from service.measuring.adjustment import CONFLICT_W

NAMED_ODDS: Final = 1.5


@dataclass(frozen=True, slots=True)
class Limits:
    """Where a reading agrees, conflicts, and is checked well enough.

    Attributes
    ----------
    slip_mm
        The smallest slip that a check must be able to catch: 1/4 in.
    agree_en
        Largest |E_n| that agrees (ISO 13528).
    conflict_w
        Largest |w| that does not conflict: 0.1 %, two-sided.
    clear_odds
        A culprit is told from another only when it is this much likelier.
    named_odds
        A kind of slip that says one size is named only when it is this much likelier than all
        others together; one that fits several sizes or a stretch of them needs 4 to 25 times as
        much, a wrong box eight tenths. Chosen so that few names are wrong: see the long studies.
    """

    slip_mm: float = 6.35
    agree_en: float = 1.0
    conflict_w: float = CONFLICT_W
    clear_odds: float = 10.0
    named_odds: float = NAMED_ODDS
