"""The facts of one wall, and the wall file that they make.

The facts are a tree that is changed one value at a time, so that each change can be kept, told and
taken back: ``level``, ``plumb``, ``datum_card``, and by name or id ``cards``, ``rectangles``,
``lines``, ``dimensions``, ``readings`` and ``photos`` (each with its ``mark_sd_px`` and ``marks``).
Every value is one of the wall file's own.
"""

from __future__ import annotations

import copy
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from pydantic import ValidationError

from service.errors import ServiceError
from service.files.messages import explain
from service.files.wall import WallFile
from service.measuring.alcove.of_names import Named, sizes_of_names
from service.measuring.alcove.vocabulary import Size
from service.measuring.instruments import MM_PER_INCH
from service.store.rows import Facts, Json, PhotoRow

UNMARKED: Final = " (not marked yet)"
"""Added to the names of a dimension's marks while some of them are not set."""


@dataclass(frozen=True)
class WallAround:
    """What a wall's file takes from round it.

    ``corner`` is the side of an end wall's back corner; ``print_jobs`` the ruler checks by print
    job; ``lens`` the files of lens profiles that its photos are measured with.
    """

    name: str
    bare_unit: str | None
    corner: str | None
    print_jobs: Mapping[str, Json]
    lens: tuple[str, ...] = ()


