"""Release: which sizes a tape has proved, judged afresh from the measure reports.

A report's own word that its gate is open is never believed: each of its dimensions is judged
again, and one that has not passed shuts the gate of the whole report. What a report itself says
is blocking still counts, for it knows of clashes that no single dimension shows.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from service.panels.problem import PlanError
from service.panels.walls import Given

if TYPE_CHECKING:
    from collections.abc import Sequence

    from service.panels.practice import Practice

_OF_STATUS = {
    "photo only": "not taped",
    "tape only": "nothing checks its tape reading",
    "unsure": "unsure: take this reading again",
    "conflicts": "tape and photos conflict",
}


@dataclass(frozen=True)
class ReportSize:
    """One dimension of a measure report; absent figures are None, lengths mm."""

    name: str
    status: str
    checked: bool
    tape_mm: float | None
    best_mm: float | None
    best_u_mm: float | None
    expected_mm: float | None
    expected_u_mm: float | None
    photo_mm: float | None
    photo_u_mm: float | None
    en: float | None
    mdb_mm: float | None


@dataclass(frozen=True)
class Report:
    """One measure report of a wall, by its file's name, with what it says is blocking."""

    name: str
    sizes: tuple[ReportSize, ...]
    stated_blocking: tuple[tuple[str, str], ...] = ()


def why_blocked(size: ReportSize, shop: Practice) -> str:
    """Why this dimension may not be cut by; empty when it agrees and is checked."""
    if size.status != "agrees":
        return _OF_STATUS.get(size.status, f"status {size.status!r} is not known")
    if size.tape_mm is None or size.best_mm is None:
        return "said to agree, but there is no tape reading"
    if size.en is None or not abs(size.en) <= 1.0:
        return "said to agree, but its E_n is not within 1"
    if size.mdb_mm is None or not size.mdb_mm <= shop["release.least_slip"]:
        return "agrees with a check too vague to catch a slip"
    return "" if size.checked else "agrees, but is not marked as checked"


def blocking(report: Report, shop: Practice) -> tuple[tuple[str, str], ...]:
    """The dimensions that keep this report's gate shut, with the reason; empty when it is open."""
    if not report.sizes:
        return (("", "the report has no dimension"),)
    judged = ((size.name, why_blocked(size, shop)) for size in report.sizes)
    found = {name: why for name, why in judged if why}
    stated = {name: why for name, why in report.stated_blocking if name not in found}
    return (*found.items(), *stated.items())


def given(
    name: str,
    written_mm: float | None,
    dimension: str | None,
    reports: Sequence[Report],
    shop: Practice,
) -> Given:
    """One size of the plan, with what stands behind it.

    A size is proved by the dimension it names or, naming none, by every dimension whose tape value
    it equals; each must agree, be checked, and stand in a report whose gate is open.

    Parameters
    ----------
    name : str
        The size as messages call it.
    written_mm : float or None
        The value in the plan file; None takes the report's: best when it agrees, else the tape's,
        the expected or the photo's, as an estimate; in a conflict the tape's comes last.

    Raises
    ------
    PlanError
        Neither value nor dimension, an unknown dimension, or one without any value.
    """
    if dimension is not None:
        report, size = _find(name, dimension, reports)
        mm, u = _value(name, size) if written_mm is None else (written_mm, None)
        return _named(name, mm, u, report, size, shop)
    if written_mm is None:
        raise PlanError(name, "expected a value, or the name of a report's dimension")
    _check(name, written_mm)
    u_plain = shop["estimate.reading_u"]
    matches = [
        (report, size)
        for report in reports
        for size in report.sizes
        if size.tape_mm is not None and _same(size.tape_mm, written_mm, shop)
    ]
    if not matches:
        why = "a plain reading, in no measure report" if reports else "no measure report"
        return Given(name, written_mm, u_plain, f"{name}: {why}")
    for report, size in matches:
        why = _why(name, report, size, shop)
        if why:
            return Given(name, written_mm, u_plain, why)
    return Given(name, written_mm, matches[0][1].best_u_mm or u_plain, "")


def _find(name: str, dimension: str, reports: Sequence[Report]) -> tuple[Report, ReportSize]:
    found = [(r, s) for r in reports for s in r.sizes if s.name == dimension]
    if len(found) == 1:
        return found[0]
    if found:
        files = ", ".join(report.name for report, _ in found)
        raise PlanError(name, f"dimension {dimension!r} stands in more than one report: {files}")
    known = ", ".join(repr(s.name) for r in reports for s in r.sizes) or "none: no report"
    raise PlanError(name, f"dimension {dimension!r} is in no report; expected one of {known}")


def _named(
    name: str, mm: float, u: float | None, report: Report, size: ReportSize, shop: Practice
) -> Given:
    _check(name, mm)
    why = _why(name, report, size, shop)
    taped = size.tape_mm if size.tape_mm is not None else math.nan
    if not why and u is None and not _same(taped, mm, shop):
        why = f"{name}: differs from the tape reading of {size.name!r} by more than is allowed"
    return Given(name, mm, u or size.best_u_mm or shop["estimate.reading_u"], why)


def _why(name: str, report: Report, size: ReportSize, shop: Practice) -> str:
    own = why_blocked(size, shop)
    if own:
        return f"{name}: {own}"
    shut = blocking(report, shop)
    if shut:
        others = ", ".join(f"{other!r} {why}" for other, why in shut[:3])
        return f"{name}: the gate of {report.name} is shut by {others}"
    return ""


def _value(name: str, size: ReportSize) -> tuple[float, float | None]:
    """The best known value: a tape in conflict comes after what everything else expects."""
    tape = (size.tape_mm, None)
    others = ((size.expected_mm, size.expected_u_mm), (size.photo_mm, size.photo_u_mm))
    best = (size.best_mm, size.best_u_mm)
    order: tuple[tuple[float | None, float | None], ...] = (tape, *others, best)
    if size.status == "agrees":
        order = (best, *order)
    elif size.status == "conflicts":
        order = (*others, tape, best)
    for mm, u in order:
        if mm is not None:
            return abs(mm), u  # a size to a line carries its side as a sign
    raise PlanError(name, f"dimension {size.name!r} has no value in its report")


def _same(a: float, b: float, shop: Practice) -> bool:
    return abs(abs(a) - abs(b)) <= shop["limits.match"] + 1e-6


def _check(name: str, mm: float) -> None:
    if not math.isfinite(mm):
        raise PlanError(name, f"expected a finite length, not {mm}")
