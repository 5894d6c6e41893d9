"""Slips: each listed kind named when it is the one, and nothing named when none is clear."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from service.measuring.agreement import judge
from service.measuring.boxes import Boxes
from service.measuring.estimates import Closure, Estimate
from service.measuring.instruments import Instrument, InstrumentKind, Method
from service.measuring.reading import Reading
from service.measuring.slip_kinds import (
    INSTALLER_RATES,
    SALESPERSON_RATES,
    SlipKind,
    wording,
)
from service.measuring.slips import (
    INSTALLER_BOOK,
    Elsewhere,
    SlipBook,
    Suspect,
    suspect_slip,
)
from tests.measuring.wall import mm_of, photos, read


def _suspect(
    written: str, true: str, u_mm: float = 1.5, book: SlipBook = INSTALLER_BOOK
) -> Suspect:
    """A reading as written, and what everything else expects: the truth, within u."""
    return suspect_slip(read("r", "w", written), Estimate(mm_of(true), u_mm), Boxes(), book)


def _book_without(left_out: SlipKind) -> SlipBook:
    rates: dict[SlipKind, float] = dict(INSTALLER_RATES)
    del rates[left_out]
    return SlipBook(rates)


@pytest.mark.parametrize("u_mm", [1.0, 1.5, 2.0, 3.0])
@pytest.mark.parametrize(
    ("written", "true"), [("59 7/8", "60 7/8"), ("60 7/8", "59 7/8"), ("28 5/16", "29 5/16")]
)
def test_an_inch_is_named_with_what_was_meant(written: str, true: str, u_mm: float) -> None:
    """A reading an inch short or long is named so while the rest is good to 1 to 3 mm."""
    found = _suspect(written, true, u_mm)
    assert (found.kind, found.meant) == (SlipKind.INCH, true)
    assert found.odds >= (10 if u_mm < 3 else 5)


@pytest.mark.parametrize(
    ("written", "true", "kind"),
    [
        ("59 7/8", "71 7/8", SlipKind.FOOT),
        ("4' 11 7/8\"", "5' 11 7/8\"", SlipKind.FOOT),
        ("59", "59 11/16", SlipKind.FRACTION_DROPPED),
        ("59 13/16", "59 3/16", SlipKind.WRONG_END),
        ("59 3/4", "69 3/4", SlipKind.TEN_INCHES),
        ("95 7/8", "59 7/8", SlipKind.DIGITS_SWAPPED),
        ("15 7/8", "50 7/8", SlipKind.MISHEARD),
        ("50 7/8", "15 7/8", SlipKind.MISHEARD),
        ("66 1/4", "96 1/4", SlipKind.WRONG_END),
        ("1251 mm", "1521 mm", SlipKind.DIGITS_SWAPPED),
    ],
)
def test_each_sharp_kind_is_named(written: str, true: str, kind: SlipKind) -> None:
    """The kinds that say exactly what was meant are named with it, as it was written."""
    found = _suspect(written, true)
    assert (found.kind, found.meant) == (kind, true)


@pytest.mark.parametrize(
    ("written", "true", "kind"),
    [
        ("60 1/4", "59 7/8", SlipKind.WRONG_REFERENCE),
        ("152.1 in", "1521 mm", SlipKind.UNITS),
        ("152.1 mm", "1521 mm", SlipKind.UNITS),
    ],
)
def test_each_loose_kind_is_named(written: str, true: str, kind: SlipKind) -> None:
    """Reference and unit are named."""
    assert _suspect(written, true, 1.0).kind is kind


def test_a_case_is_named_where_its_length_is_known() -> None:
    """3 7/16 in short is the case of a tape that has it printed on it; of any tape, take again."""
    known = replace(INSTALLER_BOOK, case_mm=3.4375 * 25.4)
    assert _suspect("56 7/16", "59 7/8", 1.0, known).kind is SlipKind.CASE_LENGTH
    assert _suspect("56 7/16", "59 7/8", 1.0).kind is SlipKind.TAKE_AGAIN


def test_a_laser_has_a_front_and_no_case() -> None:
    """Short by its own length, a laser meter was set to its front."""
    laser = Instrument(InstrumentKind.LASER, method=Method.LASER_REAR)
    reading = replace(read("r", "w", "56 7/16"), instrument=laser)
    book = replace(INSTALLER_BOOK, case_mm=3.4375 * 25.4)
    found = suspect_slip(reading, Estimate(mm_of("59 7/8"), 1.5), Boxes(), book)
    assert found.kind is SlipKind.LASER_FRONT


def test_a_hold_down_is_looked_for_in_heights_only() -> None:
    """3/4 in is a forgotten hold-down in a height, and take-again in a width."""
    heights = replace(INSTALLER_BOOK, heights=frozenset({"w"}))
    assert _suspect("66 13/16", "66 1/16", 1.0, heights).kind is SlipKind.HOLD_DOWN
    assert _suspect("66 13/16", "66 1/16", 1.0).kind is SlipKind.TAKE_AGAIN


def test_an_inch_hold_down_cannot_be_told_from_a_burnt_inch() -> None:
    """With the hold-down at 1 in neither is named, and both stand in the answer."""
    book = replace(INSTALLER_BOOK, heights=frozenset({"w"}), hold_down_mm=25.4)
    found = _suspect("65 1/16", "66 1/16", 1.0, book)
    assert found.kind is SlipKind.TAKE_AGAIN
    assert found.meant is None


@pytest.mark.parametrize("off", ["61 9/16", "60 1/2", "52 1/4", "50 3/8"])
def test_what_no_kind_explains_is_taken_again(off: str) -> None:
    """A difference that fits no slip gets no name and no value."""
    found = _suspect(off, "59 7/8")
    assert (found.kind, found.meant) == (SlipKind.TAKE_AGAIN, None)


def test_eighths_for_sixteenths_where_no_tile_step_explains_it_too() -> None:
    """7/16 for 7/8 is 7/16 in, too near a tile's 3/8 to be told from it; without tile it is."""
    found = _suspect("59 7/16", "59 7/8", 1.0, _book_without(SlipKind.WRONG_REFERENCE))
    assert (found.kind, found.meant) == (SlipKind.EIGHTHS, "59 7/8")
    assert _suspect("59 7/16", "59 7/8", 1.0).kind is SlipKind.TAKE_AGAIN


