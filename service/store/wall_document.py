"""The facts of one wall, and the wall file that they make.

The facts are a tree that is changed one value at a time, so that each change can be kept, told and
taken back: ``level``, ``plumb``, ``datum_card``, and by name or id ``cards``, ``rectangles``,
``dimensions``, ``readings`` and ``photos`` (each with its ``mark_sd_px`` and ``marks``). Every
value is one of the wall file's own.
"""

from __future__ import annotations

import copy
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from pydantic import ValidationError

from service.errors import ServiceError
from service.files.messages import explain
from service.files.wall import WallFile
from service.store.rows import Facts, Json, PhotoRow

UNMARKED: Final = " (not marked yet)"
"""Added to the names of a dimension's marks while some of them are not set."""


def empty_facts() -> Facts:
    """The facts of a wall of which nothing is known."""
    return {
        "level": None,
        "plumb": None,
        "datum_card": None,
        "cards": {},
        "rectangles": {},
        "dimensions": {},
        "readings": {},
        "photos": {},
    }


def value_at(facts: Facts, path: Sequence[str]) -> Json:
    """The value at a path, None where there is none."""
    value: Json = facts
    for key in path:
        if not isinstance(value, dict) or key not in value:
            return None
        value = value[key]
    return value


def with_value(facts: Facts, path: Sequence[str], value: Json) -> Facts:
    """New facts with a value at a path; None takes away what has a name or id.

    Raises
    ------
    KeyError
        If what the path leads through is not there.
    """
    new = copy.deepcopy(facts)
    parent = new
    for key in path[:-1]:
        parent = parent[key]
    if value is None and len(path) > 1:
        parent.pop(path[-1], None)
    else:
        parent[path[-1]] = copy.deepcopy(value)
    return new


def wall_file(
    name: str,
    bare_unit: str | None,
    facts: Facts,
    photos: Mapping[str, PhotoRow],
    print_jobs: Mapping[str, Json],
) -> WallFile | None:
    """The wall file that gives the wall's report; None while there is nothing to measure by.

    Photos that nobody has looked at are left out, a line with an unset mark too. A dimension with
    an unset mark has none of its marks in a photo, which is what a wall file calls tape only.

    Raises
    ------
    ServiceError
        ``invalid``, naming the value that does not fit the others.
    """
    return _checked(_assembled(name, bare_unit, facts, _looked_at(facts, photos), print_jobs))


def check_facts(
    name: str,
    bare_unit: str | None,
    facts: Facts,
    photos: Mapping[str, PhotoRow],
    print_jobs: Mapping[str, Json],
) -> None:
    """Refuse facts that could make no wall file once every photo has been looked at.

    Raises
    ------
    ServiceError
        ``invalid``, naming the value that does not fit the others.
    """
    files = {photo_id: photos[photo_id].file for photo_id in facts["photos"]}
    _checked(_assembled(name, bare_unit, facts, files, print_jobs))


def marks_wanted(facts: Facts) -> list[str]:
    """Names of the marks that lines and dimensions use, in their order."""
    names: dict[str, None] = {}
    for pair in (facts["level"], facts["plumb"]):
        names.update(dict.fromkeys(pair or ()))
    for row in facts["dimensions"].values():
        names.update(dict.fromkeys(_points(row)))
    return list(names)


def _looked_at(facts: Facts, photos: Mapping[str, PhotoRow]) -> dict[str, str]:
    return {
        photo_id: photos[photo_id].file
        for photo_id in facts["photos"]
        if photos[photo_id].found is not None
    }


def _assembled(
    name: str,
    bare_unit: str | None,
    facts: Facts,
    files: Mapping[str, str],
    print_jobs: Mapping[str, Json],
) -> dict[str, Any]:
    taken = {photo_id: facts["photos"][photo_id] for photo_id in files}
    marked = {mark for photo in taken.values() for mark in photo["marks"]}
    return {
        "wall": name,
        "bare_unit": bare_unit,
        "datum_card": facts["datum_card"],
        "cards": list(_cards(facts, print_jobs)),
        "rectangles": [row for row in _rectangles(facts, files) if row["corners"]],
        "photos": [
            {"file": files[photo_id], "mark_sd_px": photo["mark_sd_px"], "marks": photo["marks"]}
            for photo_id, photo in taken.items()
        ],
        "level": _line(facts["level"], marked),
        "plumb": _line(facts["plumb"], marked),
        "dimensions": [_dimension(row, marked) for row in facts["dimensions"].values()],
        "readings": list(facts["readings"].values()),
    }


def _cards(facts: Facts, print_jobs: Mapping[str, Json]) -> Iterator[dict[str, Any]]:
    """The cards; a print job's ruler checks stand with its first card, for they count once."""
    told: set[str] = set()
    for row in sorted(facts["cards"].values(), key=lambda card: card["serial"]):
        job = row.get("print_job")
        checks = [] if job is None or job in told else print_jobs.get(job, [])
        if job is not None:
            told.add(job)
        yield {**row, "print_check": checks}


def _rectangles(facts: Facts, files: Mapping[str, str]) -> Iterator[dict[str, Any]]:
    for row in facts["rectangles"].values():
        corners = {files[photo]: at for photo, at in row["corners"].items() if photo in files}
        yield {**row, "corners": corners}


def _line(pair: Sequence[str] | None, marked: set[str]) -> Sequence[str] | None:
    return pair if pair is not None and marked.issuperset(pair) else None


def _dimension(row: Mapping[str, Any], marked: set[str]) -> Mapping[str, Any]:
    points = _points(row)
    if marked.issuperset(points) or not marked.intersection(points):
        return row
    return {
        **row,
        "from": row["from"] + UNMARKED,
        "to": None if row.get("to") is None else row["to"] + UNMARKED,
        "line": None if row.get("line") is None else [name + UNMARKED for name in row["line"]],
    }


def _points(row: Mapping[str, Any]) -> list[str]:
    to, line = row.get("to"), row.get("line")
    return [row["from"], *([to] if to else []), *(line or [])]


def _checked(document: dict[str, Any]) -> WallFile | None:
    if document["photos"] or document["readings"]:
        found: WallFile = _valid(WallFile, document)
        return found
    # A wall file needs a photo or a reading; a wall that has none yet is held to the same rules.
    _valid(WallFile, {**document, "photos": [{"file": "none"}]})
    return None


def _valid(model: Any, value: Any) -> Any:
    try:
        return model.model_validate(value)
    except ValidationError as error:
        field, expected = explain(error, model)
        raise ServiceError("invalid", f"{field}: {expected}", field=field) from None
