"""SLIPS.toml: a shop's own rates of slips, and the sizes behind them."""

from __future__ import annotations

import math
import tomllib
from dataclasses import replace
from typing import Any, Final

from service.errors import FileError
from service.lengths import LengthError, parse_length
from service.measuring.slip_kinds import INSTALLER_RATES, SALESPERSON_RATES, SlipKind
from service.measuring.slips import SlipBook

_USUAL: Final = {"installer": INSTALLER_RATES, "salesperson": SALESPERSON_RATES}
_SIZES: Final = ("hold_down", "step", "case")
_MOST: Final = 500.0
"""Per 1,000 readings: whoever slips at every second one keeps no rates."""


def read_slip_book(text: str, source: str) -> SlipBook:
    """The book in a TOML text; what it leaves out is as for an installer.

    ``who = "salesperson"`` takes that column of the trade's rates; ``[per_thousand]`` has rates by
    kind, as the report calls them; ``[sizes]`` has ``hold_down``, ``step`` and ``case`` as lengths
    in quotes, inches where no unit is said.

    Raises
    ------
    FileError
        Naming the key: an unknown one, a rate or a length that is none.
    """
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise FileError(source, "", f"expected TOML: {error}") from None
    for key in table:
        if key not in ("who", "per_thousand", "sizes"):
            raise FileError(source, key, "expected who, per_thousand or sizes")
    who = table.get("who", "installer")
    if not isinstance(who, str) or who not in _USUAL:
        raise FileError(source, "who", f"expected {' or '.join(_USUAL)}")
    rates = {**_USUAL[who], **_rates(_part(table, "per_thousand", source), source)}
    sizes = _sizes(_part(table, "sizes", source), source)
    usual = SlipBook(rates)
    return replace(
        usual,
        hold_down_mm=sizes.get("hold_down", usual.hold_down_mm),
        step_mm=sizes.get("step", usual.step_mm),
        case_mm=sizes.get("case", usual.case_mm),
    )


def _part(table: dict[str, Any], key: str, source: str) -> dict[str, Any]:
    part = table.get(key, {})
    if not isinstance(part, dict):
        raise FileError(source, key, f"expected a table, [{key}]")
    return part


def _rates(part: dict[str, Any], source: str) -> dict[SlipKind, float]:
    known = {kind.value: kind for kind in INSTALLER_RATES}
    rates = {}
    for word, rate in part.items():
        if word not in known:
            kinds = ", ".join(known)
            raise FileError(source, f"per_thousand.{word}", f"expected a kind of slip: {kinds}")
        is_number = isinstance(rate, int | float) and not isinstance(rate, bool)
        if not is_number or not (math.isfinite(rate) and 0 <= rate <= _MOST):
            expected = f"expected slips per 1,000 readings, 0 to {_MOST:g}"
            raise FileError(source, f"per_thousand.{word}", expected)
        rates[known[word]] = float(rate)
    return rates


def _sizes(part: dict[str, Any], source: str) -> dict[str, float]:
    sizes = {}
    for word, text in part.items():
        field = f"sizes.{word}"
        if word not in _SIZES:
            raise FileError(source, field, f"expected {', '.join(_SIZES)}")
        if not isinstance(text, str):
            raise FileError(source, field, 'expected a length in quotes, such as "3/4"')
        try:
            mm = float(parse_length(text, "in").mm)
        except LengthError as error:
            raise FileError(
                source, field, f"found {error.found}; expected {error.expected}"
            ) from None
        if not 0 < mm <= 254:
            raise FileError(source, field, "expected more than 0 and at most 10 in")
        sizes[word] = mm
    return sizes
