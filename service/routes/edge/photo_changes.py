"""A change of what is set in one photo: made on the wall's version, answered with the wall."""

from __future__ import annotations

from collections.abc import Callable

from fastapi.responses import Response

from service.actions.show_wall import photo_on_wall, show_wall, wall_version
from service.routes.edge.answers import Answer, etag, perform
from service.routes.edge.asked import Asked
from service.routes.edge.tools import Tools
from service.store.rows import PhotoRow, WallRow
from service.store.unit import Unit


def change_photo(
    tools: Tools, asked: Asked, photo: str, change: Callable[[Unit, WallRow, PhotoRow], WallRow]
) -> Response:
    """Do the change in one transaction, if it was made on the wall as it is."""

    def checked(unit: Unit) -> Answer:
        row, wall = photo_on_wall(unit, photo)
        asked.require(wall.revision, lambda: show_wall(unit, wall))
        new = change(unit, wall, row)
        return Answer(show_wall(unit, new), headers=etag(wall_version(unit, new)))

    return perform(tools, asked, checked)
