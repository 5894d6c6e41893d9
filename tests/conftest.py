"""Fixtures that every test can ask for, and the word about checks that did not run."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.support.outside import NOT_RUN, outside_file

if TYPE_CHECKING:
    import pytest

__all__ = ["outside_file"]


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Name each check that did not run for want of outside data."""
    skipped = [
        report
        for report in terminalreporter.stats.get("skipped", [])
        if NOT_RUN in str(report.longrepr)
    ]
    if not skipped:
        return
    terminalreporter.section(f"{NOT_RUN}: {len(skipped)} checks did NOT run", sep="!", red=True)
    for report in skipped:
        terminalreporter.line(report.nodeid)
