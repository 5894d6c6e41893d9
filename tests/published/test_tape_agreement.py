"""Agreement of measured values against published worked values."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import norm

from service.measuring.adjustment import CONFLICT_W, DETECTION_SHIFT
from service.measuring.agreement import judge
from service.measuring.estimates import PhotoEstimates
from service.measuring.judgement import DimensionJudgement, Status
from service.measuring.reading import Reading, combine_values

pytestmark = pytest.mark.published


def _compared(
    photo_mm: float, photo_big_u: float, tape_mm: float, tape_big_u: float
) -> DimensionJudgement:
    photo = PhotoEstimates(("w",), np.array([photo_mm]), np.array([[(photo_big_u / 2) ** 2]]))
    reading = Reading("r", "w", tape_mm, u_mm=tape_big_u / 2)
    return judge(["w"], photo, [reading]).dimension("w")


@pytest.mark.parametrize(
    ("photo", "tape", "en", "status"),
    [
        ((60.06, 0.08), (60.00, 0.06), 0.600, Status.AGREES),
        ((60.10, 0.05), (60.00, 0.05), 1.414, Status.UNSURE),
        ((1000.0, 0.6), (1000.8, 1.0), 0.686, Status.AGREES),
        ((1000.0, 0.6), (1001.5, 1.0), 1.286, Status.UNSURE),
    ],
)
def test_normalised_error(
    photo: tuple[float, float], tape: tuple[float, float], en: float, status: Status
) -> None:
    """ISO 13528:2015 9.7 (ISO/IEC 17043): E_n of expanded uncertainties, at most 1 agrees."""
    found = _compared(*photo, *tape)
    assert found.en is not None
    assert abs(found.en) == pytest.approx(en, abs=5e-4)
    assert found.status is status


def test_weighted_mean_of_three() -> None:
    """Taylor, *Error Analysis*, section 7.3: 11±1, 12±1, 10±3 make 217/19 ± 3/√19; Birge .607."""
    mean = combine_values(np.array([11.0, 12.0, 10.0]), np.diag([1.0, 1.0, 9.0]))
    assert mean.mm == pytest.approx(217 / 19)
    assert mean.u_mm == pytest.approx(3 / np.sqrt(19))
    assert mean.birge == pytest.approx(0.607, abs=5e-4)


def test_weighted_mean_does_not_widen_by_itself() -> None:
    """Same source, 11±1, 9±1, 10±3: mean 10.000 with the same u; Birge ratio 1.000."""
    mean = combine_values(np.array([11.0, 9.0, 10.0]), np.diag([1.0, 1.0, 9.0]))
    assert mean.mm == pytest.approx(10.0)
    assert mean.u_mm == pytest.approx(3 / np.sqrt(19))
    assert mean.birge == pytest.approx(1.0, abs=5e-4)


def test_birge_ratio_tells_a_stray_repeat() -> None:
    """60.02 60.05 60.00 60.20, each ± .03: chi² 27.4, Birge ratio 3.02 (Birge 1932)."""
    mean = combine_values(np.array([60.02, 60.05, 60.00, 60.20]), np.eye(4) * 0.03**2)
    assert mean.mm == pytest.approx(60.0675)
    assert mean.u_mm == pytest.approx(0.015)
    assert mean.birge == pytest.approx(3.02, abs=5e-3)


def test_a_stray_repeat_is_flagged_and_not_averaged_in() -> None:
    """Of those four the 60.20 is set aside, and the other three are the reading that counts."""
    values = (60.02, 60.05, 60.00, 60.20)
    readings = [
        Reading(f"r{place}", "w", mm, text=f"{mm} mm", u_mm=0.03) for place, mm in enumerate(values)
    ]
    found = judge(["w"], None, _with_own_tapes(readings))
    assert [r.status for r in found.readings][3] is Status.CONFLICTS
    tape = found.dimension("w").tape
    assert tape is not None
    assert tape.mm == pytest.approx(60.02333, abs=1e-4)


def test_baarda_constants() -> None:
    """Baarda (1968): 3.2905 at 0.1 %, shift 4.1321 for 80 % power, non-centrality 17.075."""
    assert pytest.approx(3.2905, abs=5e-5) == CONFLICT_W
    assert pytest.approx(4.1321, abs=5e-5) == DETECTION_SHIFT
    assert pytest.approx(17.075, abs=2e-3) == DETECTION_SHIFT**2
    assert pytest.approx(norm.isf(0.0005)) == CONFLICT_W
    assert pytest.approx(norm.ppf(0.8)) == DETECTION_SHIFT - CONFLICT_W


def _with_own_tapes(readings: list[Reading]) -> list[Reading]:
    return [replace(r, instrument=replace(r.instrument, id=r.id)) for r in readings]
