"""Releasing a panel's sheet for cutting, under the next letter, and taking that back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from service.errors import ServiceError
from service.measuring.field_truth import Evidence
from service.measuring.release.facts import is_named
from service.measuring.release.revision import NotReleasable, Revision, lock, mark_of
from service.measuring.release.sheet import SheetState
from service.panels.places import WallName as PanelWall
from service.store.changes import change_job
from service.store.rows import Acting, JobRow, WallName
from service.store.unit import Unit


def release_panel(
    unit: Unit,
    acting: Acting,
    job: JobRow,
    panel: WallName,
    states: Mapping[PanelWall, SheetState],
    last: Mapping[str, Revision],
    who: str,
    *,
    locked: bool,
    evidence: Evidence,
    shown: str | None = None,
) -> JobRow:
    """Lock a panel's sheet as the next revision; one that is locked already stays as it is.

    Parameters
    ----------
    states, last
        How each sheet stands, and its last revision, by the sheet's wall.
    locked
        Whether that revision still holds.
    evidence
        What photos and tape say of its sizes now.
    shown
        Mark of the sheet that the person looked at; None, whatever it is.

    Raises
    ------
    ServiceError
        ``not-found``; ``stale`` where it is not the sheet that was shown; ``invalid`` where nobody
        is named; ``not-proved``, with everything that holds the sheet.
    """
    wall = panel.replace("-", " ")
    state = _known(states, wall)
    _check_shown(state, wall, shown)
    if locked:
        return job
    if not is_named(who):
        detail = "who: expected the name of the one who releases the sheet."
        raise ServiceError("invalid", detail, field="who")
    try:
        new = lock(state, [last[wall]] if wall in last else [], who, acting.at, evidence)
    except NotReleasable:
        held = "; ".join(f"{found.what}: {found.why}" for found in state.held)
        raise ServiceError(
            "not-proved",
            f"The {wall} panel may not be released: {held or 'no size yet'}.",
            do=_remedy(state),
        ) from None
    unit.revisions.add(job.id, new)
    value: dict[str, Any] = {
        "state": "released",
        "revision": new.letter,
        "who": new.who,
        "at": new.at,
        "fingerprint": new.fingerprint,
    }
    what = f"released the {wall} panel's sheet as revision {new.letter}"
    return change_job(unit, acting, job, ["releases", panel], value, "release", what)


def _check_shown(state: SheetState, wall: str, shown: str | None) -> None:
    if shown is not None and shown != mark_of(state):
        detail = f"The {wall} sheet is another by now than the one that was shown."
        do = "Look at it as it is now, and release it then."
        raise ServiceError("stale", detail, do=do)


def withdraw_panel(unit: Unit, acting: Acting, job: JobRow, panel: WallName) -> JobRow:
    """Take a release back: the sheet is not for cutting any more.

    Raises
    ------
    ServiceError
        ``not-found``, also where nothing is released.
    """
    kept = job.document["releases"].get(panel)
    if kept is None or kept["state"] != "released":
        raise ServiceError("not-found", f"The {panel} panel's sheet is not released.")
    value = {**kept, "state": "withdrawn", "who": acting.who, "at": acting.at}
    called = panel.replace("-", " ")
    what = f"took back revision {kept['revision']} of the {called} panel's sheet"
    return change_job(unit, acting, job, ["releases", panel], value, "release", what)


def _known(states: Mapping[PanelWall, SheetState], wall: str) -> SheetState:
    for name, state in states.items():
        if name == wall:
            return state
    raise ServiceError("not-found", f"The plan has no {wall} panel.")


def _remedy(state: SheetState) -> str:
    remedies: Sequence[str] = list(dict.fromkeys(held.do for held in state.held))
    return "; ".join(remedies[:3]).capitalize() + "." if remedies else "Take its sizes."