def test_a_sixteenth_past_the_inch_may_be_the_wrong_end() -> None:
    """28 1/16 for 29 1/16 is an inch, for 28 15/16 the wrong end: told apart only if sharp."""
    assert _suspect("28 1/16", "29 1/16", 0.7).kind is SlipKind.INCH
    assert _suspect("28 1/16", "29 1/16", 3.0).kind is SlipKind.TAKE_AGAIN


def test_a_vague_expectation_names_nothing() -> None:
    """With 25 mm of doubt an inch is not told from anything else."""
    assert _suspect("59 7/8", "60 7/8", 25.0).kind is SlipKind.TAKE_AGAIN


def test_a_slip_that_never_happens_here_is_not_named() -> None:
    """A shop's own rates decide: without inches in its book no inch is named."""
    found = _suspect("59 7/8", "60 7/8", 1.5, _book_without(SlipKind.INCH))
    assert found.kind is not SlipKind.INCH


def test_repeats_that_agree_point_to_the_mark_in_the_photo() -> None:
    """Three readings alike, and a difference of no listed size: look at the photo."""
    readings = [read(f"r{n}", "w", "57 9/16", tape=f"t{n}") for n in range(3)]
    found = judge(["w"], photos(w=(mm_of("59 1/16"), 1.0)), readings)
    suspect = found.dimension("w").suspect
    assert suspect is not None
    assert suspect.kind is SlipKind.PHOTO_MARK


