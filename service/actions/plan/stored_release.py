"""What a stored job holds of release, as the rules take it; and how a sheet stands, as shown."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from service.files.api.release_answers import (
    HeldModel,
    LookModel,
    OverrideModel,
    ReleaseModel,
    RevisionList,
    RevisionModel,
)
from service.measuring.release.facts import NothingChecks, SecondLook
from service.measuring.release.revision import Revision, changes_between, is_intact, mark_of

if TYPE_CHECKING:
    from service.actions.plan.sheets import Sheets
    from service.panels.model import WallName
    from service.store.rows import JobRow


def looks_of(job: JobRow, photos: Collection[str]) -> dict[str, list[SecondLook]]:
    """Every second look, by the wall whose sheet it is for; none by a photo that is gone."""
    return {
        panel.replace("-", " "): [
            _look(what, row)
            for what, row in rows.items()
            if row["photo"] is None or row["photo"] in photos
        ]
        for panel, rows in job.document["looks"].items()
    }


def last_revisions(job: JobRow, revisions: Sequence[Revision]) -> dict[str, Revision]:
    """The last locked revision of each sheet, under the hash that its job notes of it: one that is
    not the job's, for it was exchanged or the last one taken out, is not intact.

    A release that an earlier version of the program noted without what it was cut by is one of
    which nothing holds any more.
    """
    found = {revision.sheet: revision for revision in revisions}
    for panel, row in job.document["releases"].items():
        wall, noted = panel.replace("-", " "), row["fingerprint"]
        if wall not in found:
            found[wall] = Revision(wall, row["revision"], {}, noted, row["who"], row["at"], {})
        elif found[wall].fingerprint != noted:
            found[wall] = replace(found[wall], letter=row["revision"], fingerprint=noted)
    return found


def release_model(job: JobRow, sheets: Sheets, wall: WallName) -> ReleaseModel:
    """How a panel's sheet stands, with all that a person needs to release it."""
    panel = wall.replace(" ", "-")
    release, state = sheets.releases[wall], sheets.states[wall]
    why_not = () if release.state == "released" else release.held
    if release.state == "open":
        why_not = ("nothing holds it, but nobody has released the sheet yet",)
    kept = job.document["looks"][panel]
    counting = {look.what: look for look in state.looked}
    return ReleaseModel(
        state=release.state,
        revision=release.revision or None,
        fingerprint=release.fingerprint or None,
        who=release.who or None,
        at=release.at or None,
        why_not=why_not,
        may_release=state.may_be_released,
        held=tuple(HeldModel(what=h.what, why=h.why, do=h.do) for h in state.held),
        looks=tuple(
            LookModel(
                what=str(what),
                value=value,
                counts=what in counting,
                **_vouching(counting.get(what), kept.get(str(what))),
            )
            for what, value in state.needs.looks.items()
        ),
        overrides=tuple(
            OverrideModel(dimension=name, **row)
            for name, row in job.document["overrides"][panel].items()
        ),
        changes=release.changes,
        shown=mark_of(state),
    )


def show_revisions(found: Sequence[Revision]) -> RevisionList:
    """The revisions of one sheet, each with what changed from the one before it."""
    return RevisionList(
        revisions=tuple(
            RevisionModel(
                letter=one.letter,
                who=one.who,
                at=one.at,
                fingerprint=one.fingerprint,
                intact=is_intact(one),
                content=dict(one.content),
                changes=() if old is None else tuple(c.text for c in changes_between(old, one)),
            )
            for old, one in zip((None, *found), found, strict=False)
        )
    )


def _look(what: str, row: dict[str, Any]) -> SecondLook:
    return SecondLook(NothingChecks(what), row["value"], **_who(row))


def _vouching(counts: SecondLook | None, row: dict[str, Any] | None) -> dict[str, Any]:
    """Who vouches so that it counts, be it at another sheet; else what was said at this one."""
    if counts is None:
        return _who(row)
    return {"first": counts.first, "second": counts.second, "photo": counts.photo}


def _who(row: dict[str, Any] | None) -> dict[str, Any]:
    return {key: None if row is None else row[key] for key in ("first", "second", "photo")}
