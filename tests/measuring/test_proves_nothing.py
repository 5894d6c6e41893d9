"""Agreement that proves nothing opens no gate."""

from __future__ import annotations

import numpy as np
import pytest

from service.measuring.agreement import judge
from service.measuring.estimates import PhotoEstimates
from service.measuring.gate import release_gate
from service.measuring.judgement import Judgement, Status
from service.measuring.reading import Reading
from tests.measuring.release.judged import needing, reported

SIZES_MM = {"width": 1520.0, "left": 760.0, "right": 755.0, "height": 1680.0, "front": 480.0}


def _wall(scale_u: float, own_mm: float = 1.5, off: float = 0.0) -> tuple[Judgement, list[Reading]]:
    """Photos that agree, of this doubt in scale and in each mark; one reading a size."""
    names = tuple(SIZES_MM)
    truth = np.array(list(SIZES_MM.values()))
    covariance = np.outer(truth, truth) * scale_u**2 + np.eye(truth.size) * own_mm**2
    photo = PhotoEstimates(names, truth * (1 + off), covariance)
    readings = [Reading(name, name, mm) for name, mm in SIZES_MM.items()]
    return judge(names, photo, readings), readings


def test_with_unchecked_print_scale_and_one_reading_a_size_nothing_is_checked() -> None:
    """Print scale 1 ± 1.5 %: every size agrees, none is checked, and the gate says why."""
    judged, readings = _wall(0.015)

    assert {d.status for d in judged.dimensions} == {Status.AGREES}
    assert not any(d.checked for d in judged.dimensions)
    gate = release_gate(judged)
    assert not gate.open
    assert {b.why for b in gate.blocking} == {"the check is too weak to catch a 1/4 in slip"}
    state = needing("back", tuple(SIZES_MM), reported(judged, readings))
    assert state.proved == ()


def test_photos_a_percent_out_agree_and_still_open_nothing() -> None:
    """A card printed 1 % too large is within the doubt of its scale: it agrees, and proves
    nothing."""
    judged, _ = _wall(0.015, off=0.01)
    assert not any(d.checked for d in judged.dimensions)
    assert not release_gate(judged).open


@pytest.mark.parametrize(("own_mm", "opens"), [(1.0, True), (1.5, False)])
def test_a_checked_card_opens_it_where_the_marks_are_sharp_enough(
    own_mm: float, opens: bool
) -> None:
    """With both bars ruled the marks decide: to 1 mm they would show 1/4 in, to 1.5 mm not."""
    judged, _ = _wall(0.0005, own_mm)
    assert release_gate(judged).open is opens