def test_a_reading_without_text_is_judged_by_its_size_alone() -> None:
    """Digits cannot be misread where none were written; an inch still can."""
    reading = Reading("r", "w", mm_of("59 7/8"))
    found = suspect_slip(reading, Estimate(mm_of("60 7/8"), 1.5), Boxes())
    assert found.kind is SlipKind.INCH
    assert found.meant == "1546.2 mm"


@pytest.mark.parametrize(
    ("written", "true"),
    [
        ("37 13/16", "14 7/8"),  # no scale of centimetres has sixteenths
        ("5 11/16", "14 7/16"),  # whoever reads 14 7/16 in and calls it centimetres writes cm
        ("29", "290"),  # no unit is a tenth of an inch
    ],
)
def test_a_factor_alone_is_no_unit(written: str, true: str) -> None:
    """The number must be one that is read in the other unit."""
    assert _suspect(written, true).kind is not SlipKind.UNITS


def test_a_factor_spreads_the_reading_and_not_the_truth() -> None:
    """Centimetres taken for inches: the odds are those of densities in the reading's own scale."""
    others = {"h": Estimate(1520.0 * 2.54, 1.5)}
    only = SlipBook({SlipKind.UNITS: 1.0, SlipKind.WRONG_BOX: 1.0})
    found = suspect_slip(read("r", "w", "152 in"), Estimate(1520.0, 1.5), Boxes(others), only)
    # By hand, both at their centre: 0.8 over (2.54 sigma) against 1 over sigma of the other box.
    u_mm = read("r", "w", "152 in").uncertainty.u_mm
    spread = np.hypot(u_mm, 1.5)
    expected = (1 / spread) / (0.8 / (spread * 2.54))
    assert found.odds == pytest.approx(expected, rel=0.02)


def test_odds_are_those_against_the_runner_up() -> None:
    """Odds are finite, and the runner-up is another kind of the list."""
    found = _suspect("59 7/8", "60 7/8")
    assert 10 <= found.odds <= 1e6
    assert found.runner_up in {str(kind) for kind in SlipKind}
    assert found.runner_up != str(found.kind)


def test_the_list_of_kinds_is_closed() -> None:
    """Every kind has words, and a rate unless it is an answer rather than a slip."""
    answers = {SlipKind.PRINT_SCALE, SlipKind.TAKE_AGAIN}
    assert set(INSTALLER_RATES) == set(SALESPERSON_RATES) == set(SlipKind) - answers
    assert all(wording(kind) for kind in SlipKind)


def test_rates_are_those_of_the_trade() -> None:
    """Common practice: slips per 1,000 readings, installer / salesperson."""
    both = [
        (INSTALLER_RATES[kind], SALESPERSON_RATES[kind])
        for kind in (SlipKind.INCH, SlipKind.FOOT, SlipKind.FRACTION_DROPPED, SlipKind.HOLD_DOWN)
    ]
    assert both == [(3, 8), (0.5, 2), (2, 15), (4, 10)]
    reference = [INSTALLER_RATES[k] for k in (SlipKind.WRONG_REFERENCE, SlipKind.CAULK)]
    assert sum(reference) == 8


def _placed(kind: SlipKind, step_mm: float) -> SlipBook:
    return replace(INSTALLER_BOOK, elsewhere={"w": [Elsewhere(kind, step_mm, spread_mm=1.0)]})


def test_a_mirrored_pipe_is_asked_about() -> None:
    """A pipe read 4 in to one side, and by everything else 4 in to the other."""
    mirrored = _placed(SlipKind.MIRRORED, 2 * mm_of("4"))
    found = suspect_slip(read("r", "w", "4"), Estimate(-mm_of("4"), 1.5), Boxes(), mirrored)
    assert found.kind is SlipKind.MIRRORED
    assert found.text == "which way were you facing?"


