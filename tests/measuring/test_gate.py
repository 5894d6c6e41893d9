"""The release gate: what shuts it, and that nothing else opens it."""

from __future__ import annotations

import numpy as np
import pytest

from service.measuring.agreement import judge
from service.measuring.estimates import Closure, PhotoEstimates
from service.measuring.gate import release_gate
from service.measuring.reading import Reading
from tests.measuring.wall import photos, read

GOOD = photos(w=(1520.8, 1.0), h=(1600.2, 1.0))
TAPED = [read("r1", "w", "59 7/8"), read("r2", "h", "63")]


def _why(photo: PhotoEstimates | None, readings: list[Reading]) -> dict[str, str]:
    gate = release_gate(judge(["w", "h"], photo, readings))
    assert gate.open == (not gate.blocking)
    return {block.dimension: block.why for block in gate.blocking}


def test_taped_agreeing_and_checked_opens() -> None:
    """The one way through."""
    assert _why(GOOD, TAPED) == {}


def test_a_size_not_taped_blocks() -> None:
    """Photos alone release nothing."""
    assert _why(GOOD, TAPED[:1]) == {"h": "not taped"}


@pytest.mark.parametrize(
    ("photo", "text", "said"),
    [
        (GOOD, "58 7/8", "conflicts with"),
        (GOOD, "59 3/4", "neither agrees nor clearly conflicts"),
        (photos(w=(1520.8, 3.0), h=(1600.2, 1.0)), "59 7/8", "too weak to catch a 1/4 in slip"),
        (photos(h=(1600.2, 1.0)), "59 7/8", "in no photo"),
    ],
)
def test_each_reason_is_said(photo: PhotoEstimates, text: str, said: str) -> None:
    """Conflict, doubt, a weak check and no check at all each block in their own words."""
    why = _why(photo, [read("r1", "w", text), TAPED[1]])
    assert list(why) == ["w"]
    assert said in why["w"]


def test_a_shop_may_ask_for_a_sharper_check() -> None:
    """What would show 1/4 in and not 1/8 in shuts the gate of a shop that asks for that, which
    changes nothing else; held to 1/4 in again it is what it was."""
    judged = judge(["w", "h"], GOOD, TAPED)
    strict = judged.held_to(3.175)

    assert [
        (d.checked, s.checked) for d, s in zip(judged.dimensions, strict.dimensions, strict=True)
    ] == [(True, False)] * 2
    assert {b.why for b in release_gate(strict).blocking} == {
        "the check is too weak to catch a 1/8 in slip"
    }
    assert strict.held_to(6.35) == judged


def test_a_clash_says_that_nothing_tells() -> None:
    """Two readings of one size that contradict each other block it, photos or not."""
    readings = [read("r1", "w", "59 7/8"), read("r3", "w", "58 7/8"), TAPED[1]]
    assert "nothing tells which" in _why(photos(h=(1600.2, 1.0)), readings)["w"]


def test_repeats_that_agree_do_not_contradict_each_other() -> None:
    """A width taped twice alike contradicts the offsets that make it, and not itself."""
    readings = [read("w1", "w", "60"), read("w2", "w", "60")]
    offsets = [read("a1", "a", "29 1/2"), read("b1", "b", "29 1/2")]
    closure = Closure("offsets make the width", {"w": 1.0, "a": -1.0, "b": -1.0}, 0.0, 0.3)
    judged = judge(["w", "a", "b"], None, [*readings, *offsets], closures=[closure])

    assert {b.dimension: b.why for b in release_gate(judged).blocking}["w"] == (
        "contradicts another size and nothing tells which is off: tape both again"
    )


def test_retaping_opens_what_a_slip_shut() -> None:
    """The slip shuts the gate; the correction opens it."""
    slipped = [read("r1", "w", "58 7/8"), TAPED[1]]
    assert "w" in _why(GOOD, slipped)
    assert _why(GOOD, [*slipped, read("r3", "w", "59 7/8", replaces="r1")]) == {}


def test_a_second_reading_that_agrees_opens_too() -> None:
    """The slip may stay on record, set aside, once the size is taped again."""
    assert _why(GOOD, [read("r1", "w", "58 7/8"), TAPED[1], read("r3", "w", "59 7/8")]) == {}


def test_a_wrong_print_scale_shuts_every_size_in_the_photos() -> None:
    """One factor over all sizes is the card's print, and nothing is released on it."""
    names = tuple("abcde")
    mm = np.array([1520.0, 1400.0, 900.0, 1600.0, 700.0])
    photo = PhotoEstimates(names, mm / 1.01, np.eye(5))
    gate = release_gate(
        judge(names, photo, [Reading(n, n, m, u_mm=0.7) for n, m in zip(names, mm, strict=True)])
    )
    assert {block.dimension for block in gate.blocking} == set(names)
    assert "check the card's bars" in gate.blocking[0].why


def test_a_wall_without_sizes_releases_nothing() -> None:
    """An empty list of dimensions is not an open gate."""
    assert not release_gate(judge([], None, [])).open
