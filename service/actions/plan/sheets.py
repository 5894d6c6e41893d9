"""How each sheet of a plan stands: held, ready, locked, or changed since it was locked."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from service.actions.plan.sheet_facts import sheet_needs
from service.measuring.release.revision import changes_since, is_intact, newest_letter
from service.measuring.release.sheet import SheetState, looks_for, sheet_state
from service.measuring.release.size import Held, Proof, ProvedSize
from service.panels.release import with_releases
from service.panels.sheet_release import SheetRelease

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from service.actions.plan.planning import Planned
    from service.measuring.release.facts import SecondLook
    from service.measuring.release.revision import Revision
    from service.panels.model import Panel, Plan, WallName
    from service.panels.sheet_release import SheetSize


@dataclass(frozen=True)
class Sheets:
    """Every sheet of a plan, by its wall.

    Attributes
    ----------
    states
        Whether it may be locked, and what holds it.
    releases
        How it stands.
    locked
        The plan with only those panels released whose sheet is locked: what papers are made of.
    """

    states: Mapping[WallName, SheetState]
    releases: Mapping[WallName, SheetRelease]
    locked: Plan

    @property
    def newest_letter(self) -> str:
        """The newest letter that a sheet was locked under; a dash before the first."""
        return newest_letter(found.revision for found in self.releases.values())


def sheets_of(
    planned: Planned,
    looks: Mapping[str, Sequence[SecondLook]],
    last: Mapping[str, Revision],
    withdrawn: frozenset[str] = frozenset(),
) -> Sheets:
    """Judge every sheet by its own sizes and looks, and hold it against its last revision.

    Parameters
    ----------
    looks, last
        Second looks, and the last locked revision, by the sheet's wall.
    withdrawn
        Sheets whose last revision was taken back.
    """
    states = {
        panel.wall: sheet_state(
            sheet_needs(panel, planned.alcove, planned.shop),
            [_as_proof(size) for size in panel.sizes],
            looks_for(panel.wall, looks),
        )
        for panel in planned.plan.panels
    }
    releases = {
        panel.wall: _release(
            states[panel.wall], last.get(panel.wall), panel.wall in withdrawn, _called(panel)
        )
        for panel in planned.plan.panels
    }
    return Sheets(states, releases, with_releases(planned.plan, releases))


def _as_proof(size: SheetSize) -> ProvedSize | Held:
    if size.why_not:
        return Held(size.name, size.why_not.removeprefix(f"{size.name}: "), size.do)
    return ProvedSize(
        size.name,
        size.value.mm,
        size.u_mm,
        Proof(size.proof),
        size.note,
        size.taped,
        size.corrected,
    )


def _called(panel: Panel) -> dict[str, str]:
    """What the wall itself calls a size, where that is another name than the panel's."""
    return {
        size.name: size.dimension
        for size in panel.sizes
        if size.dimension and size.name != f"{panel.wall} {size.dimension}"
    }


def _release(
    state: SheetState, last: Revision | None, withdrawn: bool, called: Mapping[str, str]
) -> SheetRelease:
    held = tuple(f"{found.what}: {found.why}" for found in state.held)
    now = SheetRelease(
        "open" if state.may_be_released else "shut",
        wanted=tuple((str(what), value) for what, value in state.needs.looks.items()),
        looked=tuple(
            f"{what} {look.value}: {look.words}"
            for what, look in {look.what: look for look in state.looked}.items()
        ),
        held=held,
    )
    if last is None:
        return now
    changes = _told(last, state, called)
    now = replace(
        now,
        revision=last.letter,
        fingerprint=last.fingerprint,
        who=last.who,
        at=last.at,
        changes=changes,
    )
    if withdrawn:
        return now
    if not changes:  # whatever holds a sheet is a change, for nothing did when it was locked
        return replace(now, state="released")
    why = f"changed since revision {last.letter} was released"
    return replace(now, state="reopened", held=(why, *held))


def _told(last: Revision, state: SheetState, called: Mapping[str, str]) -> tuple[str, ...]:
    """What changed since, the sizes before what is cut by them, each as its wall calls it too."""
    if not last.content:
        return ("what it was cut by was not kept: look at it, and release it again",)
    if not is_intact(last):
        said = f"revision {last.letter} is not what its hash was made of: release the sheet again"
        return (said,)
    changes = sorted(
        changes_since(last, state), key=lambda change: not change.what.startswith("size ")
    )
    return tuple(replace(change, what=_named(change.what, called)).text for change in changes)


def _named(what: str, called: Mapping[str, str]) -> str:
    for name, own in called.items():
        if what in (f"size {name}", f"not proved: {name}", f"taped: {name}"):
            return f"{what} ({own})"
    return what
