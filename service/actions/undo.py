"""Taking back one's own last change of a wall. Readings are not taken back but replaced."""

from __future__ import annotations

from typing import Final

from service.errors import ServiceError
from service.store.changes import change_wall
from service.store.rows import Acting, WallRow
from service.store.unit import Unit
from service.store.wall_document import value_at

UNDOABLE: Final = frozenset({"mark", "photo", "lines", "dimension", "rectangle", "card"})


def undo(unit: Unit, acting: Acting, wall: WallRow) -> tuple[WallRow, int]:
    """Take back the person's last change that was not taken back yet; the wall, and its number.

    Raises
    ------
    ServiceError
        ``nothing-to-undo``; ``changed-since``, if somebody changed the same thing afterwards.
    """
    undone = unit.events.undone(wall.id)
    for event in unit.events.newest_of_wall(wall.id, acting.who):
        if event.kind not in UNDOABLE or event.undoes is not None or event.seq in undone:
            continue
        now = value_at(wall.facts, event.path)
        parent = value_at(wall.facts, event.path[:-1])
        if now != event.after or not isinstance(parent, dict):
            raise ServiceError(
                "changed-since",
                f"Your last change ({event.what}) has been changed since by somebody else.",
                do="Look at it, and set it anew.",
            )
        what = f"took back: {event.what}"
        new, _ = change_wall(
            unit, acting, wall, event.path, event.before, event.kind, what, undoes=event.seq
        )
        return new, event.seq
    raise ServiceError("nothing-to-undo", f"{acting.who} has nothing to take back on this wall.")
