"""Release of one sheet: what proves a size, who may override, what asks for a second look."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from service.measuring.agreement import judge
from service.measuring.alcove.judging import judge_alcove
from service.measuring.alcove.sheet_needs import sheet_needs
from service.measuring.instruments import Instrument, InstrumentKind, Method
from service.measuring.reading import Reading
from service.measuring.release.facts import NothingChecks, Override, SecondLook
from service.measuring.release.judged import JudgedReading, JudgedSize, JudgedWall
from service.measuring.release.sheet import SheetState, looks_for
from service.measuring.release.size import Held, Proof, ProvedSize, size_proof
from tests.measuring.release.judged import needing, reported
from tests.measuring.wall import photos, read
from tests.support.simulated_alcove import drawn_alcove, taped

HAND = {NothingChecks.HAND: "left hand"}


def _state(
    readings: list[Reading],
    overrides: tuple[Override, ...] = (),
    u_mm: float = 1.0,
    sizes: tuple[str, ...] = ("w",),
    looks: tuple[SecondLook, ...] = (),
    wanted: dict[NothingChecks, str] | None = None,
) -> SheetState:
    judged = judge(["w", "h"], photos(w=(1521.0, u_mm), h=(1600.0, u_mm)), readings)
    wall = reported(judged, readings)
    return needing("back", sizes, wall, overrides, looks, wanted)


def _by(who: str | None, reading: Reading) -> Reading:
    return replace(reading, who=who)


def test_a_checked_size_releases_its_sheet_and_not_another() -> None:
    """The width is taped and checked, the height is not: one sheet may go, the other not."""
    readings = [read("r", "w", "59 7/8")]
    state = _state(readings)
    assert state.may_be_released
    assert [(size.name, size.proof) for size in state.proved] == [("w", Proof.CHECKED)]

    other = _state(readings, sizes=("w", "h"))
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
        (_by("someone", read("r2", "w", "59 7/8")), False),
        (_by("-", read("r2", "w", "59 7/8")), False),
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


def test_two_rough_readings_prove_nothing() -> None:
    """Both stated within 3 mm: 5/16 in apart they would agree as well, so a slip may hide in them;
    within 2 mm, a 1/4 in slip would show."""
    rough = [_by(who, replace(read(who, "w", "59 7/8"), u_mm=3.0)) for who in ("A", "B")]
    state = _state(rough, u_mm=20.0)
    assert [(held.why, held.do) for held in state.held] == [
        (
            "taped twice, but too roughly to show a 1/4 in slip",
            "tape it again, by another person or another method",
        )
    ]

    finer = [replace(reading, u_mm=2.0) for reading in rough]
    assert _state(finer, u_mm=20.0).proved[0].proof is Proof.TAPED_TWICE


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
        ("B", " - ", "overridden without a reason"),
        ("someone", "I am sure", "overridden by nobody known"),
        ("...", "I am sure", "overridden by nobody known"),
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


@pytest.mark.parametrize(
    ("who", "replaces", "why"),
    [
        ("B", None, "overridden by the one who taped it"),
        ("A", "r2", "overridden by the one who taped it"),
        ("C", None, ""),
    ],
)
def test_two_who_taped_the_same_let_it_not_stand_for_one_another(
    who: str, replaces: str | None, why: str
) -> None:
    """A and B read the same wrongly, beside each other or one after the other: a third may override
    it."""
    readings = [_by("B", read("r2", "w", "58 7/8")), _by("A", read("r1", "w", "58 7/8"))]
    if replaces:
        readings = [
            _by("A", read("r2", "w", "58 7/8")),
            _by("B", read("r1", "w", "58 7/8", replaces=replaces)),
        ]
    state = _state(readings, (Override("w", "r1", who, "looked at it"),))
    assert [held.why for held in state.held] == ([why] if why else [])


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
        (None, "nothing can check it"),
        (SecondLook(NothingChecks.HAND, "left hand", "A", "A"), "confirmed by the one who stated"),
        (SecondLook(NothingChecks.HAND, "left hand", "A"), "confirmed by the one who stated it"),
        (SecondLook(NothingChecks.HAND, "left hand", None, "B"), "confirmed by the one who"),
        (SecondLook(NothingChecks.TOP, "left hand", "A", "B"), "nothing can check it"),
        (
            SecondLook(NothingChecks.HAND, "right hand", "A", "B"),
            "confirmed as right hand, and now it is left hand",
        ),
        (SecondLook(NothingChecks.HAND, "left hand", "A", "B"), ""),
        (SecondLook(NothingChecks.HAND, "left hand", photo="hand.jpg"), ""),
    ],
)
def test_what_nothing_checks_asks_for_a_second_look(look: SecondLook | None, held: str) -> None:
    """A second person or a photo with the tape in it, for just that thing as it is now."""
    looks = (look,) if look else ()
    state = _state([read("r", "w", "59 7/8")], wanted=HAND, looks=looks)
    assert [h.what for h in state.held] == (["hand"] if held else [])
    assert all(h.why.startswith(held) for h in state.held)
    assert state.may_be_released is not bool(held)


def test_what_is_common_to_the_alcove_is_vouched_for_once() -> None:
    """A look at top or hold-down speaks for every sheet, one at a hand for its own alone; the
    sheet's own looks are the last, so that a sheet is told of its own where none counts."""
    hand, top, own = (
        SecondLook(what, "1", "A", "B")
        for what in (NothingChecks.HAND, NothingChecks.TOP, NothingChecks.TOP)
    )
    looks = {"plumbing": [hand, top], "back": [own]}
    assert looks_for("back", looks) == (top, own)
    assert looks_for("plumbing", looks) == (own, hand, top)
    assert looks_for("far end", looks) == (top, own)


