"""How likely a reading is so far from the value that it should have."""

from __future__ import annotations

import math


def tailed_density(difference: float, spread: float) -> float:
    """Normal, with one part in twenty three times as wide; per unit of ``spread``.

    Uncertainties are themselves only estimates: a reading 3 sigma from an inch is still likelier
    an inch than anything at all.
    """
    z_squared = (difference / spread) ** 2
    near, far = math.exp(-0.5 * z_squared), math.exp(-0.5 * z_squared / 9) / 3
    return (0.95 * near + 0.05 * far) / (spread * math.sqrt(2 * math.pi))


def below(z: float) -> float:
    """Part of a normal distribution below z."""
    return 0.5 * math.erfc(-z / math.sqrt(2))
