"""Fixtures that every test can ask for, and the word about checks that did not run."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hypothesis import settings

from tests.support.outside import NOT_RUN, in_ci, outside_file

if TYPE_CHECKING:
    import pytest

__all__ = ["outside_file"]

# In CI the same examples each time, so that a failure there is met again at the desk, where new
# ones are tried. No deadline: two workers on two busy cores make any time look long.
settings.register_profile("ci", derandomize=True, deadline=None)
settings.register_profile("desk", deadline=None)
settings.load_profile("ci" if in_ci() else "desk")


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
