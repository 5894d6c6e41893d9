"""Reports of stored walls, from what was seen in their photos; each worked out once."""

from __future__ import annotations

import hashlib
from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import dataclass
from threading import Lock
from typing import Final

from service.actions.measure.across import judged_across
from service.actions.measure.alcove import CheckedAlcove, check_alcove
from service.actions.measure.asked import lens_profile, readings_of, wall_request
from service.actions.measure.lens_of_wall import profiles_of
from service.actions.measure.wall import LookedWall, PhotoPart, looked_at, photo_part, report_on
from service.errors import ServiceError
from service.files.lens_profile import LensProfileFile
from service.files.report import Report
from service.files.shop_practice import least_slip_of
from service.files.wall import WallFile
from service.store.new_job import wall_around
from service.store.rows import Acting, JobRow, PhotoRow, WallName, WallRow
from service.store.unit import Store, Unit
from service.store.wall_document import wall_file
from vision.errors import Refusal
from vision.measure_wall import LensProfile, Sight
from vision.measure_wall.record import sight_from_record

_KEPT: Final = 256
_SEEN_KEPT: Final = 12
"""Photos of a wall that stay adjusted in memory: those of the jobs that are worked on now."""


@dataclass(frozen=True)
class StoredWall:
    """A stored wall as a file, its photos, and what stands for both.

    ``fingerprint`` is of all that a report is worked out from, ``seen`` of all but the readings and
    ``slip_mm``, the slip that the shop wants its checks to catch.
    """

    file: WallFile
    photos: Mapping[str, PhotoRow]
    profiles: tuple[LensProfile, ...]
    slip_mm: float
    fingerprint: str
    seen: str


