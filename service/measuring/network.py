"""Photos, readings and closures as one linear network over the dimensions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from service.measuring.adjustment import Adjustment, Prior, adjust
from service.measuring.estimates import Closure, PhotoEstimates
from service.measuring.reading import Reading, ReadingError, covariance

FloatArray: TypeAlias = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Network:
    """The solved network of one wall.

    Attributes
    ----------
    names
        The d dimensions.
    readings
        The n effective readings: the first n observations; closures follow.
    signed_mm
        The readings (n,), with the sign of their dimension.
    rows_of
        Per dimension, the places of its readings.
    covariance_mm2
        Of the readings, (n, n): correlated among repeats with one instrument.
    scale_direction
        How every observation would move, (n + closures,), if the photos were larger by 100 %;
        None where no reading meets a photo.
    photo, closures
        As given.
    solved
        With every reading.
    """

    names: tuple[str, ...]
    readings: tuple[Reading, ...]
    signed_mm: FloatArray
    rows_of: tuple[tuple[int, ...], ...]
    covariance_mm2: FloatArray
    scale_direction: FloatArray | None
    photo: PhotoEstimates | None
    closures: tuple[Closure, ...]
    solved: Adjustment

    @property
    def empty(self) -> frozenset[str]:
        """Dimensions that no reading was taken of."""
        pairs = zip(self.names, self.rows_of, strict=True)
        return frozenset(name for name, rows in pairs if not rows)

    @property
    def empty_share(self) -> float:
        """Their part of all dimensions."""
        return len(self.empty) / len(self.names)


def build_network(
    names: Sequence[str],
    photo: PhotoEstimates | None,
    readings: Sequence[Reading],
    closures: Sequence[Closure],
) -> Network:
    """Set the network up and solve it once.

    Readings of different dimensions are taken as independent: the systematic part that one tape
    leaves in all of them is a few tenths of a millimetre, against photos of 1 mm and more. Repeats
    of one dimension share it. Where there is tape alone, and one tape, that part is the larger one
    and what is best of a height is then up to half as uncertain again as it says, by 0.3 mm: its
    neighbours err alike. What closes by sums and differences hardly notices.

    Raises
    ------
    ReadingError
        For a reading of a dimension that is not among ``names``.
    ValueError
        For a dimension given twice, or a photo estimate or closure of one that is not there.
    """
    places = _places(names, photo, readings, closures)
    rows_of = _rows_of(len(names), [places[reading.dimension] for reading in readings])
    signed = _signed(photo, readings)
    covariance_mm2 = np.zeros((len(readings), len(readings)))
    for rows in rows_of:
        if rows:
            block = np.asarray(rows)
            covariance_mm2[block[:, None], block] = covariance([readings[row] for row in rows])
    design, observed = _equations(places, readings, signed, closures)
    spread = np.zeros((observed.size, observed.size))
    spread[: signed.size, : signed.size] = covariance_mm2
    closing = np.arange(signed.size, observed.size)
    spread[closing, closing] = [closure.u_mm**2 for closure in closures]
    prior, direction = None, None
    if photo is not None and photo.names:
        seen = np.array([places[name] for name in photo.names], dtype=np.intp)
        prior = Prior(seen, photo.mm, photo.covariance_mm2)
        direction = design[:, seen] @ photo.mm
    return Network(
        tuple(names),
        tuple(readings),
        signed,
        rows_of,
        covariance_mm2,
        direction,
        photo,
        tuple(closures),
        adjust(design, observed, spread, prior),
    )


def _places(
    names: Sequence[str],
    photo: PhotoEstimates | None,
    readings: Sequence[Reading],
    closures: Sequence[Closure],
) -> dict[str, int]:
    places = {name: place for place, name in enumerate(names)}
    if len(places) != len(names):
        raise ValueError("dimensions: expected each name once")
    for reading in readings:
        if reading.dimension not in places:
            raise ReadingError(
                f"reading {reading.id!r}: no dimension is called {reading.dimension!r}"
            )
    for name in photo.names if photo is not None else ():
        if name not in places:
            raise ValueError(f"photo estimate of {name!r}: no dimension has that name")
    for closure in closures:
        for name in closure.coefficients:
            if name not in places:
                raise ValueError(f"closure {closure.name!r}: no dimension is called {name!r}")
    return places


def _rows_of(count: int, dimension_of: Sequence[int]) -> tuple[tuple[int, ...], ...]:
    rows: list[list[int]] = [[] for _ in range(count)]
    for row, dimension in enumerate(dimension_of):
        rows[dimension].append(row)
    return tuple(tuple(found) for found in rows)


def _signed(photo: PhotoEstimates | None, readings: Sequence[Reading]) -> FloatArray:
    """A tape has no sign: a reading takes that of the photos, which makes it the closer one."""
    negative: set[str] = set()
    if photo is not None:
        negative = {name for name, mm in zip(photo.names, photo.mm, strict=True) if mm < 0}
    return np.array(
        [-r.mm if r.dimension in negative else r.mm for r in readings], dtype=np.float64
    )


def _equations(
    places: dict[str, int],
    readings: Sequence[Reading],
    signed: FloatArray,
    closures: Sequence[Closure],
) -> tuple[FloatArray, FloatArray]:
    design = np.zeros((len(readings) + len(closures), len(places)))
    for row, reading in enumerate(readings):
        design[row, places[reading.dimension]] = 1.0
    for row, closure in enumerate(closures, start=len(readings)):
        for name, coefficient in closure.coefficients.items():
            design[row, places[name]] = coefficient
    constants = np.array([closure.constant_mm for closure in closures], dtype=np.float64)
    return design, np.concatenate([signed, constants])
