"""What a reading was taken with: a method of that instrument, a tape that the tables know.

Whatever passes here can be judged. A reading is never taken away again, so one that could not be
would leave its wall without a report for good.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.files.field_length import check_size
from service.files.shape import misplaced
from service.lengths import parse_length
from service.measuring.instruments import (
    HB44_LONGEST_MM,
    METHODS_OF_KIND,
    WIDEST_GRADUATION_MM,
    WIDEST_TOLERANCE_MM,
    InstrumentKind,
)

if TYPE_CHECKING:
    from service.files.wall_parts import Instrument, Reading


def check_instrument(field: str, reading: Reading, bare_unit: str | None) -> None:
    """The instrument of a reading whose value is a length, and how it was held."""
    used = reading.instrument
    methods = METHODS_OF_KIND[InstrumentKind(used.kind)]
    if used.used_method not in methods:
        *others, last = methods
        expected = f"{', '.join(others)} or {last}" if others else last
        misplaced(f"{field}.method", f"expected {expected} with a {used.kind}, not {used.method}")
    check_size(f"{field}.graduation", used.graduation, bare_unit)
    if parse_length(used.graduation, bare_unit).mm > WIDEST_GRADUATION_MM:
        expected = f"expected at most {WIDEST_GRADUATION_MM:g} mm from one line to the next"
        misplaced(f"{field}.graduation", f"{expected}, not {used.graduation!r}")
    _check_tolerance(f"{field}.tolerance", used, bare_unit)
    is_long = parse_length(reading.value, bare_unit).mm > HB44_LONGEST_MM
    if used.class_ == "HB44" and used.kind == "tape" and is_long:
        misplaced(
            f"{field}.class", "expected I, II or III: Handbook 44 tables tapes up to 100 ft only"
        )


def _check_tolerance(field: str, used: Instrument, bare_unit: str | None) -> None:
    if used.tolerance is None:
        return
    if used.kind == "tape":
        misplaced(field, "expected nothing here: a tape has a class, not a tolerance")
    check_size(field, used.tolerance, bare_unit)
    if parse_length(used.tolerance, bare_unit).mm > WIDEST_TOLERANCE_MM:
        misplaced(field, f"expected at most {WIDEST_TOLERANCE_MM:g} mm, not {used.tolerance!r}")
