"""Locked revisions: letters, fingerprints, and what a change re-opens."""

from __future__ import annotations

from dataclasses import replace

import pytest

from service.measuring.agreement import judge
from service.measuring.estimates import Estimate
from service.measuring.field_truth import Evidence
from service.measuring.reading import Reading
from service.measuring.release.revision import (
    NotReleasable,
    changes_between,
    changes_since,
    fingerprint,
    is_intact,
    lock,
    next_letter,
)
from service.measuring.release.sealed import cut_lines
from service.measuring.release.sheet import SheetState
from tests.measuring.release.judged import needing, reported
from tests.measuring.wall import photos, read


def _state(sheet: str, width: str = "59 7/8", top: str = "3/4", sizes: str = "w") -> SheetState:
    readings: list[Reading] = [read("r1", "w", width), read("r2", "h", "63")]
    judged = judge(["w", "h"], photos(w=(1521.0, 1.0), h=(1600.0, 1.0)), readings)
    return needing(sheet, (sizes,), reported(judged, readings), facts={"top": top})


def test_a_held_sheet_cannot_be_locked() -> None:
    """What holds it is in the message."""
    with pytest.raises(
        NotReleasable, match="back: expected nothing to hold it, but w: conflicts with the photos"
    ):
        lock(_state("back", "58 7/8"), [], "C", "2026-11-24")


def test_revisions_have_letters_sheet_by_sheet() -> None:
    """A, then B; another sheet begins at A again."""
    first = lock(_state("back"), [], "C", "2026-11-24")
    second = lock(_state("back"), [first], "C", "2026-11-25")
    other = lock(_state("plumbing"), [first, second], "C", "2026-11-25")
    assert (first.letter, second.letter, other.letter) == ("A", "B", "A")


@pytest.mark.parametrize(
    ("letter", "following"),
    [("A", "B"), ("H", "J"), ("N", "P"), ("Z", "AA"), ("AZ", "BA"), ("ZZ", "AAA")],
)
def test_letters_run_on(letter: str, following: str) -> None:
    """After Z comes AA."""
    assert next_letter(letter) == following


def test_a_revision_that_was_touched_is_not_intact() -> None:
    """Any other content, letter or sheet has another fingerprint."""
    revision = lock(_state("back"), [], "C", "2026-11-24")
    assert is_intact(revision)
    assert not is_intact(replace(revision, letter="B"))
    assert not is_intact(replace(revision, content={**revision.content, "top": "1"}))


def test_the_same_facts_keep_it_locked() -> None:
    """Judged again from the same readings, nothing has changed."""
    assert changes_since(lock(_state("back"), [], "C", "t"), _state("back")) == ()


def test_a_change_reopens_only_the_sheets_it_touches() -> None:
    """A corrected width re-opens the sheet that is cut by it, and says what it was."""
    back = lock(_state("back"), [], "C", "t")
    far_end = lock(_state("far end", sizes="h"), [], "C", "t")
    (change,) = changes_since(back, _state("back", "59 15/16"))
    assert change.what == "size w"
    assert change.text.startswith("size w: was 59")
    assert ", now 59" in change.text
    assert changes_since(far_end, _state("far end", "59 15/16", sizes="h")) == ()


def test_what_changed_from_one_revision_to_the_next() -> None:
    """B says what it has otherwise than A."""
    first = lock(_state("back"), [], "C", "t")
    second = lock(_state("back", top="1"), [first], "C", "u")
    assert [change.text for change in changes_between(first, second)] == ["top: was 3/4, now 1"]


def test_a_hair_is_no_change_from_one_revision_to_the_next() -> None:
    """Nine sizes that each moved by 0.002 mm stood before the one that was changed."""
    state = _state("back")
    first = lock(state, [], "C", "t")
    (size,) = state.proved
    for moved_mm, told in ((0.3, False), (0.5, True)):
        moved = replace(state, proved=(replace(size, mm=size.mm + moved_mm),))
        changes = changes_between(first, lock(moved, [first], "C", "u"))
        assert bool(changes) is told


def test_another_top_reopens_and_is_said() -> None:
    """Facts other than sizes count too."""
    revision = lock(_state("back"), [], "C", "t")
    assert [c.text for c in changes_since(revision, _state("back", top="1"))] == [
        "top: was 3/4, now 1"
    ]


def test_a_conflict_that_comes_later_reopens() -> None:
    """A size that is no longer proved is gone from what was locked, and says what holds it."""
    revision = lock(_state("back"), [], "C", "t")
    texts = [change.text for change in changes_since(revision, _state("back", "58 7/8"))]
    assert any(
        text.startswith("size w: was") and text.endswith("does not count any more")
        for text in texts
    )
    assert any(text.startswith("not proved: w: new, conflicts with") for text in texts)


def test_a_hair_does_not_reopen_and_a_sixty_fourth_does() -> None:
    """Best values move by a hair with every reading elsewhere; 1/64 in is a change."""
    state = _state("back")
    revision = lock(state, [], "C", "t")
    (size,) = state.proved
    for moved_mm, opens in ((0.3, False), (0.5, True)):
        moved = replace(state, proved=(replace(size, mm=size.mm + moved_mm),))
        assert bool(changes_since(revision, moved)) is opens


def _by(who: str, state: SheetState) -> SheetState:
    """The same with its readings by somebody else."""
    named = tuple(
        replace(size, taped=tuple(f"{one}, by {who}" for one in size.taped))
        for size in state.proved
    )
    return replace(state, proved=named)


def test_what_lies_beside_the_content_is_sealed_with_it() -> None:
    """Who released it and when, the sizes as figures, and what photos and tape said."""
    said = Evidence("Phone One", {"w": (Estimate(1521.0, 1.0), Estimate(1520.8, 0.7))})
    revision = lock(_state("back"), [], "C", "2026-11-24", said)
    off = Evidence("Phone One", {"w": (Estimate(1521.0, 9.0), Estimate(1520.8, 0.7))})

    assert is_intact(revision)
    assert not is_intact(replace(revision, who="D"))
    assert not is_intact(replace(revision, at="2026-11-25"))
    assert not is_intact(replace(revision, sizes_mm={"w": 1500.0}))
    assert not is_intact(replace(revision, evidence=off))
    assert not is_intact(replace(revision, evidence=None))


def test_a_revision_without_that_is_intact_by_its_content() -> None:
    """As it was locked by an earlier version: nothing is asked of what lies beside."""
    revision = lock(_state("back"), [], "C", "2026-11-24")
    content = cut_lines(revision.content)
    earlier = replace(
        revision, content=content, fingerprint=fingerprint("back", "A", content), who="somebody"
    )

    assert is_intact(earlier)
    assert changes_since(earlier, _by("T. Helper", _state("back"))) == ()
    assert not is_intact(replace(earlier, content={**content, "top": "1"}))


def test_a_reading_by_somebody_else_reopens_and_a_further_one_does_not() -> None:
    """The value is the same; whose word it was is not. One that came to it, or took it again,
    leaves the word that was given."""
    first = _by("A", _state("back"))
    revision = lock(first, [], "C", "t")
    (size,) = first.proved
    further = replace(size, taped=(*size.taped, "59 7/8 by B"))
    corrected = replace(size, taped=("59 7/8 by B",), corrected=size.taped)

    (change,) = changes_since(revision, _by("B", _state("back")))

    assert change.text.startswith("taped: w: was 59 7/8")
    assert change.text.endswith("by B")
    for later in (further, corrected):
        assert changes_since(revision, replace(first, proved=(later,))) == ()
