"""Small builders: readings from text, and a wall of photo estimates with known truth."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from service.lengths import parse_length
from service.measuring.estimates import PhotoEstimates
from service.measuring.instruments import Instrument
from service.measuring.reading import Reading


def read(
    reading_id: str,
    dimension: str,
    text: str,
    tape: str = "t1",
    replaces: str | None = None,
    u_mm: float | None = None,
) -> Reading:
    """A reading as it would come from a file that counts in inches."""
    length = parse_length(text, "in")
    return Reading(
        reading_id,
        dimension,
        float(length.mm),
        length.unit,
        text,
        Instrument(id=tape),
        replaces=replaces,
        u_mm=u_mm,
    )


def mm_of(text: str) -> float:
    """A length as written, inches where no unit is, in mm."""
    return float(parse_length(text, "in").mm)


def photos(**sizes: tuple[float, float]) -> PhotoEstimates:
    """Independent photo estimates: name = (mm, u)."""
    return PhotoEstimates(
        tuple(sizes),
        np.array([mm for mm, _ in sizes.values()]),
        np.diag([u**2 for _, u in sizes.values()]),
    )


@dataclass(frozen=True)
class Wall:
    """Truth, and photos that err together: a shared part and an own part."""

    names: tuple[str, ...]
    truth_mm: NDArray[np.float64]
    photo: PhotoEstimates


def random_wall(
    rng: np.random.Generator, size: int, shared_mm: float = 3.0, own_mm: float = 1.0
) -> Wall:
    """Sizes of 300 to 1,600 mm, photo errors drawn from the covariance that is told."""
    names = tuple(f"d{place}" for place in range(size))
    truth = rng.uniform(300, 1600, size)
    causes = rng.normal(size=(size, 4)) * shared_mm / 2
    covariance = causes @ causes.T + np.eye(size) * own_mm**2
    error = causes @ rng.normal(size=4) + own_mm * rng.normal(size=size)
    return Wall(names, truth, PhotoEstimates(names, truth + error, covariance))
