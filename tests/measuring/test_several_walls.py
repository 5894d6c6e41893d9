"""Photos of several walls that owe to one print, against closed forms."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from service.measuring.alcove.judging import judge_alcove
from service.measuring.alcove.vocabulary import Role, Side, Size, WallSizes
from service.measuring.estimates import KnownScale, PhotoEstimates
from service.measuring.several_walls import together
from tests.measuring.wall import read

HEIGHT_MM = 66 * 25.4
OWN_U_MM = 0.8
BACK, END = "back deck left", "plumbing deck inner"
CORNER = (
    WallSizes("back", (Size(BACK, "back", Role.HEIGHT, Side.LEFT),)),
    WallSizes("plumbing", (Size(END, "plumbing", Role.HEIGHT, Side.INNER),), Side.RIGHT),
)
RULER = KnownScale("job A", "y", 1.0, 0.0009)
UNCHECKED = KnownScale("serial 1", "y", 1.0, 0.015, 0.013)


def height(name: str, scale: KnownScale) -> PhotoEstimates:
    """The corner's height as a wall's photos see it, by a print known no better than stated."""
    variance = OWN_U_MM**2 + (HEIGHT_MM * scale.u) ** 2
    by_scale = np.array([[HEIGHT_MM]])
    return PhotoEstimates(
        (name,), np.array([HEIGHT_MM]), np.array([[variance]]), (scale,), by_scale
    )


@pytest.mark.parametrize(
    ("one", "other", "common_u"),
    [
        (RULER, RULER, 0.0009),
        (UNCHECKED, UNCHECKED, 0.015),
        (UNCHECKED, replace(UNCHECKED, name="serial 2"), 0.013),
        (RULER, replace(RULER, scale=1.002), 0.0),
        (RULER, replace(RULER, name="job B"), 0.0),
        (UNCHECKED, replace(UNCHECKED, axis="x"), 0.0),
    ],
    ids=["one ruler", "one sheet", "printed in one go", "another reading", "two rulers", "axes"],
)
def test_walls_err_together_by_what_they_know_in_common(
    one: KnownScale, other: KnownScale, common_u: float
) -> None:
    joint = together([height(BACK, one), height(END, other)])
    assert joint is not None
    assert joint.covariance_mm2[0, 1] == pytest.approx((HEIGHT_MM * common_u) ** 2)
    assert joint.covariance_mm2[1, 0] == joint.covariance_mm2[0, 1]
    assert np.diag(joint.covariance_mm2) == pytest.approx(
        [OWN_U_MM**2 + (HEIGHT_MM * scale.u) ** 2 for scale in (one, other)]
    )


def test_walls_without_photos_say_nothing() -> None:
    photo = height(BACK, RULER)
    alone = together([None, photo])
    assert together([None, None]) is None
    assert alone is not None
    assert alone.names == (BACK,)
    assert alone.covariance_mm2 == pytest.approx(photo.covariance_mm2)


def test_two_walls_of_one_print_are_one_witness_to_a_corner() -> None:
    """Apart they would be two, and the reading be called checked by what may be wrong in both."""
    readings = [read("r", BACK, "66")]
    both = [height(BACK, RULER), height(END, RULER)]
    apart = [height(BACK, RULER), height(END, replace(RULER, name="job B"))]
    one_print, two_prints = (
        judge_alcove(CORNER, together(photos), readings).judgement.dimension(BACK)
        for photos in (both, apart)
    )
    assert two_prints.checked
    assert not one_print.checked
    assert one_print.expected is not None
    # the mean of the two leaves the common error whole
    assert one_print.expected.u_mm >= HEIGHT_MM * RULER.u
