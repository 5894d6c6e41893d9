"""What the parts of a wall file owe one another: every rule between two places of the file."""

from __future__ import annotations

from pathlib import PurePath
from typing import TYPE_CHECKING

from service.files.field_length import check_size
from service.files.shape import misplaced
from service.files.wall_instruments import check_instrument

if TYPE_CHECKING:
    from collections.abc import Sequence

    from service.files.wall_parts import (
        Card,
        Dimension,
        MarkPair,
        Reading,
        Rectangle,
        StraightLine,
        WallPhoto,
    )


def refuse_doubles(field: str, key: str, values: Sequence[object]) -> None:
    """Refuse the second of two equal values of ``key`` in the list ``field``, by name."""
    first: dict[object, int] = {}
    for index, value in enumerate(values):
        if value in first:
            place = f"{field}[{index}]" + (f".{key}" if key else "")
            misplaced(place, f"expected a new one, but {value!r} is in {field}[{first[value]}] too")
        first[value] = index


def check_photos(photos: Sequence[WallPhoto]) -> None:
    """A photo is listed once; a point stands off the wall by one amount in all photos."""
    # PurePath takes ./a.jpg for a.jpg.
    refuse_doubles("photos", "file", [str(PurePath(photo.file)) for photo in photos])
    said: dict[tuple[str, str], tuple[float, int]] = {}
    for index, photo in enumerate(photos):
        for name, mark in photo.marks.items():
            for key in ("standoff_mm", "standoff_u_mm"):
                value = getattr(mark, key)
                if value is None:
                    continue
                earlier, where = said.setdefault((name, key), (value, index))
                if earlier != value:
                    misplaced(
                        f"photos[{index}].marks.{name}.{key}",
                        f"expected {earlier:g} as in photos[{where}], not {value:g}: a mark of "
                        "one name is one point",
                    )


def check_rectangles(rectangles: Sequence[Rectangle], photos: Sequence[WallPhoto]) -> None:
    """A rectangle has a name of its own, known photos and its outline in the stated order."""
    refuse_doubles("rectangles", "name", [rectangle.name for rectangle in rectangles])
    files = {photo.file for photo in photos}
    for index, rectangle in enumerate(rectangles):
        field = f"rectangles[{index}]"
        if not rectangle.corners and not rectangle.edges:
            misplaced(f"{field}.corners", "is missing; expected corners or edges in a photo")
        for file, corners in rectangle.corners.items():
            _check_file(f"{field}.corners.{file}", file, files)
            if not _counter_clockwise(corners):
                misplaced(
                    f"{field}.corners.{file}",
                    "expected four corners from the lower left, counter-clockwise as seen, "
                    "no three in a line",
                )
        for file, edges in rectangle.edges.items():
            _check_file(f"{field}.edges.{file}", file, files)
            if file in rectangle.corners:
                misplaced(f"{field}.edges.{file}", "expected edges or corners of it, not both")
            meeting = [_meeting(edges[side - 1], edges[side]) for side in range(4)]
            if None in meeting or not _counter_clockwise([at for at in meeting if at]):
                misplaced(
                    f"{field}.edges.{file}",
                    "expected points along four edges, counter-clockwise as seen, each edge's "
                    "first and last point well apart",
                )


def check_lines(lines: Sequence[StraightLine], photos: Sequence[WallPhoto]) -> None:
    """A line has a name of its own, known photos, and points enough to say something."""
    refuse_doubles("lines", "name", [line.name for line in lines])
    files = {photo.file for photo in photos}
    for index, line in enumerate(lines):
        for file, points in line.points.items():
            field = f"lines[{index}].points.{file}"
            _check_file(field, file, files)
            if len(set(points)) < 2:
                misplaced(field, "expected two or more points that are apart")
        if line.direction is None and sum(map(len, line.points.values())) < 3:
            misplaced(
                f"lines[{index}].points",
                "expected three or more points: two lie on a line whatever it is",
            )


def check_dimensions(dimensions: Sequence[Dimension]) -> None:
    """A dimension has a name of its own and just the marks that its kind needs."""
    refuse_doubles("dimensions", "name", [dimension.name for dimension in dimensions])
    for index, dimension in enumerate(dimensions):
        field = f"dimensions[{index}]"
        if dimension.from_ is None:
            _check_without_marks(field, dimension)
            continue
        needed, other = ("line", "to") if dimension.kind == "to_line" else ("to", "line")
        if getattr(dimension, needed) is None:
            misplaced(f"{field}.{needed}", f"is missing; a {dimension.kind} needs it")
        if getattr(dimension, other) is not None:
            misplaced(f"{field}.{other}", f"expected nothing here: a {dimension.kind} has none")
        points = dimension.points
        if len(set(points)) < len(points):
            misplaced(field, f"expected different marks, not {', '.join(map(repr, points))}")


