"""A photo whose parts are all sent: put together, and noted in one transaction."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.actions.receive_photo import assemble
from service.blobs import StoredBlob
from service.routes.edge.answers import perform

if TYPE_CHECKING:
    from collections.abc import Callable

    from fastapi.responses import Response

    from service.actions.receive_photo import Announced
    from service.routes.edge.answers import Answer
    from service.routes.edge.asked import Asked
    from service.routes.edge.tools import Tools
    from service.store.unit import Unit


def note_whole(
    tools: Tools,
    asked: Asked,
    upload: str,
    body: Announced,
    note: Callable[[Unit, StoredBlob, str], Answer],
) -> Response:
    """Put an upload's parts together and note what they are; the parts go once that is kept.

    Parameters
    ----------
    note
        Notes the bytes, given with their kind, in the transaction it is called in.
    """
    sha256, size, kind = assemble(tools.blobs, tools.uploads, upload, body)

    def change(unit: Unit) -> Answer:
        if not tools.blobs.has(sha256):  # nothing needed them until now, so they were collected
            assemble(tools.blobs, tools.uploads, upload, body)
        return note(unit, StoredBlob(sha256, size), kind)

    response = perform(tools, asked, change)
    tools.uploads.drop(upload)
    return response