def test_a_tape_from_the_sheet_is_no_tape_from_the_wall() -> None:
    """7/8 in short where sheet, bed and joint make just that: the sheet's edge."""
    found = _suspect("13 1/4", "14 1/8", 0.7, _placed(SlipKind.SHEET_EDGE, -mm_of("7/8")))
    assert found.kind is SlipKind.SHEET_EDGE


@pytest.mark.parametrize(("true", "kind"), [("58 5/8", "nominal"), ("60 5/8", "fraction dropped")])
def test_a_written_sixty_is_a_nominal(true: str, kind: str) -> None:
    """60 for 58 5/8 is what the alcove is called; for 60 5/8 the fraction is missing."""
    assert str(_suspect("60", true, 1.0, SlipBook(SALESPERSON_RATES)).kind) == kind


def test_a_unit_settles_what_geometry_cannot() -> None:
    """3.875 cm from plumb against a corner that closes with 3 7/8 in: the unit names the one."""
    closing = Closure("pipe", {"plumb": 1.0, "corner": -1.0}, -mm_of("10"), u_mm=1.0)
    readings = [read("r1", "plumb", "3.875 cm"), read("r2", "corner", "13 7/8")]
    found = judge(["plumb", "corner"], None, readings, closures=[closing])
    plumb, corner = (d.suspect for d in found.dimensions)
    assert plumb is not None
    assert corner is not None
    assert (plumb.kind, plumb.reading, plumb.again) == (SlipKind.UNITS, "r1", "r1")
    assert (corner.kind, corner.again) == (SlipKind.TAKE_AGAIN, "r1")
    assert corner.text == "contradicts r1, the likelier one to be off: take that again"


def test_two_kinds_that_predict_the_same_are_both_said() -> None:
    """28 1/16 for 29 is an inch or the fraction from the wrong end: both are asked about."""
    found = _suspect("28 1/16", "29", 1.2)
    assert found.kind is SlipKind.TAKE_AGAIN
    assert set(found.either) == {SlipKind.INCH, SlipKind.WRONG_END}
    assert "did you burn an inch?" in found.text
    assert "was the tape upside down?" in found.text


def test_rates_three_times_out_change_no_clear_name() -> None:
    """An inch stays an inch with its own rate a third and every other rate threefold."""
    rates = {kind: 3 * rate for kind, rate in INSTALLER_RATES.items()}
    off = SlipBook({**rates, SlipKind.INCH: INSTALLER_RATES[SlipKind.INCH] / 3})
    assert _suspect("59 7/8", "60 7/8", 1.2, off).kind is SlipKind.INCH


def test_a_height_between_two_stations_is_asked_about() -> None:
    """Half way to the next station's value is another height, where nothing else explains it."""
    only = SlipBook(
        {SlipKind.OTHER_HEIGHT: 3.0, SlipKind.UNLISTED: 0.01}, next_heights={"w": ("v",)}
    )
    others = {"v": Estimate(mm_of("30 1/2"), 0.5)}
    found = suspect_slip(read("r", "w", "30"), Estimate(mm_of("29 1/2"), 0.5), Boxes(others), only)
    assert found.kind is SlipKind.OTHER_HEIGHT
    beyond = suspect_slip(
        read("r", "w", "28 1/2"), Estimate(mm_of("29 1/2"), 0.5), Boxes(others), only
    )
    assert beyond.kind is SlipKind.TAKE_AGAIN


@pytest.mark.parametrize("seed", range(5))
def test_the_likeliest_reading_is_the_one_whose_repeat_tells_most(seed: int) -> None:
    """A repeat settles whether its reading was off: it lowers the expected entropy over which one
    was by most for the likeliest, counted out over every outcome."""
    odds = np.random.default_rng(seed).dirichlet(np.ones(4))

    def left(place: int) -> float:
        rest = np.delete(odds, place)
        return float(-(rest * np.log(rest / rest.sum())).sum())

    assert min(range(4), key=left) == int(odds.argmax())