def _check_without_marks(field: str, dimension: Dimension) -> None:
    """What a size is must be told by its marks, or by its role."""
    if dimension.role is None:
        misplaced(f"{field}.from", "is missing; only a size with a role can do without marks")
    if dimension.points:
        misplaced(f"{field}.from", f"is missing, though {dimension.points[0]!r} is there")


def check_marks(
    photos: Sequence[WallPhoto],
    level: MarkPair | None,
    plumb: MarkPair | None,
    dimensions: Sequence[Dimension],
) -> None:
    """Every mark that is used is in a photo; a dimension with none of its marks is tape only."""
    marked = {name for photo in photos for name in photo.marks}
    for key, pair in (("level", level), ("plumb", plumb)):
        for index, name in enumerate(pair or ()):
            if name not in marked:
                misplaced(f"{key}[{index}]", _no_such_mark(name))
        if pair is not None and pair[0] == pair[1]:
            misplaced(key, f"expected two different marks, not {pair[0]!r} twice")
    for index, dimension in enumerate(dimensions):
        lost = [name for name in dimension.points if name not in marked]
        if lost and len(lost) < len(dimension.points):
            misplaced(f"dimensions[{index}].{_role(dimension, lost[0])}", _no_such_mark(lost[0]))


def check_readings(readings: Sequence[Reading], dimensions: Sequence[Dimension]) -> None:
    """A reading is of a known dimension; replacements name known readings and never go round."""
    refuse_doubles("readings", "id", [reading.id for reading in readings])
    names = {dimension.name for dimension in dimensions}
    replaces = {reading.id: reading.replaces for reading in readings}
    for index, reading in enumerate(readings):
        if reading.dimension not in names:
            misplaced(
                f"readings[{index}].dimension",
                f"expected the name of a dimension, {_one_of(names)}, not {reading.dimension!r}",
            )
        if reading.replaces is not None and reading.replaces not in replaces:
            misplaced(
                f"readings[{index}].replaces",
                f"expected the id of a reading, {_one_of(set(replaces))}, not {reading.replaces!r}",
            )
    for index, reading in enumerate(readings):
        if _goes_round(reading.id, replaces):
            misplaced(
                f"readings[{index}].replaces",
                f"expected an earlier reading; {reading.id!r} would replace itself in the end",
            )


def check_lengths(
    cards: Sequence[Card], readings: Sequence[Reading], bare_unit: str | None
) -> None:
    """Every length in the file is one."""
    for index, card in enumerate(cards):
        for place, check in enumerate(card.print_check):
            field = f"cards[{index}].print_check[{place}].measured"
            check_size(field, check.measured, bare_unit)
    for index, reading in enumerate(readings):
        check_size(f"readings[{index}].value", reading.value, bare_unit)
        check_instrument(f"readings[{index}].instrument", reading, bare_unit)


def _counter_clockwise(corners: Sequence[tuple[float, float]]) -> bool:
    """Whether four pixels turn left, seen upright, at every corner (y down: cross < 0)."""
    count = len(corners)
    for i in range(count):
        (ax, ay), (bx, by), (cx, cy) = (corners[(i + k) % count] for k in range(3))
        if (bx - ax) * (cy - by) - (by - ay) * (cx - bx) >= 0:
            return False
    return True


def _check_file(field: str, file: str, files: set[str]) -> None:
    if file not in files:
        misplaced(field, f"expected the file of a listed photo, {_one_of(files)}")


def _meeting(
    one: Sequence[tuple[float, float]], other: Sequence[tuple[float, float]]
) -> tuple[float, float] | None:
    """Where two edges meet, by their first and last points; None if they do not."""
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = one[0], one[-1], other[0], other[-1]
    cross = (bx - ax) * (dy - cy) - (by - ay) * (dx - cx)
    if cross == 0:
        return None
    share = ((cx - ax) * (dy - cy) - (cy - ay) * (dx - cx)) / cross
    return ax + share * (bx - ax), ay + share * (by - ay)


def _goes_round(start: str, replaces: dict[str, str | None]) -> bool:
    seen: set[str] = set()
    at = replaces[start]
    while at is not None and at not in seen:
        if at == start:
            return True
        seen.add(at)
        at = replaces[at]
    return False


def _role(dimension: Dimension, name: str) -> str:
    if name == dimension.from_:
        return "from"
    return "to" if name == dimension.to else "line"


def _no_such_mark(name: str) -> str:
    return f"expected a mark that is in a photo, and {name!r} is in none"


def _one_of(names: set[str]) -> str:
    """A short list of what would do, in a stable order."""
    if not names:
        return "and there is none"
    shown = sorted(names)
    more = "" if len(shown) <= _SHOWN else f" and {len(shown) - _SHOWN} more"
    return f"one of {', '.join(map(repr, shown[:_SHOWN]))}{more}"


_SHOWN = 8
