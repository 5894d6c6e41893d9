"""Releasing a panel's sheet for cutting, under the next letter, and taking that back."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from service.errors import ServiceError
from service.files.api.answers import ReleaseModel
from service.store.changes import change_job
from service.store.rows import Acting, JobRow
from service.store.unit import Unit

_LETTERS: Final = "ABCDEFGHJKLMNPQRSTUVWXYZ"
"""Without I and O, which are read as figures (ASME Y14.35)."""


def release_panel(
    unit: Unit,
    acting: Acting,
    job: JobRow,
    panel: str,
    releases: Mapping[str, ReleaseModel],
    fingerprints: Mapping[str, str],
    who: str,
) -> JobRow:
    """Lock a panel's sheet as the next revision; one that is locked already stays as it is.

    Raises
    ------
    ServiceError
        ``not-found``; ``not-proved``, with every size that is not.
    """
    state = _known(releases, panel)
    if state.state == "released":
        return job
    if state.state == "shut" or panel not in _proved(releases):
        raise ServiceError(
            "not-proved",
            f"The {panel} panel may not be released: {'; '.join(state.why_not)}.",
            do="Tape these sizes until photo and tape agree.",
        )
    letter = _next(state.revision)
    value: dict[str, Any] = {
        "state": "released",
        "revision": letter,
        "who": who,
        "at": acting.at,
        "fingerprint": fingerprints[panel],
    }
    what = f"released the {panel} panel's sheet as revision {letter}"
    return change_job(unit, acting, job, ["releases", panel], value, "release", what)


def withdraw_panel(
    unit: Unit, acting: Acting, job: JobRow, panel: str, releases: Mapping[str, ReleaseModel]
) -> JobRow:
    """Take a release back: the sheet is not for cutting any more.

    Raises
    ------
    ServiceError
        ``not-found``, also where nothing is released.
    """
    _known(releases, panel)
    kept = job.document["releases"].get(panel)
    if kept is None or kept["state"] != "released":
        raise ServiceError("not-found", f"The {panel} panel's sheet is not released.")
    value = {**kept, "state": "withdrawn", "who": acting.who, "at": acting.at}
    what = f"took back revision {kept['revision']} of the {panel} panel's sheet"
    return change_job(unit, acting, job, ["releases", panel], value, "release", what)


def _known(releases: Mapping[str, ReleaseModel], panel: str) -> ReleaseModel:
    if panel not in releases:
        raise ServiceError("not-found", f"The plan has no panel {panel!r}.")
    return releases[panel]


def _proved(releases: Mapping[str, ReleaseModel]) -> set[str]:
    """Panels whose sizes are all proved now; a reopened one says more than that it changed."""
    return {
        name
        for name, found in releases.items()
        if found.state == "open" or (found.state == "reopened" and len(found.why_not) == 1)
    }


def _next(letter: str | None) -> str:
    if letter is None:
        return _LETTERS[0]
    if letter[-1] != _LETTERS[-1]:
        return letter[:-1] + _LETTERS[_LETTERS.index(letter[-1]) + 1]
    return _next(letter[:-1] or None) + _LETTERS[0]
