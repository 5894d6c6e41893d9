"""One photo's pixels turned into what the adjustment needs of them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from vision.card.found import FoundCard
from vision.card.search import SearchNote, find_cards
from vision.card.selftest import check_installation
from vision.errors import Refusal
from vision.photo.decode import decode_photo
from vision.photo.photograph import Header
from vision.photo.unusual import judged
from vision.quality.advice import Advice, card_advice


@dataclass(frozen=True)
class Sight:
    """What one photo shows: its header, the cards in it, advice on them, and notes on the rest.

    ``refusal`` is set, and the rest empty, where the file is not a photo that can be used.
    """

    header: Header | None
    cards: tuple[FoundCard, ...] = ()
    advice: tuple[Advice, ...] = ()
    refusal: Refusal | None = None
    notes: tuple[SearchNote, ...] = ()


def look(data: bytes) -> Sight:
    """Decode a photo and find its cards; a photo that will not do says so, never raises.

    Raises
    ------
    SelfTestError
        If the installed OpenCV does not count pixels as this program does; found out once.
    """
    _installation_checked()
    try:
        photo = judged(decode_photo(data))
    except Refusal as refusal:
        return Sight(header=None, refusal=refusal)
    search = find_cards(photo.grey)
    if not search.cards and find_cards(np.ascontiguousarray(photo.grey[:, ::-1])).cards:
        return Sight(header=None, refusal=_mirrored())
    advice = tuple(item for card in search.cards for item in card_advice(card))
    return Sight(photo.header, search.cards, advice, notes=search.notes)


def _mirrored() -> Refusal:
    return Refusal(
        "mirrored",
        "The photo is mirrored, as front cameras and some apps keep it: left is right in it.",
        "Take it with the back camera, or turn mirroring off, and send it as it was taken.",
    )


@cache
def _installation_checked() -> float:
    return check_installation()