def empty_facts() -> Facts:
    """The facts of a wall of which nothing is known."""
    return {
        "level": None,
        "plumb": None,
        "datum_card": None,
        "cards": {},
        "rectangles": {},
        "lines": {},
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
    new = {"lines": {}, **copy.deepcopy(facts)}  # older facts know no lines
    parent = new
    for key in path[:-1]:
        parent = parent[key]
    if value is None and len(path) > 1:
        parent.pop(path[-1], None)
    else:
        parent[path[-1]] = copy.deepcopy(value)
    return new


def wall_file(around: WallAround, facts: Facts, photos: Mapping[str, PhotoRow]) -> WallFile | None:
    """The wall file that gives the wall's report; None while there is nothing to measure by.

    Photos that nobody has looked at are left out, a line with an unset mark too. A dimension with
    an unset mark has none of its marks in a photo, which is what a wall file calls tape only.

    Raises
    ------
    ServiceError
        ``invalid``, naming the value that does not fit the others.
    """
    return _checked(_assembled(around, facts, _looked_at(facts, photos)))


def check_facts(around: WallAround, facts: Facts, photos: Mapping[str, PhotoRow]) -> None:
    """Refuse facts that could make no wall file once every photo has been looked at.

    Raises
    ------
    ServiceError
        ``invalid``, naming the value that does not fit the others.
    """
    files = {photo_id: photos[photo_id].file for photo_id in facts["photos"]}
    _checked(_assembled(around, facts, files))


def untaken_file(around: WallAround, facts: Facts) -> WallFile:
    """The wall file of a wall with neither photo nor reading, for its sizes alone."""
    document = {**_assembled(around, facts, {}), "photos": [{"file": "none"}]}
    found: WallFile = _valid(WallFile, document)
    return found


def size_key(facts: Facts, name: str) -> str:
    """Under which a size stands: the name it was given first; a new one's is its name."""
    sizes = facts["dimensions"]
    for key, row in sizes.items():
        if row["name"] == name:
            return str(key)
    while name in sizes:  # the first name of a size that has another now
        name += "'"
    return name


def size_name(facts: Facts, key: str) -> str:
    """What the size under a key is called now."""
    row = facts["dimensions"].get(key)
    return key if row is None else str(row["name"])


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


def _assembled(around: WallAround, facts: Facts, files: Mapping[str, str]) -> dict[str, Any]:
    taken = {photo_id: facts["photos"][photo_id] for photo_id in files}
    marked = {mark for photo in taken.values() for mark in photo["marks"]}
    lines = list(_in_photos(facts, "lines", "points", files))
    return {
        "wall": around.name,
        "bare_unit": around.bare_unit,
        **({} if around.corner is None else {"corner": around.corner}),
        **({"lens": list(around.lens)} if around.lens else {}),
        "datum_card": facts["datum_card"],
        "cards": list(_cards(facts, around.print_jobs)),
        "rectangles": list(_rectangles(facts, files)),
        **(
            {"lines": lines} if (lines := list(_in_photos(facts, "lines", "points", files))) else {}
        ),
        "photos": [
            {"file": files[photo_id], "mark_sd_px": photo["mark_sd_px"], "marks": photo["marks"]}
            for photo_id, photo in taken.items()
        ],
        "level": _line(facts["level"], marked),
        "plumb": _line(facts["plumb"], marked),
        "dimensions": [_dimension(row, marked) for row in _sizes(around, facts)],
        "readings": [
            {**row, "dimension": size_name(facts, row["dimension"])}
            for row in facts["readings"].values()
        ],
    }


def _sizes(around: WallAround, facts: Facts) -> list[Mapping[str, Any]]:
    """The sizes, each with what it is of the alcove, where that is said or its name tells it.

    Names tell it only beside the level line and the plumb line, which the file leaves out until
    they are marked: so that a wall without a photo is judged by its tape, it is written out.
    """
    known = {size.name: size for size in sizes_known_by_name(around, facts)}
    return [
        {**row, **said_of_size(known[row["name"]])}
        if not row.get("role") and row["name"] in known
        else row
        for row in facts["dimensions"].values()
    ]


def sizes_known_by_name(around: WallAround, facts: Facts) -> tuple[Size, ...]:
    """Those sizes of a wall whose names and marks say which size of an alcove they are."""
    named = [
        Named(row["name"], row["from"], row.get("to"), _pair(row.get("line")))
        for row in facts["dimensions"].values()
        if row["from"] is not None
    ]
    found = sizes_of_names(around.name, named, _pair(facts["level"]), _pair(facts["plumb"]))
    return found.sizes


def _pair(names: Sequence[str] | None) -> tuple[str, str] | None:
    return None if names is None else (names[0], names[1])


def said_of_size(size: Size) -> dict[str, Any]:
    """What a wall file says of a size that its name told; stations are inches."""
    lengths = {"down": size.down_mm, "to_down": size.to_down_mm, "at": size.at_mm}
    said: dict[str, Any] = {
        "role": size.role.value,
        "side": None if size.side is None else size.side.value,
        "fixture": size.fixture,
        **{key: None if mm is None else f"{mm / MM_PER_INCH:g} in" for key, mm in lengths.items()},
    }
    return {key: value for key, value in said.items() if value is not None}


def _cards(facts: Facts, print_jobs: Mapping[str, Json]) -> Iterator[dict[str, Any]]:
    """The cards; a print job's ruler checks stand with its first card, for they count once."""
    told: set[str] = set()
    for row in sorted(facts["cards"].values(), key=lambda card: card["serial"]):
        job = row.get("print_job")
        checks = [] if job is None or job in told else print_jobs.get(job, [])
        if job is not None:
            told.add(job)
        yield {**row, "print_check": checks}


def _in_photos(
    facts: Facts, group: str, part: str, files: Mapping[str, str]
) -> Iterator[dict[str, Any]]:
    """What is set by photo, by their files; what is in none of them is left out."""
    for row in facts.get(group, {}).values():
        at = {files[photo]: places for photo, places in row[part].items() if photo in files}
        if at:
            yield {**row, part: at}


def _rectangles(facts: Facts, files: Mapping[str, str]) -> Iterator[dict[str, Any]]:
    """Rectangles by their edges in the photos in which those were found, else by their corners."""
    for row in _in_photos(facts, "rectangles", "corners", files):
        edges = {files[photo]: at for photo, at in row.get("edges", {}).items() if photo in files}
        corners = {file: at for file, at in row["corners"].items() if file not in edges}
        yield {**row, "corners": corners, **({"edges": edges} if edges else {})}


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
    names = (row["from"], row.get("to"), *(row.get("line") or ()))
    return [name for name in names if name is not None]


def _checked(document: dict[str, Any]) -> WallFile | None:
    if document["photos"] or document["readings"]:
        found: WallFile = _valid(WallFile, document)
        return found
    # A wall file needs a photo or a reading; a wall that has none yet is held to its rules.
    _valid(WallFile, {**document, "photos": [{"file": "none"}]})
    return None


def _valid(model: Any, value: Any) -> Any:
    try:
        return model.model_validate(value)
    except ValidationError as error:
        field, expected = explain(error, model)
        raise ServiceError("invalid", f"{field}: {expected}", field=field) from None
