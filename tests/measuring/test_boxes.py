"""A right reading in the wrong box: told by the boxes it fits, filled or empty."""

from __future__ import annotations

import numpy as np
import pytest

from service.measuring.agreement import judge
from service.measuring.boxes import Boxes
from service.measuring.estimates import Closure, Estimate
from service.measuring.slip_kinds import SlipKind
from service.measuring.slips import SlipBook, Suspect, suspect_slip
from service.measuring.weighing import ranked_slips
from tests.measuring.wall import mm_of, photos, read


def test_a_reading_in_the_wrong_box_names_the_box() -> None:
    """A value that fits another dimension of the wall says which."""
    others = {"height left": Estimate(mm_of("66 1/16"), 1.0), "height right": Estimate(1750.0, 1.0)}
    found = suspect_slip(read("r", "w", "66 1/16"), Estimate(mm_of("58 7/16"), 1.5), Boxes(others))
    assert found.kind is SlipKind.WRONG_BOX
    assert "height left" in found.text


def test_the_same_writing_in_two_boxes_weighs_more_than_a_near_value() -> None:
    """A value that another box holds to the sixteenth is likelier its copy, a near one less: by
    hand, three parts of a copy that is certain of its sixteenth and one that is near it."""
    reading = read("r", "w", "66 1/16")
    others = {"h": Estimate(reading.mm, 1.0)}
    only = SlipBook({SlipKind.WRONG_BOX: 3.0})

    def weight(filled: tuple[str, ...], same: tuple[str, ...]) -> float:
        ranked = ranked_slips(reading, Estimate(1500.0, 1.5), Boxes(others, filled, same), only)
        return next(slip.weight for slip in ranked if slip.kind is SlipKind.WRONG_BOX)

    spread = float(np.hypot(reading.uncertainty.u_mm, 1.0))
    near = (0.95 + 0.05 / 3) / (spread * np.sqrt(2 * np.pi))
    assert weight((), ()) == pytest.approx(3 * near)
    assert weight(("h",), ()) == pytest.approx(3 / 8 * near)
    assert weight(("h",), ("h",)) == pytest.approx(3 / 8 * (3 * 16 / 25.4 + near))


def test_an_empty_box_weighs_by_how_few_are_empty() -> None:
    """By hand: that the one empty box of twenty is the one which the value fits, is twenty times
    less likely by chance; where all are empty, it says nothing."""
    reading, only = read("r", "w", "66 1/16"), SlipBook({SlipKind.WRONG_BOX: 3.0})
    others = {"h": Estimate(reading.mm, 1.0)}

    def weight(empty_share: float) -> float:
        boxes = Boxes(others, empty=("h",), empty_share=empty_share)
        ranked = ranked_slips(reading, Estimate(1500.0, 1.5), boxes, only)
        return next(slip.weight for slip in ranked if slip.kind is SlipKind.WRONG_BOX)

    spread = float(np.hypot(reading.uncertainty.u_mm, 1.0))
    near = (0.95 + 0.05 / 3) / (spread * np.sqrt(2 * np.pi))
    assert weight(1.0) == pytest.approx(3 * near)
    assert weight(1 / 20) == pytest.approx(20 * 3 * near)


def _wall_with_a_gap(gaps: int) -> Suspect:
    """Twenty sizes in photos; what was taped of ``d0`` stands in the box of ``d9``, seven inches
    off; the first ``gaps`` sizes have no reading of their own."""
    sizes = {f"d{place}": 900.0 + 61.0 * place for place in range(20)}
    sizes["d9"] = sizes["d0"] - mm_of("7")
    seen = photos(**{name: (mm, 1.5) for name, mm in sizes.items()})
    readings = [
        read(name, name, f"{mm if name != 'd9' else sizes['d0']:.1f} mm")
        for place, (name, mm) in enumerate(sizes.items())
        if place >= gaps
    ]
    found = judge(list(sizes), seen, readings).dimension("d9").suspect
    assert found is not None
    return found


