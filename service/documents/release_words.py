"""What every paper of a panel says of its release: letter, hash, overrides, second looks."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from service.panels.release import overrides

if TYPE_CHECKING:
    from service.panels.model import Panel, Plan

SHOWN: Final = 12
"""Characters of a fingerprint that are printed: enough to tell two revisions apart."""


def letter_of(panel: Panel, otherwise: str) -> str:
    """The letter of the panel's own sheet; a dash while it was never locked, and after which one
    it stands once it was changed."""
    release = panel.release
    if release is None:
        return otherwise
    if panel.released or not release.revision:
        return release.revision or "–"
    return f"after {release.revision}, not released"


def stamp_of(panel: Panel) -> str:
    """Letter and hash of the panel's locked sheet, empty where this is not it."""
    release = panel.release
    if release is None or not panel.released:
        return ""
    return f"sheet revision {release.revision}, hash {release.fingerprint[:SHOWN]}"


def released_by(panel: Panel) -> str:
    """Who released the panel's sheet and when, empty where nobody told."""
    release = panel.release
    if release is None or not panel.released:
        return ""
    # The date first: a name too long for its line is cut.
    return f"{release.at[:10]}, by {release.who}"


def override_lines(panel: Panel) -> tuple[str, ...]:
    """What somebody let stand against the rest, to be read on every page of the panel."""
    return overrides(panel)


def plan_override_lines(plan: Plan) -> tuple[str, ...]:
    """The same of every panel, each with the panel's name: for papers that are of all of them."""
    return tuple(f"{p.title}: {line}" for p in plan.panels for line in override_lines(p))


def proof_words(panel: Panel) -> str:
    """What stands behind the sizes of a released panel, in one line."""
    kinds = [size.proof for size in panel.sizes]
    if "override" in kinds:
        count = kinds.count("override")
        sizes = "one size" if count == 1 else f"{count} sizes"
        return f"{sizes} by override, every other one taped and proved"
    if "taped twice" in kinds:
        return "every size this panel needs is taped and checked, or taped twice"
    return "every size this panel needs is taped and checked"


def look_lines(panel: Panel) -> tuple[str, ...]:
    """What nothing checks: who looked at it, or that a second person must."""
    if panel.release is not None and panel.release.looked:
        return panel.release.looked
    things = ["hold-down", "agreed top"]
    if panel.hand != "none":
        things.append("hand")
    if any(hole.valve_datum for hole in panel.cutouts):
        things.append("face to valve")
    listed = ", ".join(things)
    return (f"nothing checks {listed}: let a second person look before the saw",)


def change_lines(panel: Panel) -> tuple[str, ...]:
    """What has changed since the panel's sheet was locked."""
    return () if panel.release is None else panel.release.changes
