"""Lengths as the trade writes them: reading them, printing them, and the one rounding.

Inside the program a length is millimetres; at its edges it is what stands on a tape or a
cutting sheet. Both crossings are here and nowhere else.
"""

from service.lengths.printing import (
    MM_PER_INCH,
    Direction,
    feet_inches_text,
    inches_text,
    mm_text,
    round_length,
)
from service.lengths.reading import (
    BARE_UNITS,
    LIMIT_MM,
    Length,
    LengthError,
    parse_length,
    parse_station,
)

__all__ = [
    "BARE_UNITS",
    "LIMIT_MM",
    "MM_PER_INCH",
    "Direction",
    "Length",
    "LengthError",
    "feet_inches_text",
    "inches_text",
    "mm_text",
    "parse_length",
    "parse_station",
    "round_length",
]
