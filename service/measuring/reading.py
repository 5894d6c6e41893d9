"""Readings as they were taken, which of them stand, and what repeats say together."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from service.measuring.instruments import Instrument, ReadingUncertainty, reading_uncertainty


class ReadingError(ValueError):
    """Readings that cannot be judged as they are; the message names the reading."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One value off a tape, rod or laser; corrected by a new reading, never edited.

    Attributes
    ----------
    id, dimension
        Its own name, and the dimension it is of.
    mm
        The magnitude read, above 0.
    unit, text
        Unit as written (``in``, ``ft-in``, ``mm``, ``cm``, ``m``) and the text itself.
    instrument, who, at
        With what, by whom, when (ISO 8601, kept as text).
    replaces
        Id of the reading that this one corrects.
    u_mm
        Standard uncertainty given outright; wins over the instrument's.
    """

    id: str
    dimension: str
    mm: float
    unit: str = "mm"
    text: str = ""
    instrument: Instrument = field(default_factory=Instrument)
    who: str | None = None
    at: str | None = None
    replaces: str | None = None
    u_mm: float | None = None

    def __post_init__(self) -> None:
        if not (math.isfinite(self.mm) and self.mm > 0):
            raise ReadingError(f"reading {self.id!r}: expected a length above 0, found {self.mm}")
        if self.u_mm is not None and not (math.isfinite(self.u_mm) and self.u_mm > 0):
            raise ReadingError(f"reading {self.id!r}: expected u_mm above 0, found {self.u_mm}")
        try:
            reading_uncertainty(self.mm, self.instrument)
        except ValueError as error:
            raise ReadingError(f"reading {self.id!r}: {error}") from None

    @property
    def uncertainty(self) -> ReadingUncertainty:
        """Systematic and random part.

        An outright ``u_mm`` is split as the instrument's own would be: stating one figure does not
        make two readings with one tape independent.
        """
        known = reading_uncertainty(self.mm, self.instrument)
        if self.u_mm is None:
            return known
        scale = self.u_mm / known.u_mm
        return ReadingUncertainty(known.systematic_mm * scale, known.random_mm * scale)


@dataclass(frozen=True, slots=True)
class Combined:
    """Repeats of one dimension taken together.

    Attributes
    ----------
    mm, u_mm
        Weighted mean of the magnitudes and its standard uncertainty; never inflated.
    birge
        Birge ratio, sqrt(chi² / (n - 1)); None for one reading. Well above 1, the repeats do not
        agree, and a mean of them should not be believed whatever its u_mm.
    """

    mm: float
    u_mm: float
    birge: float | None


def effective_readings(readings: Sequence[Reading]) -> tuple[Reading, ...]:
    """Readings that no other reading replaces, in their order.

    Raises
    ------
    ReadingError
        For the same id twice, a replaced id that does not exist, or a ring of replacements.
    """
    by_id: dict[str, Reading] = {}
    for reading in readings:
        if reading.id in by_id:
            raise ReadingError(f"reading {reading.id!r} is given twice: expected one of each id")
        by_id[reading.id] = reading
    for reading in readings:
        _check_chain(reading, by_id)
    replaced = {reading.replaces for reading in readings}
    return tuple(reading for reading in readings if reading.id not in replaced)


def combine(readings: Sequence[Reading]) -> Combined:
    """The repeats of one dimension as one value.

    The random parts average out, the systematic part of one instrument does not: 60 in read twice
    with the same tape is hardly better than once, with two tapes it is.

    Raises
    ------
    ValueError
        Without a reading.
    """
    if not readings:
        raise ValueError("expected at least one reading")
    return combine_values(np.array([reading.mm for reading in readings]), covariance(readings))


def combine_values(mm: NDArray[np.float64], covariance_mm2: NDArray[np.float64]) -> Combined:
    """Weighted mean (n,) with a full covariance (n, n); Taylor, *Error Analysis*, section 7.3."""
    if mm.size == 1:
        return Combined(float(mm[0]), math.sqrt(float(covariance_mm2[0, 0])), None)
    weights = np.linalg.solve(covariance_mm2, np.ones(mm.size))
    total = float(weights.sum())
    mean = float(weights @ mm) / total
    residuals = mm - mean
    chi_square = float(residuals @ np.linalg.solve(covariance_mm2, residuals))
    return Combined(mean, 1 / math.sqrt(total), math.sqrt(max(chi_square, 0) / (mm.size - 1)))


def stays_mm(readings: Sequence[Reading]) -> float:
    """The part of the combined standard uncertainty that more repeats would not shrink, mm.

    It is what each instrument leaves in all that is read with it, weighted as `combine` weighs.
    """
    if len(readings) == 1:
        return readings[0].uncertainty.systematic_mm
    spread = covariance(readings)
    random = np.diag([reading.uncertainty.random_mm**2 for reading in readings])
    weights = np.linalg.solve(spread, np.ones(len(readings)))
    weights /= weights.sum()
    return math.sqrt(max(float(weights @ (spread - random) @ weights), 0.0))


def covariance(readings: Sequence[Reading]) -> NDArray[np.float64]:
    """Covariance (n, n) of readings of one dimension, mm².

    Two readings with one instrument share the smaller of their systematic parts, so that a poor
    way of using it gains nothing from a good one.
    """
    parts = [reading.uncertainty for reading in readings]
    if len(parts) == 1:
        return np.array([[parts[0].u_mm ** 2]])
    systematic = np.array([part.systematic_mm for part in parts]) ** 2
    instruments = [(r.instrument.kind, r.instrument.id) for r in readings]
    same = np.array([[one == other for other in instruments] for one in instruments])
    shared = np.where(same, np.minimum.outer(systematic, systematic), 0.0)
    result: NDArray[np.float64] = shared + np.diag([part.random_mm**2 for part in parts])
    return result


def _check_chain(reading: Reading, by_id: dict[str, Reading]) -> None:
    seen = {reading.id}
    current = reading
    while current.replaces is not None:
        if current.replaces not in by_id:
            raise ReadingError(
                f"reading {current.id!r} replaces {current.replaces!r}: no reading has that id"
            )
        if current.replaces in seen:
            raise ReadingError(f"reading {reading.id!r} replaces itself: expected an older reading")
        seen.add(current.replaces)
        current = by_id[current.replaces]
