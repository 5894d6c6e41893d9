"""Which boxes are beside one another: a value is mostly put into one of these by mistake."""

from __future__ import annotations

import itertools

from service.measuring.alcove.judging import as_read
from service.measuring.alcove.slip_places import alcove_book
from service.measuring.alcove.vocabulary import USUAL_ROOM
from service.measuring.slip_book import INSTALLER_BOOK
from tests.measuring.alcove.worked import worked_alcove


def test_boxes_beside_one_another_on_the_worked_alcove() -> None:
    """Next on the list, also over the end of a wall; opposite; the same on the other end wall."""
    walls, readings = worked_alcove("29 1/16")
    beside = alcove_book(walls, as_read(None, readings), INSTALLER_BOOK, USUAL_ROOM).beside
    for wall, following in itertools.pairwise(walls):
        last, first = wall.sizes[-1].name, following.sizes[0].name
        assert first in beside[last]
        assert last in beside[first]
    assert {"back left 40", "back right 64"} <= set(beside["back left 64"])
    assert "far end inner 40" in beside["plumbing inner 40"]
    assert all(one in beside[other] for one, names in beside.items() for other in names)
    assert "plumbing valve down" not in beside["back left 64"]