@dataclass(frozen=True)
class JobCheck:
    """A job's walls judged together; ``refused`` are those without anything, and why.

    ``checked`` is None where that is every wall.
    """

    job: JobRow
    looked: Mapping[WallName, LookedWall]
    refused: Mapping[WallName, ServiceError]
    checked: CheckedAlcove | None


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
        self._seen: OrderedDict[str, _Seen] = OrderedDict()
        self._alcoves: OrderedDict[str, CheckedAlcove] = OrderedDict()
        self._unsaved: dict[str, tuple[str, str]] = {}

    def of_wall(self, unit: Unit, wall: WallRow) -> Report:
        """The wall's report as its facts stand.

        Raises
        ------
        ServiceError
            ``nothing-yet``, or the code of the refusal: no card found, not observable.
        """
        found = self._report(unit, wall, self.stored(unit, wall))
        if isinstance(found, ServiceError):
            raise ServiceError(found.code, found.detail, do=found.do)
        return found

    def stored(self, unit: Unit, wall: WallRow) -> StoredWall | None:
        """What a wall is measured from; None while there is nothing."""
        photos = unit.photos.of_wall(wall.id)
        file = stored_wall_file(unit, wall, photos)
        if file is None:
            return None
        profiles = tuple(
            lens_profile(LensProfileFile.model_validate_json(row.body))
            for row in profiles_of(unit, wall, photos)
        )
        code = f"{self._code}\n{unit.look_version}"
        untaped = file.model_copy(update={"readings": ()})
        slip_mm = least_slip_of(unit.jobs.get(wall.job_id).practice)
        fingerprint = _hash(f"{code}\n{slip_mm}", file)
        return StoredWall(file, photos, profiles, slip_mm, fingerprint, _hash(code, untaped))

    def looked(self, stored: StoredWall) -> LookedWall:
        """A wall ready to be judged; its photos are adjusted once for all its readings.

        Raises
        ------
        Refusal
            As `looked_at`.
        """
        request = wall_request(stored.file, stored.profiles)
        with self._lock:
            seen = self._seen.pop(stored.seen, None)
        if seen is None:
            sights = tuple(stored_sights(stored.file, stored.photos))
            seen = _Seen(sights, photo_part(request, sights))
        with self._lock:
            self._seen[stored.seen] = seen
            while len(self._seen) > _SEEN_KEPT:
                self._seen.popitem(last=False)
        return looked_at(stored.file, request, seen.sights, readings_of(stored.file), seen.part)

    def of_job(self, unit: Unit, job: JobRow) -> JobCheck:
        """The job's walls judged as one alcove, as far as there is something to judge."""
        walls = unit.jobs.walls(job.id)
        return self._judged(job, {wall.name: self.stored(unit, wall) for wall in walls})

    def of_walls(self, unit: Unit, job: JobRow) -> dict[WallName, Report | ServiceError]:
        """Each wall's report, judged by the other walls as well, or why there is none."""
        found: dict[WallName, Report | ServiceError] = {}
        walls: dict[WallName, StoredWall | None] = {}
        for wall in unit.jobs.walls(job.id):
            walls[wall.name] = self.stored(unit, wall)
            found[wall.name] = self._report(unit, wall, walls[wall.name])
        check = self._judged(job, walls)
        if check.checked is None:
            return found
        reports: dict[str, Report] = {
            name: report for name, report in found.items() if isinstance(report, Report)
        }
        judged = judged_across(reports, list(check.looked.values()), check.checked)
        return {name: judged.get(name, report) for name, report in found.items()}

    def save(self, store: Store, acting: Acting) -> None:
        """Write down what was worked out since; for after the answers, not on their way."""
        with self._lock:
            unsaved, self._unsaved = self._unsaved, {}
        if not unsaved:
            return
        with store.write() as unit:
            for fingerprint, (wall_id, body) in unsaved.items():
                unit.kept.keep_report(fingerprint, wall_id, body, acting.at)

    def _report(
        self, unit: Unit, wall: WallRow, stored: StoredWall | None
    ) -> Report | ServiceError:
        if stored is None:
            return _nothing_yet()
        found = self._find(unit, stored.fingerprint)
        if found is None:
            found = self._measured(stored)
            self._keep(stored.fingerprint, wall.id, found)
        return found

    def _measured(self, stored: StoredWall) -> Report | ServiceError:
        try:
            return report_on(self.looked(stored), stored.slip_mm)
        except Refusal as refusal:
            return ServiceError(refusal.code, refusal.text, do=refusal.do)

    def _judged(self, job: JobRow, walls: Mapping[WallName, StoredWall | None]) -> JobCheck:
        looked: dict[WallName, LookedWall] = {}
        refused: dict[WallName, ServiceError] = {}
        keys = []
        for name, stored in walls.items():
            if stored is None:
                refused[name] = _nothing_yet()
                continue
            try:
                looked[name] = self.looked(stored)
                keys.append(stored.fingerprint)
            except Refusal as refusal:
                refused[name] = ServiceError(refusal.code, refusal.text, do=refusal.do)
        checked = None
        if looked:
            key = "\n".join([*keys, repr(job.overrides)])
            checked = self._checked(key, list(looked.values()), job)
        return JobCheck(job, looked, refused, checked)

    def _checked(self, key: str, walls: list[LookedWall], job: JobRow) -> CheckedAlcove:
        with self._lock:
            found = self._alcoves.pop(key, None)
        if found is None:
            slip_mm = least_slip_of(job.practice)
            found = check_alcove(walls, overrides=job.overrides, slip_mm=slip_mm)
        with self._lock:
            self._alcoves[key] = found
            while len(self._alcoves) > _SEEN_KEPT:
                self._alcoves.popitem(last=False)
        return found

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
    photos = unit.photos.of_wall(wall.id) if photos is None else photos
    lens = tuple(row.file for row in profiles_of(unit, wall, photos))
    return wall_file(wall_around(job, wall, lens), wall.facts, photos)


def wall_json(file: WallFile) -> str:
    """The wall file's text: just what was said, for a default that is written out means more."""
    return file.model_dump_json(indent=1, by_alias=True, exclude_unset=True) + "\n"


def stored_sights(file: WallFile, photos: Mapping[str, PhotoRow]) -> list[Sight]:
    """What was seen in the wall file's photos, in its order."""
    by_file = {photo.file: photo for photo in photos.values() if photo.found is not None}
    return [
        sight_from_record(found["sight"])
        for photo in file.photos
        if (found := by_file[photo.file].found) is not None
    ]


@dataclass(frozen=True)
class _Seen:
    sights: tuple[Sight, ...]
    part: PhotoPart | Refusal


def _hash(code: str, file: WallFile) -> str:
    return hashlib.sha256(f"{code}\n{wall_json(file)}".encode()).hexdigest()


def _nothing_yet() -> ServiceError:
    return ServiceError(
        "nothing-yet",
        "This wall has no photo that was looked at, and no reading.",
        do="Add a photo that shows a card, or take a reading.",
    )
