"""Reports of stored walls, from what was seen in their photos; each worked out once."""

from __future__ import annotations

import hashlib
from collections import OrderedDict
from threading import Lock
from typing import Final

from service.actions.measure.wall import measure_sights
from service.errors import ServiceError
from service.files.report import Report
from service.files.wall import WallFile
from service.store.rows import Acting, PhotoRow, WallRow
from service.store.unit import Store, Unit
from service.store.wall_document import wall_file
from vision.errors import Refusal
from vision.measure_wall.record import sight_from_record

_KEPT: Final = 256


class WallReports:
    """Reports by what they are worked out from: facts, sights and the program's own code.

    The same facts give the same report, so a report that is kept never goes out of date; another
    change of the facts has another fingerprint.

    Parameters
    ----------
    code
        Fingerprint of the program: what an older one worked out is not taken over.
    """

    def __init__(self, code: str) -> None:
        self._code = code
        self._lock = Lock()
        self._kept: OrderedDict[str, Report | ServiceError] = OrderedDict()
        self._unsaved: dict[str, tuple[str, str]] = {}

    def of_wall(self, unit: Unit, wall: WallRow) -> Report:
        """The wall's report as its facts stand.

        Raises
        ------
        ServiceError
            ``nothing-yet``, or the code of the refusal: no card found, not observable.
        """
        photos = unit.photos.of_wall(wall.id)
        file = stored_wall_file(unit, wall, photos)
        if file is None:
            raise ServiceError(
                "nothing-yet",
                "This wall has no photo that was looked at, and no reading.",
                do="Add a photo that shows a card, or take a reading.",
            )
        text = wall_json(file)
        fingerprint = hashlib.sha256(f"{self._code}\n{unit.look_version}\n{text}".encode())
        found = self._find(unit, fingerprint.hexdigest())
        if found is None:
            found = _measured(file, photos)
            self._keep(fingerprint.hexdigest(), wall.id, found)
        if isinstance(found, ServiceError):
            raise ServiceError(found.code, found.detail, do=found.do)
        return found

    def save(self, store: Store, acting: Acting) -> None:
        """Write down what was worked out since; for after the answers, not on their way."""
        with self._lock:
            unsaved, self._unsaved = self._unsaved, {}
        if not unsaved:
            return
        with store.write() as unit:
            for fingerprint, (wall_id, body) in unsaved.items():
                unit.kept.keep_report(fingerprint, wall_id, body, acting.at)

    def _find(self, unit: Unit, fingerprint: str) -> Report | ServiceError | None:
        with self._lock:
            found = self._kept.get(fingerprint)
            if found is not None:
                self._kept.move_to_end(fingerprint)
                return found
        written = unit.kept.report(fingerprint)
        if written is None:
            return None
        report = Report.model_validate_json(written)
        self._remember(fingerprint, report)
        return report

    def _keep(self, fingerprint: str, wall_id: str, found: Report | ServiceError) -> None:
        self._remember(fingerprint, found)
        if isinstance(found, Report):
            body = found.model_dump_json(by_alias=True)
            with self._lock:
                self._unsaved = {
                    key: value for key, value in self._unsaved.items() if value[0] != wall_id
                }
                self._unsaved[fingerprint] = (wall_id, body)

    def _remember(self, fingerprint: str, found: Report | ServiceError) -> None:
        with self._lock:
            self._kept[fingerprint] = found
            while len(self._kept) > _KEPT:
                self._kept.popitem(last=False)


def stored_wall_file(
    unit: Unit, wall: WallRow, photos: dict[str, PhotoRow] | None = None
) -> WallFile | None:
    """The wall file of a stored wall; None while there is nothing to measure by."""
    job = unit.jobs.get(wall.job_id)
    return wall_file(
        wall.name,
        job.bare_unit,
        wall.facts,
        unit.photos.of_wall(wall.id) if photos is None else photos,
        job.document["print_jobs"],
    )


def wall_json(file: WallFile) -> str:
    """The wall file's text: just what was said, for a default that is written out means more."""
    return file.model_dump_json(indent=1, by_alias=True, exclude_unset=True) + "\n"


def _measured(file: WallFile, photos: dict[str, PhotoRow]) -> Report | ServiceError:
    by_file = {photo.file: photo for photo in photos.values() if photo.found is not None}
    sights = [
        sight_from_record(found["sight"])
        for photo in file.photos
        if (found := by_file[photo.file].found) is not None
    ]
    try:
        return measure_sights(file, sights)
    except Refusal as refusal:
        return ServiceError(refusal.code, refusal.text, do=refusal.do)
