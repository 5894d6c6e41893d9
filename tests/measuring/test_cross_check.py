"""What a cross-check says of each size: in words without ids, and what became of each reading."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from service.lengths import inches_text
from service.measuring.alcove.judging import judge_alcove
from service.measuring.alcove.vocabulary import Role, Side, Size, WallSizes
from service.measuring.cross_check import CheckedSize, WallPart, cross_check
from service.measuring.judgement import Status
from service.measuring.reading import Reading
from tests.measuring.alcove.worked import worked_alcove
from tests.measuring.wall import mm_of, read

THREE = WallSizes(
    "back",
    (
        Size("left", "back", Role.OFFSET, Side.LEFT, mm_of("16")),
        Size("right", "back", Role.OFFSET, Side.RIGHT, mm_of("16")),
        Size("width", "back", Role.WIDTH, down_mm=mm_of("16")),
    ),
)


def _checked(readings: Sequence[Reading], wall: WallSizes = THREE) -> dict[str, CheckedSize]:
    judged = judge_alcove([wall], None, readings)
    part = WallPart(wall, {size.name: size.name for size in wall.sizes})
    found = cross_check([part], judged.judgement, readings, judged.closings)
    return {row.name: row for row in found.rows}


def _out_by_an_inch(left: str, right: str, width: str) -> list[Reading]:
    return [
        read(left, "left", "29 9/16"),
        read(right, "right", "28"),
        read(width, "width", "58 9/16"),
    ]


@pytest.mark.parametrize(
    "ids", [("r1", "r2", "r3"), ("1", "2", "16"), ("a", "e", "o"), ("this", "one", "again")]
)
def test_readings_are_called_by_their_sizes(ids: tuple[str, str, str]) -> None:
    """Whatever the ids are, letters or words of the sentence among them, none is told and the rest
    of the words stays as it is."""
    rows = _checked(_out_by_an_inch(*ids))

    assert rows["left"].suspect.startswith("this one or width, right: did you burn an inch? Take ")
    assert rows["right"].suspect.startswith("this one or width, left: did you burn an inch? Take ")
    ends = {row.suspect.partition("? ")[2] for row in rows.values()}
    assert len(ends & {f"Take {name} again first" for name in rows}) == 1
    assert ends - {f"Take {name} again first" for name in rows} == {"Take this one again first"}


def test_no_id_is_told_whatever_is_off() -> None:
    """The right offset a sixteenth to 20 in out, with the width or beside a second reading: each
    way in which a judgement speaks of other readings comes up, and no id is left in any."""
    said = []
    for sixteenths in range(-330, 330, 9):
        right = inches_text(mm_of("29") + sixteenths * 25.4 / 16)
        readings = [read("zq1", "left", "29 9/16"), read("zq2", "right", right)]
        for third in (read("zq3", "width", "58 9/16"), read("zq4", "right", "29")):
            taken = [*readings, third]
            judged = judge_alcove([THREE], None, taken).judgement
            said += [d.suspect.text for d in judged.dimensions if d.suspect is not None]
            assert not [row for row in _checked(taken).values() if "zq" in row.suspect]
    for way in ("this one or zq", "contradicts zq", "the likelier one", "nothing tells", "ake zq"):
        assert [text for text in said if way in text and "zq" in text], way


def test_where_two_kinds_fit_every_size_sends_to_one_and_the_same_reading() -> None:
    """Three readings clash and two kinds of slip fit: beside each the same one is to be taken
    again, and a hint that is no question ends before the next one begins."""
    several = 0
    for sixteenths in range(-64, 65):
        right = inches_text(mm_of("29") + sixteenths * 25.4 / 16)
        readings = [
            read("r1", "left", "29 9/16"),
            read("r2", "right", right),
            read("r3", "width", "58 9/16"),
        ]
        judged = judge_alcove([THREE], None, readings).judgement
        told = [d.suspect for d in judged.dimensions if d.suspect and d.suspect.either]
        clashing = [suspect for suspect in told if suspect.rivals]
        several += len(clashing) > 1
        assert len({suspect.again for suspect in clashing}) <= 1
        for suspect in clashing:
            assert suspect.text.endswith(f"Take {suspect.again} again first")
        for suspect in told:
            assert all(said[-1] in "?." for said in suspect.text.split(" Or: ")[:-1])
    assert several


def test_two_readings_of_one_size_are_told_apart_by_what_they_say() -> None:
    """29 9/16 and 28 9/16, and nothing else: each is spoken of as it was written."""
    row = _checked([read("x", "left", "29 9/16"), read("y", "left", "28 9/16")])["left"]

    assert "or the 2" in row.suspect
    assert "burn an inch" in row.suspect
    assert (row.status, row.done) == (Status.TAPE_ONLY, ("still open",))
    assert "contradict each other" in row.holds


def test_a_size_of_another_wall_is_called_by_its_wall() -> None:
    """A corner's height from two walls: the other wall's is named with its wall."""
    walls, readings = worked_alcove("29 1/16")
    kept = tuple(
        replace(wall, sizes=tuple(s for s in wall.sizes if s.name.endswith(("deck left", "inner"))))
        for wall in walls[:2]
    )
    heights = {"back deck left": "66", "plumbing deck inner": "65"}
    taken = [
        replace(r, mm=mm_of(heights[r.dimension]), text=heights[r.dimension])
        for r in readings
        if r.dimension in heights
    ]
    judged = judge_alcove(kept, None, taken)
    parts = [
        WallPart(wall, {s.name: s.name.removeprefix(f"{wall.wall} ") for s in wall.sizes})
        for wall in kept
    ]
    rows = {row.name: row for row in cross_check(parts, judged.judgement, taken, ()).rows}
    assert "deck inner on the plumbing wall" in rows["deck left"].suspect
    assert "deck left on the back wall" in rows["deck inner"].suspect


def test_a_reading_put_down_to_another_size_is_told() -> None:
    """29 was written for the left and is the right one's: taken back there, nothing is in doubt,
    and no reading that no longer stands is shown."""
    rows = _checked(
        [
            read("r1", "left", "29"),
            read("r2", "right", "29", replaces="r1"),
            read("r3", "left", "29 9/16"),
            read("r4", "width", "58 9/16"),
        ]
    )
    assert {row.status for row in rows.values()} == {Status.AGREES}
    assert (rows["left"].readings, rows["right"].readings) == (("29 9/16",), ("29",))
    (told,) = rows["left"].done
    assert told.startswith("29 was taken back: it is 29 (")
    assert told.endswith(" of right")
    assert rows["right"].done == ()


def test_a_size_left_without_a_reading_is_taped_blind() -> None:
    """Its only reading was another size's: whoever tapes it now is told nothing of it."""
    rows = _checked(
        [
            read("r1", "left", "29"),
            read("r2", "right", "29", replaces="r1"),
            read("r4", "width", "58 9/16"),
        ]
    )
    assert rows["left"].blind
    assert rows["left"].readings == ()


def test_what_two_persons_taped_holds_nothing() -> None:
    """No photo and no closure checks it, but another person taped it too: its sheet may be cut by
    it, and the cross-check says no other. The same person twice is not enough."""
    once = replace(read("r1", "left", "29 9/16"), who="Ann Smith")
    twice = replace(read("r2", "left", "29 9/16"), who="Bert Jones")

    assert _checked([once])["left"].holds == "in no photo, and no other reading checks it"
    assert _checked([once, replace(twice, who="A. Smith")])["left"].holds
    assert _checked([once, twice])["left"].holds == ""
    far = replace(twice, mm=mm_of("28 9/16"), text="28 9/16")
    assert _checked([once, far])["left"].holds
