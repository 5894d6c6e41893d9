"""One allowance put into, or taken out of, the text of a job's own practice.

The text is the shop's: only the line of that allowance is touched, comments and order stay.
"""

from __future__ import annotations

import json
import re
import tomllib
from typing import TYPE_CHECKING, Final

from service.panels.problem import PlanError

if TYPE_CHECKING:
    from service.panels.practice import Allowance

_HEADER: Final = re.compile(r"\s*\[\s*([^\]]+?)\s*\]\s*(#.*)?$")
_ENTRY: Final = re.compile(r"\s*\"?([\w-]+)\"?\s*=")


def with_allowance(text: str, shipped: Allowance, written: str, source: str) -> str:
    """The text with one allowance set to what was written, and why.

    Parameters
    ----------
    written : str
        A length such as `3/16` or a number, in the allowance's unit; several with commas between.

    Raises
    ------
    PlanError
        If the line cannot be told from its neighbours, so that a person must edit the text.
    """
    section, _, name = shipped.key.rpartition(".")
    why = f", source = {json.dumps(source, ensure_ascii=False)}" if source.strip() else ""
    entry = f"{name} = {{value = {_as_toml(shipped, written)}{why}}}"
    lines = text.splitlines()
    place = _line(lines, section, name)
    header = _header(lines, section)
    if place is not None:
        lines[place] = entry
    elif header is not None:
        lines.insert(header + 1, entry)
    else:
        lines += [*([""] if lines else []), f"[{section}]", entry]
    return _checked(shipped.key, "\n".join(lines) + "\n")


def without_allowance(text: str, key: str) -> str:
    """The text without one allowance, which is then the shipped one again; errors as above."""
    section, _, name = key.rpartition(".")
    lines = text.splitlines()
    place = _line(lines, section, name)
    if place is None:
        return text
    del lines[place]
    header = _header(lines, section)
    if header is not None and (header + 1 == len(lines) or not lines[header + 1].strip()):
        del lines[header]
    return _checked(key, "\n".join(lines).strip("\n") + "\n")


def _as_toml(shipped: Allowance, written: str) -> str:
    parts = [part.strip() for part in written.split(",")]
    quoted = [json.dumps(part) if shipped.unit == "in" else part for part in parts]
    return f"[{', '.join(quoted)}]" if isinstance(shipped.value, tuple) else ", ".join(quoted)


def _line(lines: list[str], section: str, name: str) -> int | None:
    current = ""
    for place, line in enumerate(lines):
        header = _HEADER.match(line)
        entry = _ENTRY.match(line)
        if header:
            current = header[1].replace('"', "")
        elif entry and (current, entry[1]) == (section, name):
            return place
    return None


def _header(lines: list[str], section: str) -> int | None:
    found = (_HEADER.match(line) for line in lines)
    places = [i for i, one in enumerate(found) if one and one[1].replace('"', "") == section]
    return places[0] if places else None


def _checked(key: str, text: str) -> str:
    try:
        tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        expected = f"expected a value that can be written on a line of its own ({error})"
        raise PlanError(key, expected) from error
    return text
