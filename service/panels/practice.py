"""Shop practice: every allowance, with its range and source; read from two texts, never from disk.

The shipped text says which allowances exist, their units, ranges and sources. A job's own text may
override values; an unknown key or a value out of range is refused with its line.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from service.lengths import LengthError, parse_length
from service.panels.problem import PlanError

if TYPE_CHECKING:
    from collections.abc import Mapping

Value = float | tuple[float, ...]


@dataclass(frozen=True)
class Allowance:
    """One allowance: lengths in mm, everything else in its own unit.

    `written` is the value as it stands in the file; `own` is True when a job's file gave it.
    """

    key: str
    value: Value
    written: str
    unit: str
    low: float
    high: float
    source: str
    own: bool = False


@dataclass(frozen=True)
class Practice:
    """All allowances of a shop by key, such as `joint.deck`."""

    version: str
    allowances: Mapping[str, Allowance]

    def __getitem__(self, key: str) -> float:
        """The single value of an allowance: mm for a length."""
        value = self.allowances[key].value
        if isinstance(value, tuple):
            raise TypeError(f"{key} is a list: use `several`")
        return value

    def several(self, key: str) -> tuple[float, ...]:
        """The values of an allowance that is a list."""
        value = self.allowances[key].value
        return value if isinstance(value, tuple) else (value,)

    def with_value_of(self, key: str, other: str) -> Practice:
        """This practice with one allowance taking another's value and source."""
        taken = self.allowances[other]
        changed = replace(self.allowances[key], value=taken.value, source=taken.source)
        return replace(self, allowances={**self.allowances, key: changed})

    @property
    def build_up_mm(self) -> float:
        """Sheet and bed together, mm: what a hung panel takes from the room."""
        return self["build_up.sheet"] + self["build_up.bed"]

    @property
    def own(self) -> tuple[Allowance, ...]:
        """What the job's own file changed."""
        return tuple(a for a in self.allowances.values() if a.own)


def read_practice(shipped: str, own: str | None = None) -> Practice:
    """The shipped practice with a job's own values over it.

    Parameters
    ----------
    shipped : str
        Text of the shipped practice.toml.
    own : str, optional
        Text of the job's file.

    Raises
    ------
    PlanError
        Not TOML, an unknown key, a value that is no length or number, or out of range; the field
        reads `line 7: joint.deck`.
    """
    table = _toml(shipped, "shipped practice")
    allowances = {key: _shipped(key, entry) for key, entry in _entries(table)}
    version = str(table["version"])
    if own is None:
        return Practice(version, allowances)
    theirs = _toml(own, "practice")
    for key, entry in _entries(theirs):
        where = f"line {_line_of(own, key)}: {key}"
        if key not in allowances:
            raise PlanError(where, f"expected one of: {_near(key, allowances)}")
        allowances[key] = _overridden(where, allowances[key], entry)
    return Practice(str(theirs.get("version", version)), allowances)


def _toml(text: str, name: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise PlanError(name, f"expected TOML: {error}") from error


def _entries(table: Mapping[str, Any]) -> list[tuple[str, Any]]:
    found: list[tuple[str, Any]] = []
    for section, content in table.items():
        if section == "version":
            continue
        if isinstance(content, dict):
            found += [(f"{section}.{key}", entry) for key, entry in content.items()]
        else:
            found.append((section, content))
    return found


def _shipped(key: str, entry: Mapping[str, Any]) -> Allowance:
    unit = entry["unit"]
    low, high = (_number(key, bound, unit) for bound in entry["range"])
    value = _value(key, entry["value"], unit)
    allowance = Allowance(key, value, _written(entry["value"]), unit, low, high, entry["source"])
    _check_range(key, allowance)
    return allowance


def _overridden(where: str, shipped: Allowance, entry: Any) -> Allowance:
    source = "this job's practice file"
    if isinstance(entry, dict):
        unknown = sorted(set(entry) - {"value", "source", "unit"})
        if unknown or "value" not in entry:
            raise PlanError(where, "expected a value, or {value = ..., source = ...}")
        if entry.get("unit", shipped.unit) != shipped.unit:
            raise PlanError(where, f"expected the unit {shipped.unit}")
        source, entry = str(entry.get("source", source)), entry["value"]
    value = _value(where, entry, shipped.unit)
    if isinstance(value, tuple) != isinstance(shipped.value, tuple):
        raise PlanError(where, f"expected a value like {shipped.written}")
    if shipped.unit == "h" and (not isinstance(value, tuple) or len(value) != 2):
        raise PlanError(where, "expected two numbers of hours, least and most")
    changed = Allowance(
        shipped.key, value, _written(entry), shipped.unit, shipped.low, shipped.high, source, True
    )
    _check_range(where, changed)
    return changed


def _value(where: str, written: Any, unit: str) -> Value:
    if isinstance(written, list):
        if not written:
            raise PlanError(where, "expected one or more values")
        return tuple(_number(where, item, unit) for item in written)
    return _number(where, written, unit)


def _number(where: str, written: Any, unit: str) -> float:
    if unit == "in":
        if not isinstance(written, str):
            raise PlanError(where, f'expected a length in quotes, such as "1/8", not {written!r}')
        try:
            return float(parse_length(written, "in").mm)
        except LengthError as error:
            raise PlanError(where, str(error)) from error
    if isinstance(written, bool) or not isinstance(written, int | float):
        raise PlanError(where, f"expected a number ({unit}), not {written!r}")
    return float(written)


def _check_range(where: str, allowance: Allowance) -> None:
    values = allowance.value if isinstance(allowance.value, tuple) else (allowance.value,)
    for value in values:
        if not allowance.low <= value <= allowance.high:
            scale, unit = (25.4, "in") if allowance.unit == "in" else (1.0, allowance.unit)
            raise PlanError(
                where,
                f"expected {allowance.low / scale:g} to {allowance.high / scale:g} {unit}, "
                f"not {value / scale:g}",
            )


def _written(value: Any) -> str:
    return ", ".join(str(item) for item in value) if isinstance(value, list) else str(value)


def _line_of(text: str, key: str) -> int:
    """The line a key stands on; the TOML reader keeps no places."""
    section, _, name = key.rpartition(".")
    current = ""
    for number, line in enumerate(text.splitlines(), start=1):
        if header := re.match(r"\s*\[\s*([^\]]+?)\s*\]", line):
            current = header.group(1).replace('"', "")
            continue
        plain = re.match(r"\s*([\w.\"-]+)\s*=", line)
        written = plain.group(1).replace('"', "") if plain else ""
        if (current, written) == (section, name) or (current == "" and written == key):
            return number
        if current == "" and written == section:
            return number
    return 0


def _near(key: str, known: Mapping[str, Allowance]) -> str:
    section = key.partition(".")[0]
    same = [other for other in known if other.startswith(f"{section}.")]
    return ", ".join(same or sorted({other.partition(".")[0] + ".…" for other in known}))
