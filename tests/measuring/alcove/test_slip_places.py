"""Which boxes are beside one another: a value is mostly put into one of these by mistake."""

from __future__ import annotations

import itertools

import pytest

from service.measuring.alcove.judging import as_read
from service.measuring.alcove.slip_places import alcove_book
from service.measuring.alcove.vocabulary import USUAL_ROOM, Role, Size, WallSizes
from service.measuring.boxes import Boxes
from service.measuring.estimates import Estimate
from service.measuring.slip_book import INSTALLER_BOOK
from service.measuring.slip_kinds import SlipKind
from service.measuring.slips import suspect_slip
from tests.measuring.alcove.worked import worked_alcove
from tests.measuring.wall import mm_of, read


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


def test_what_cannot_happen_in_a_size() -> None:
    """No plaster behind a height, no caulk in a level line to the floor, no name for an offset."""
    walls, readings = worked_alcove("29 1/16")
    cannot = alcove_book(walls, as_read(None, readings), INSTALLER_BOOK, USUAL_ROOM).cannot
    roles = {size.name: size.role for wall in walls for size in wall.sizes}
    by_role = {role: cannot[name] for name, role in roles.items()}
    assert by_role[Role.OFFSET] == {SlipKind.NOMINAL}
    assert by_role[Role.WIDTH] == frozenset()
    assert by_role[Role.HEIGHT] == {SlipKind.WRONG_REFERENCE, SlipKind.NOMINAL}
    assert by_role[Role.FIXTURE_DOWN] == {
        SlipKind.WRONG_REFERENCE,
        SlipKind.CAULK,
        SlipKind.NOMINAL,
    }


@pytest.mark.parametrize(
    ("role", "kinds"),
    [(Role.HEIGHT, {SlipKind.INCH}), (Role.WIDTH, {SlipKind.INCH, SlipKind.NOMINAL})],
)
def test_a_height_has_no_name(role: Role, kinds: set[SlipKind]) -> None:
    """66 for 65 in: of a height an inch, of a width that or the name of the size."""
    wall = WallSizes("back", (Size("back w", "back", role),))
    book = alcove_book([wall], {}, INSTALLER_BOOK, USUAL_ROOM)
    found = suspect_slip(read("r", "back w", "66"), Estimate(mm_of("65"), 1.0), Boxes(), book)
    assert ({found.kind} | set(found.either)) - {SlipKind.TAKE_AGAIN} == kinds
