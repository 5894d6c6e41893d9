"""What runs in the limited process: bytes of unknown origin are decoded here and nowhere else."""

from __future__ import annotations

import json
import zipfile
from pathlib import Path

from vision.errors import Refusal
from vision.measure_wall import look
from vision.measure_wall.record import sight_record
from vision.photo.views import make_views


def look_in_child(photo: Path, pictures: Path) -> str:
    """Find the cards in a photo and make the pictures to look at; what was found, as JSON text.

    ``pictures`` becomes one archive with every picture, not compressed, so that one can be read
    out of it alone. It is not made where the photo is refused.
    """
    data = photo.read_bytes()
    sight = look(data)
    if sight.refusal is None:
        try:
            _write_pictures(data, pictures)
        except Refusal as refusal:
            sight = type(sight)(header=None, refusal=refusal)
    return json.dumps({"sight": sight_record(sight)}, allow_nan=False)


def _write_pictures(data: bytes, target: Path) -> None:
    with zipfile.ZipFile(target, "w", zipfile.ZIP_STORED) as archive:
        for view in make_views(data):
            # A fixed date: the same photo gives the same archive.
            archive.writestr(zipfile.ZipInfo(view.name, (1980, 1, 1, 0, 0, 0)), view.jpeg)
