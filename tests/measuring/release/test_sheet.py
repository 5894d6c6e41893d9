"""Release of one sheet: what proves a size, who may override, what asks for a second look."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from service.measuring.agreement import judge
from service.measuring.alcove.judging import judge_alcove
from service.measuring.alcove.vocabulary import Role, Side, Size, Surface, WallSizes
from service.measuring.instruments import Instrument, InstrumentKind, Method
from service.measuring.reading import Reading
from service.measuring.release.facts import (
    NothingChecks,
    Override,
    SecondLook,
    SheetNeeds,
    needs_of,
)
from service.measuring.release.sheet import Proof, SheetState, sheet_state
from tests.measuring.wall import photos, read
from tests.support.simulated_alcove import drawn_alcove, taped

WIDTH = SheetNeeds("back", ("w",))


def _state(
    readings: list[Reading],
    overrides: tuple[Override, ...] = (),
    u_mm: float = 1.0,
    needs: SheetNeeds = WIDTH,
    looks: tuple[SecondLook, ...] = (),
) -> SheetState:
    judged = judge(["w", "h"], photos(w=(1521.0, u_mm), h=(1600.0, u_mm)), readings)
    return sheet_state(needs, judged, readings, overrides, looks)


def _by(who: str | None, reading: Reading) -> Reading:
    return replace(reading, who=who)


def test_a_checked_size_releases_its_sheet_and_not_another() -> None:
    """The width is taped and checked, the height is not: one sheet may go, the other not."""
    readings = [read("r", "w", "59 7/8")]
    state = _state(readings)
    assert state.may_be_released
    assert [(size.name, size.proof) for size in state.proved] == [("w", Proof.CHECKED)]

    other = _state(readings, needs=SheetNeeds("plumbing", ("w", "h")))
    assert not other.may_be_released
    assert [(held.what, held.why, held.do) for held in other.held] == [
        ("h", "not taped", "tape it")
    ]


def test_agreement_too_vague_to_disagree_holds_the_sheet() -> None:
    """Photos of 20 mm agree with anything: the size is to be taped by someone else."""
    state = _state([_by("A", read("r", "w", "59 7/8"))], u_mm=20.0)
    assert [held.do for held in state.held] == [
        "tape it again, by another person or another method"
    ]


@pytest.mark.parametrize(
    ("second", "proved"),
    [
        (_by("B", read("r2", "w", "59 7/8")), True),
        (_by("A", read("r2", "w", "59 7/8")), False),
        (_by("a ", read("r2", "w", "59 7/8")), False),
        (_by(None, read("r2", "w", "59 7/8")), False),
        (_by("A", read("r2", "w", "59 7/8", tape="t2")), False),
    ],
)
def test_a_second_person_proves_what_nothing_checks(second: Reading, proved: bool) -> None:
    """Another person does; the same one, or one nobody named, does not."""
    state = _state([_by("A", read("r1", "w", "59 7/8")), second], u_mm=20.0)
    assert state.may_be_released is proved
    if proved:
        assert (state.proved[0].proof, state.proved[0].note) == (
            Proof.TAPED_TWICE,
            "taped by A and B",
        )


def test_another_method_proves_it_too() -> None:
    """The same person with a rod after the tape."""
    rod = Instrument(InstrumentKind.ROD, method=Method.ROD)
    second = replace(_by("A", read("r2", "w", "59 7/8")), instrument=rod)
    state = _state([_by("A", read("r1", "w", "59 7/8")), second], u_mm=20.0)
    assert state.proved[0].note == "taped hook to mark and rod"


def test_two_persons_who_do_not_agree_prove_nothing() -> None:
    """1/4 in apart, neither is proved."""
    readings = [_by("A", read("r1", "w", "59 7/8")), _by("B", read("r2", "w", "60 1/8"))]
    assert not _state(readings, u_mm=20.0).may_be_released


@pytest.mark.parametrize(
    ("who", "reason", "why"),
    [
        ("B", "photo mark is on the trim", ""),
        ("A", "I am sure", "overridden by the one who taped it"),
        (" a", "I am sure", "overridden by the one who taped it"),
        ("B", "  ", "overridden without a reason"),
    ],
)
def test_a_conflict_is_overridden_by_another_person_with_a_reason(
    who: str, reason: str, why: str
) -> None:
    """Someone other than the taper, and not in silence; the reason goes with the size."""
    readings = [_by("A", read("r", "w", "58 7/8"))]
    state = _state(readings, (Override("w", "r", who, reason),))
    assert [held.why for held in state.held] == ([why] if why else [])
    if not why:
        assert state.proved[0].mm == pytest.approx(58.875 * 25.4)
        assert state.proved[0].note == "override by B: photo mark is on the trim"


def test_an_override_needs_a_known_taper_and_a_standing_reading() -> None:
    """Nobody told who taped it, or it was corrected since: the override does not count."""
    override = Override("w", "r", "B", "looked at it")
    unknown = _state([read("r", "w", "58 7/8")], (override,))
    assert unknown.held[0].why == "overridden, but nobody told who taped it"
    corrected = [_by("A", read("r", "w", "58 7/8")), _by("A", read("r2", "w", "58", replaces="r"))]
    assert _state(corrected, (override,)).held[0].why.endswith("no longer stands")


def test_a_conflict_is_not_settled_by_saying_it_twice() -> None:
    """Two persons with the same inch against sharp photos: still in conflict."""
    readings = [_by("A", read("r1", "w", "58 7/8")), _by("B", read("r2", "w", "58 7/8"))]
    assert not _state(readings).may_be_released


@pytest.mark.parametrize(
    ("look", "held"),
    [
        (None, True),
        (SecondLook(NothingChecks.HAND, "A", "A"), True),
        (SecondLook(NothingChecks.HAND, "A"), True),
        (SecondLook(NothingChecks.HAND, None, "B"), True),
        (SecondLook(NothingChecks.TOP, "A", "B"), True),
        (SecondLook(NothingChecks.HAND, "A", "B"), False),
        (SecondLook(NothingChecks.HAND, photo="hand.jpg"), False),
    ],
)
def test_what_nothing_checks_asks_for_a_second_look(look: SecondLook | None, held: bool) -> None:
    """A second person or a photo with the tape in it, and for just that thing."""
    needs = SheetNeeds("back", ("w",), (NothingChecks.HAND,))
    state = _state([read("r", "w", "59 7/8")], needs=needs, looks=(look,) if look else ())
    assert [h.what for h in state.held] == (["hand"] if held else [])


def test_an_end_sheet_asks_for_its_hand_and_its_valve() -> None:
    """The plumbing wall asks for hold-down, top, hand and valve; the back wall for two of them."""
    walls = {wall.wall: wall for wall in drawn_alcove(np.random.default_rng(1)).walls()}
    assert set(needs_of(walls["plumbing"], ()).looks) == set(NothingChecks)
    assert set(needs_of(walls["back"], ()).looks) == {NothingChecks.HOLD_DOWN, NothingChecks.TOP}


def test_as_hung_readings_take_the_place_of_those_to_the_tile() -> None:
    """Once taped from the hung face, an end sheet is cut by that and not by the old offset."""
    hung = Size("hung 16", "plumbing", Role.OFFSET, Side.INNER, 406.4, surface=Surface.HUNG)
    tile = Size("inner 16", "plumbing", Role.OFFSET, Side.INNER, 406.4, surface=Surface.TILE)
    wall = WallSizes("plumbing", (tile, hung), Side.RIGHT)
    assert needs_of(wall, ()).sizes == ("inner 16",)
    assert needs_of(wall, ("inner 16", "hung 16")).sizes == ("hung 16",)


def test_a_whole_alcove_without_a_photo_releases_its_back_sheet() -> None:
    """Fully taped by hand, the back sheet may go; an end sheet waits for what nothing checks."""
    alcove = drawn_alcove(np.random.default_rng(2))
    readings = [taped(size, alcove.truth_mm[size.name]) for size in alcove.all_sizes()]
    judged = judge_alcove(alcove.walls(), None, readings).judgement
    looks = [SecondLook(what, "A", "B") for what in NothingChecks]
    states = {
        wall.wall: sheet_state(
            needs_of(wall, [r.dimension for r in readings]), judged, readings, (), looks
        )
        for wall in alcove.walls()
    }
    assert states["back"].may_be_released
    assert "plumbing inner 0" in {held.what for held in states["plumbing"].held}
