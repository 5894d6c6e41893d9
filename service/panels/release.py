"""What stands behind a panel's sizes, carried to the papers of that panel.

Whether a size is proved, and whether a sheet may be locked, is decided elsewhere.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from service.panels.sheet_release import SheetRelease, SheetSize
from service.panels.sizes import mark

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from service.panels.model import Panel, Plan, WallName
    from service.panels.walls import Given


def sheet_sizes(used: Iterable[Given]) -> tuple[SheetSize, ...]:
    """The measured sizes behind a panel, each once."""
    found = {
        given.name: SheetSize(
            given.name,
            mark(given.mm),
            given.u_mm,
            given.dimension,
            given.proof,
            given.note,
            given.why_not,
            given.do,
            given.taped,
            given.corrected,
        )
        for given in used
    }
    return tuple(found.values())


def with_releases(plan: Plan, releases: Mapping[WallName, SheetRelease]) -> Plan:
    """The plan with only those panels released whose sheet somebody has locked."""
    panels = tuple(
        _with_release(panel, releases[panel.wall]) if panel.wall in releases else panel
        for panel in plan.panels
    )
    released = plan.released and all(panel.released for panel in panels)
    return replace(plan, panels=panels, released=released)


def overrides(panel: Panel) -> tuple[str, ...]:
    """What was overridden on a panel's sizes; it prints on every page of the panel."""
    return tuple(f"{size.name}: {size.note}" for size in panel.sizes if size.proof == "override")


def _with_release(panel: Panel, release: SheetRelease) -> Panel:
    if release.state == "released":
        return replace(panel, release=release)
    why_not = release.held or ("nobody has released the sheet yet",)
    return replace(panel, release=release, released=False, why_not=why_not)
