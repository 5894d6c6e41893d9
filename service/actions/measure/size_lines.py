"""What `tapeproof measure` says of a report that went to a file, line by line."""

from __future__ import annotations

from collections.abc import Iterator

from service.files.report import Report, ReportDimension
from service.lengths import inches_text


def size_lines(report: Report) -> Iterator[str]:
    """Sizes in the trade's fractions, what keeps the gate shut, and what would help."""
    yield from map(_size_line, report.dimensions)
    yield f"Release gate {'open' if report.gate.open else 'shut: not for cutting'}"
    yield from (f"  {row.dimension}: {row.why}" for row in report.gate.blocking)
    for photo in report.photos:
        yield from (f"{photo.file}: {item.text}" for item in photo.advice)
    yield from (item.text for item in report.advice)


def _size_line(size: ReportDimension) -> str:
    best = "" if size.best_mm is None else inches_text(size.best_mm, mark='"')
    spread = "" if size.best_u_mm is None else f"± {inches_text(2 * size.best_u_mm, 16, 'up')}"
    return f"{size.name:<24.24} {size.status:<11} {best:>12} {spread}"
