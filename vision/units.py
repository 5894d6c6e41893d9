"""Array types and unit constants shared by the whole package."""

from __future__ import annotations

from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

FloatArray: TypeAlias = NDArray[np.float64]
IntArray: TypeAlias = NDArray[np.int64]
GreyImage: TypeAlias = NDArray[np.uint8]
FloatImage: TypeAlias = NDArray[np.float32]
BoolArray: TypeAlias = NDArray[np.bool_]

MM_PER_INCH: Final = 25.4
FULL_FRAME_DIAGONAL_MM: Final = 43.266615305567875
"""Diagonal of the 36 x 24 mm frame, to which a 35 mm-equivalent focal length refers."""


def read_only(values: FloatArray) -> FloatArray:
    """A read-only float copy of ``values``, fit for a frozen value object."""
    copy = np.array(values, dtype=np.float64)
    copy.setflags(write=False)
    return copy
