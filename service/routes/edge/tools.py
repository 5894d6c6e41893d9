"""What the program is assembled from, as the routes reach it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from fastapi import Depends, Request

if TYPE_CHECKING:
    from service.actions.look_closer import PhotoAsker
    from service.actions.measure import WallReports
    from service.actions.plan import CutSizes
    from service.blobs import Blobs, Uploads
    from service.store.unit import Store


@dataclass(frozen=True)
class Tools:
    """The assembled parts.

    Attributes
    ----------
    wake
        Tells the worker that there may be a task.
    shop
        What the shop calls itself.
    """

    store: Store
    blobs: Blobs
    uploads: Uploads
    reports: WallReports
    cut_sizes: CutSizes
    asker: PhotoAsker
    wake: Callable[[], None]
    example_folder: Path
    web_folder: Path
    shop: str


def _tools(request: Request) -> Tools:
    tools: Tools = request.app.state.tools
    return tools


ToolsDep = Annotated[Tools, Depends(_tools)]