def test_a_whole_alcove_without_a_photo_releases_its_back_sheet() -> None:
    """Fully taped by hand, the back sheet may go; an end sheet waits for what nothing checks."""
    alcove = drawn_alcove(np.random.default_rng(2))
    readings = [taped(size, alcove.truth_mm[size.name]) for size in alcove.all_sizes()]
    judged = judge_alcove(alcove.walls(), None, readings).judgement
    wall = reported(judged, readings)
    states = {sizes.wall: needing(sizes.wall, sheet_needs(sizes), wall) for sizes in alcove.walls()}
    assert states["back"].may_be_released
    assert "plumbing inner 0" in {held.what for held in states["plumbing"].held}


def _told(size: JudgedSize, *readings: JudgedReading, **blocking: str) -> ProvedSize | Held:
    wall = JudgedWall("w.json", (size,), readings, tuple(blocking.items()))
    return size_proof(size, wall)


def _figures(**changes: object) -> JudgedSize:
    """A size that agrees and is checked, with changes."""
    size = JudgedSize("w", "agrees", True, 751.0, 0.7, 751.1, 0.5, 751.4, 1.0, 751.9, 1.8, 0.2, 4.0)
    return replace(size, **changes)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"status": "photo only", "tape_mm": None, "en": None, "checked": False}, "not taped"),
        ({"status": "tape only", "en": None, "checked": False}, "nothing checks"),
        ({"status": "unsure", "en": 1.2}, "take this reading again"),
        ({"status": "conflicts", "en": 5.0}, "conflict"),
        ({"checked": False}, "not marked as checked"),
        ({"mdb_mm": 6.4}, "too vague"),
        ({"en": 1.01}, "E_n"),
        ({"tape_mm": None}, "no tape"),
        ({"status": "fine"}, "not known"),
    ],
)
def test_a_size_is_judged_by_its_figures(changes: dict[str, object], why: str) -> None:
    """Whatever a report's flags say: agreement, E_n and the least slip decide."""
    assert isinstance(_told(_figures()), ProvedSize)
    found = _told(_figures(**changes))
    assert isinstance(found, Held)
    assert why in found.why


def test_what_a_report_says_of_a_size_holds_it() -> None:
    """A clash that no figure shows holds the size, and not another one."""
    found = _told(_figures(), w="readings contradict each other")
    assert isinstance(found, Held)
    assert found.why == "readings contradict each other"
    other = _figures(name="h")
    wall = JudgedWall("w.json", (_figures(), other), (), (("h", "not taped"),))
    assert isinstance(size_proof(wall.sizes[0], wall), ProvedSize)


def test_what_a_report_says_of_no_size_of_its_own_holds_all() -> None:
    """A reason that names no size is one of the whole report."""
    assert isinstance(_told(_figures(), all="made from other photos"), Held)


def test_a_third_reading_that_differs_is_not_outvoted() -> None:
    """Two persons agree and a third does not: taped twice proves nothing."""
    size = _figures(status="tape only", checked=False, en=None)
    two = [JudgedReading(i, "tape only", 0.7, "w", 751.0, who) for i, who in ("1A", "2B")]
    third = JudgedReading("3", "tape only", 0.7, "w", 757.0, "C")
    assert isinstance(_told(size, *two), ProvedSize)
    assert isinstance(_told(size, *two, third), Held)


def test_a_replaced_reading_is_no_second_one() -> None:
    """The slip that was taken again by another person does not count as their agreement."""
    size = _figures(status="tape only", checked=False, en=None)
    old = JudgedReading("1", "replaced", 0.7, "w", 751.0, "A")
    new = JudgedReading("2", "tape only", 0.7, "w", 751.0, "B")
    assert isinstance(_told(size, old, new), Held)


def test_a_report_that_does_not_tell_its_readings_is_not_taped_twice() -> None:
    """Readings without value or person, as older reports have them, prove nothing."""
    size = _figures(status="tape only", checked=False, en=None)
    bare = [JudgedReading(i, "tape only", 0.7) for i in "12"]
    assert isinstance(_told(size, *bare), Held)