def test_a_value_that_fits_the_one_empty_box_is_of_it() -> None:
    """One box of twenty is empty and the value fits it: named. Half of them empty: it may be."""
    one, many = _wall_with_a_gap(1), _wall_with_a_gap(9)
    assert one.kind is SlipKind.WRONG_BOX
    assert "d0" in one.text
    assert many.kind is not SlipKind.WRONG_BOX or many.odds < one.odds / 2


def test_a_copy_is_told_from_the_readings_of_a_wall() -> None:
    """Judged together, the odds for a wrong box rise where the other box reads just the same."""
    names = ["w", "h"]
    photo = photos(w=(mm_of("60"), 1.5), h=(mm_of("66 1/16"), 1.5))

    def odds(other: str) -> float:
        readings = [read("r", "w", "66 1/16"), read("s", "h", other)]
        suspect = judge(names, photo, readings).dimension("w").suspect
        assert suspect is not None
        assert suspect.kind is SlipKind.WRONG_BOX
        return suspect.odds

    assert odds("66 1/16") > 3 * odds("66")


def test_swapped_boxes_are_told_by_each_other() -> None:
    """Two readings that fit one another's sizes are in one another's boxes."""
    readings = [read("r1", "w", "31 7/8"), read("r2", "h", "59 7/8")]
    found = judge(["w", "h"], photos(w=(1521.0, 1.5), h=(809.5, 1.5)), readings)
    kinds = [d.suspect.kind for d in found.dimensions if d.suspect is not None]
    assert kinds == [SlipKind.WRONG_BOX, SlipKind.WRONG_BOX]


def test_two_readings_in_one_anothers_boxes_close_when_put_back() -> None:
    """Plumb and corner of a pipe written the wrong way round: no single slip makes 20 in, the
    swap does."""
    closing = Closure("pipe", {"plumb": 1.0, "corner": -1.0}, -mm_of("10"), u_mm=1.0)
    readings = [read("r1", "plumb", "14 3/16"), read("r2", "corner", "4 3/16")]
    found = judge(["plumb", "corner"], None, readings, closures=[closing])
    kinds = [d.suspect.kind for d in found.dimensions if d.suspect is not None]
    assert kinds == [SlipKind.WRONG_BOX, SlipKind.WRONG_BOX]


def test_two_far_boxes_swapped_are_one_slip() -> None:
    """Two sizes set aside each by itself, and far too far off for a slip: put back, both fit."""
    closings = [Closure(f"{n} {m}", {n: 1.0, m: -1.0}, 0.0, 0.5) for n, m in ("wx", "xy", "hi")]
    closings.append(Closure("ij", {"i": 1.0, "j": -1.0}, 0.0, 0.5))
    texts = {
        "w": "31 7/8",
        "x": "59 7/8",
        "y": "59 7/8",
        "h": "59 7/8",
        "i": "31 7/8",
        "j": "31 7/8",
    }
    readings = [read(name, name, text) for name, text in texts.items()]
    found = judge(list(texts), None, readings, closures=closings)
    kinds = {d.name: d.suspect.kind for d in found.dimensions if d.suspect is not None}
    assert kinds["w"] is kinds["h"] is SlipKind.WRONG_BOX


def test_no_reading_is_accused_of_a_size_that_no_alcove_has() -> None:
    """A size that hardly moves the closure would have to be 50 yd: it is the other that is off."""
    closing = Closure("front", {"front": 1.0, "width": -1.0, "depth": 0.02}, 0.0, 2.0)
    readings = [read("f", "front", "29"), read("w", "width", "60"), read("d", "depth", "29")]
    seen = photos(width=(mm_of("60"), 1.0))
    found = judge(["front", "width", "depth"], seen, readings, closures=[closing])
    suspect = found.dimension("front").suspect
    assert suspect is not None
    assert suspect.again != "d"
