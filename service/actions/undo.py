"""Taking back one's own last change of a wall, and doing it again.

Readings are not taken back but replaced.
"""

from __future__ import annotations

from typing import Final

from service.errors import ServiceError
from service.store.changes import change_wall
from service.store.rows import Acting, EventRow, WallRow
from service.store.unit import Unit
from service.store.wall_document import value_at

UNDOABLE: Final = frozenset({"mark", "photo", "lines", "dimension", "rectangle", "line", "card"})


def undo(unit: Unit, acting: Acting, wall: WallRow) -> tuple[WallRow, int]:
    """Take back the person's last change that was not taken back yet; the wall, and its number.

    Raises
    ------
    ServiceError
        ``nothing-to-undo``; ``changed-since``, if somebody changed the same thing afterwards;
        ``has-readings``, if it added a size that was taped since.
    """
    done, _ = _own_steps(unit, acting, wall)
    if not done:
        raise ServiceError(
            "nothing-to-undo", f"{acting.who} has nothing to take back on this wall."
        )
    return _reversed(unit, acting, wall, done[-1], "took back"), done[-1].seq


def redo(unit: Unit, acting: Acting, wall: WallRow) -> tuple[WallRow, int]:
    """Do again what the person took back last, unless they have changed something since.

    Raises
    ------
    ServiceError
        ``nothing-to-redo``; ``changed-since``, if somebody changed the same thing afterwards.
    """
    _, taken_back = _own_steps(unit, acting, wall)
    if not taken_back:
        raise ServiceError("nothing-to-redo", f"{acting.who} has nothing to do again on this wall.")
    return _reversed(unit, acting, wall, taken_back[-1], "did again"), taken_back[-1].seq


def _own_steps(unit: Unit, acting: Acting, wall: WallRow) -> tuple[list[EventRow], list[EventRow]]:
    """The person's changes that stand, and their takings back that stand; the next one last."""
    done: list[EventRow] = []
    taken_back: list[EventRow] = []
    for event in reversed(unit.events.newest_of_wall(wall.id, acting.who)):
        if event.kind not in UNDOABLE:
            continue
        if event.undoes is None:
            done.append(event)
            taken_back.clear()
        elif any(step.seq == event.undoes for step in done):
            done = [step for step in done if step.seq != event.undoes]
            taken_back.append(event)
        else:
            taken_back = [step for step in taken_back if step.seq != event.undoes]
            done.append(event)
    return done, taken_back


def _reversed(unit: Unit, acting: Acting, wall: WallRow, event: EventRow, how: str) -> WallRow:
    now = value_at(wall.facts, event.path)
    parent = value_at(wall.facts, event.path[:-1])
    if now != event.after or not isinstance(parent, dict):
        raise ServiceError(
            "changed-since",
            f"Your last change ({event.what}) has been changed since by somebody else.",
            do="Look at it, and set it anew.",
        )
    _keep_taped(wall, event)
    what = f"{how}: {event.what.partition(': ')[2] if event.undoes else event.what}"
    return change_wall(
        unit, acting, wall, event.path, event.before, event.kind, what, undoes=event.seq
    )[0]


def _keep_taped(wall: WallRow, event: EventRow) -> None:
    """A size that was taped since it was added stays, for a reading is never lost."""
    if event.kind != "dimension":
        return
    sizes = wall.facts["dimensions"]
    gone = {event.path[-1]} if event.before is None else set()
    if len(event.path) == 1:
        gone = sizes.keys() - (event.before or {}).keys()
    taped = {row["dimension"] for row in wall.facts["readings"].values()} & gone
    if taped:
        names = ", ".join(sizes[key]["name"] for key in sizes if key in taped)
        raise ServiceError(
            "has-readings",
            f"It would take away what has been taped since ({names}), and a reading is never "
            "thrown away.",
            do="Take away the sizes that are not taped one by one, under Lines and sizes.",
        )
