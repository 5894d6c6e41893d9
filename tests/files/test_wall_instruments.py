"""What a reading was taken with: refused at its place, or fit to be judged."""

from __future__ import annotations

import copy
from itertools import product
from typing import Any

import pytest
from pydantic import ValidationError

from service.actions.measure.asked import readings_of
from service.files.messages import explain
from service.files.wall import WallFile
from service.measuring.instruments import InstrumentKind, Method, TapeClass

WALL: dict[str, Any] = {
    "wall": "back",
    "bare_unit": "in",
    "dimensions": [{"name": "wide", "from": "a", "to": "b"}],
    "readings": [{"id": "r1", "dimension": "wide", "value": "59 7/8"}],
}


def _with(**reading: Any) -> dict[str, Any]:
    wall = copy.deepcopy(WALL)
    wall["readings"][0].update(reading)
    return wall


def _refused(**reading: Any) -> tuple[str, str]:
    with pytest.raises(ValidationError) as caught:
        WallFile.model_validate(_with(**reading))
    return explain(caught.value, WallFile)


@pytest.mark.parametrize(
    ("instrument", "value", "field", "expected"),
    [
        ({"kind": "laser", "method": "hook to mark"}, "59", "method", "laser rear or laser front"),
        ({"kind": "rod", "method": "laser rear"}, "59", "method", "expected rod with a rod"),
        ({"method": "rod"}, "59", "method", "hook to mark, bent inside or mark and add"),
        ({"graduation": "5 in"}, "59", "graduation", "at most 100 mm"),
        ({"graduation": "0 in"}, "59", "graduation", "greater than zero"),
        ({"class": "HB44"}, "101'", "class", "up to 100 ft"),
        ({"tolerance": "2 mm"}, "59", "tolerance", "a tape has a class"),
        ({"kind": "laser", "tolerance": "0"}, "59", "tolerance", "greater than zero"),
        ({"kind": "rod", "tolerance": "1 m"}, "59", "tolerance", "at most 100 mm"),
    ],
)
def test_what_does_not_go_together_is_refused_at_its_place(
    instrument: dict[str, Any], value: str, field: str, expected: str
) -> None:
    """A laser is not hooked, a rod not shot, and no table goes past its end."""
    found = _refused(instrument=instrument, value=value)

    assert found[0] == f"readings[0].instrument.{field}"
    assert expected in found[1]


@pytest.mark.parametrize(
    ("kind", "stated", "u_mm", "stays_mm"),
    [
        ("laser", None, 0.9166, 0.5774),
        ("laser", "3 mm", 1.7321, 1.0911),
        ("rod", "1 mm", 0.5774, 0),
    ],
)
def test_what_an_instrument_is_stated_to_keep_to_counts(
    kind: str, stated: str | None, u_mm: float, stays_mm: float
) -> None:
    """A stated tolerance is a limit either way, u = half-width / sqrt 3 (GUM 4.3.7); as ISO 16331-1
    has a laser meter's stated. Untold it is the trade's 1/16 in. Of a laser 1 mm in each 1.5875
    is its offset, which repeats do not shrink (our own share)."""
    wall = WallFile.model_validate(_with(instrument={"kind": kind, "tolerance": stated}))
    found = readings_of(wall)[0].uncertainty
    assert (found.u_mm, found.systematic_mm) == pytest.approx((u_mm, stays_mm), abs=1e-4)


def test_an_uncertainty_given_outright_has_a_bound() -> None:
    """An uncertainty of more than a metre is no reading's."""
    assert _refused(u_mm=1e300)[0] == "readings[0].u_mm"


@pytest.mark.parametrize(
    ("kind", "method"),
    [("tape", "hook to mark"), ("rod", "rod"), ("laser", "laser rear")],
)
def test_an_instrument_alone_is_held_as_it_usually_is(kind: str, method: str) -> None:
    """Where only the instrument is told, so is its usual method."""
    wall = WallFile.model_validate(_with(instrument={"kind": kind}))
    assert readings_of(wall)[0].instrument.method == method


def test_whatever_a_wall_file_takes_can_be_judged() -> None:
    """Every instrument, method, class and length is refused by the file, or is a reading with an
    uncertainty: none is found out only when the wall is judged."""
    lengths = ("1/64", "1 in", "59 7/8", "100 ft", "100' 0 1/64\"", "100 m")
    every = product(InstrumentKind, Method, TapeClass, ("1/64 in", "1 mm", "100 mm"), lengths)
    taken = 0
    for kind, method, tape_class, graduation, value in every:
        used = {"kind": kind.value, "method": method.value, "class": tape_class.value}
        used["graduation"] = graduation
        try:
            wall = WallFile.model_validate(_with(instrument=used, value=value))
        except ValidationError:
            continue
        assert readings_of(wall)[0].uncertainty.u_mm > 0
        taken += 1
    assert taken == 3 * (3 * 6 * 3 + 3 * 4) + 3 * 6 * 4 * (1 + 2)
