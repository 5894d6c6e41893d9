"""What the example prints: few words, few figures, nothing that needs statistics."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from rich.table import Table

from service.lengths import inches_text

if TYPE_CHECKING:
    from rich.console import Console

    from service.example.job import ExampleJob
    from service.example.scores import Score
    from service.files.report import Report
    from service.panels.model import Panel, Plan


def print_scores(console: Console, scores: Mapping[int, Score]) -> None:
    """One line for each person tapping."""
    table = Table(title="sizes of 1 m and more, all walls; errors in mm", title_justify="left")
    for head in (
        "tapped by",
        "sizes",
        "photo alone: median error",
        "stated 95 % within ±",
        "intervals that hold",
        "photo + other tapes: median error",
    ):
        table.add_column(head, justify="right")
    for seed, found in scores.items():
        table.add_row(
            f"person {seed}",
            str(found.long_sizes),
            f"{found.photo_mm:.2f}",
            f"{found.half_width_mm:.1f}",
            f"{found.held_long:.0%}",
            f"{found.expected_mm:.2f}",
        )
    console.print(table)


def print_sizes(
    console: Console, reports: Mapping[str, Report], truth_mm: Mapping[str, Mapping[str, float]]
) -> None:
    """Every size: photo with its interval, tape, verdict, and the truth beside them."""
    for wall, report in reports.items():
        table = Table(title=f"{wall} wall", title_justify="left")
        table.add_column("size", no_wrap=True)
        for head in ("photo, mm", "±", "tape, in", "tape, mm", "truth, mm"):
            table.add_column(head, justify="right")
        table.add_column("verdict")
        for size in report.dimensions:
            low, high = size.photo_interval95_mm or (0.0, 0.0)
            table.add_row(
                size.name,
                "-" if size.photo_mm is None else f"{size.photo_mm:.1f}",
                "-" if size.photo_mm is None else f"{(high - low) / 2:.1f}",
                "-" if size.tape_mm is None else inches_text(size.tape_mm, mark=""),
                "-" if size.tape_mm is None else f"{size.tape_mm:.1f}",
                f"{truth_mm[wall][size.name]:.1f}",
                size.status if size.checked or size.tape_mm is None else f"{size.status}, weakly",
                style="bold reverse" if size.status == "conflicts" else None,
            )
        console.print(table)


def print_slip(console: Console, job: ExampleJob, reports: Mapping[str, Report]) -> None:
    """What is said of the planted slip."""
    slip = job.slip
    size = next(d for d in reports[slip.wall].dimensions if d.name == slip.dimension)
    if size.tape_mm is None or size.expected_mm is None:
        return
    console.print(
        f"{slip.wall} wall, {slip.dimension}: taped {inches_text(size.tape_mm)}, "
        f"everything else says {inches_text(size.expected_mm)}."
    )
    if size.suspect is not None:
        console.print(f"  likeliest slip: {size.suspect.kind}. {size.suspect.text}")


def print_gates(console: Console, reports: Mapping[str, Report]) -> None:
    """Which walls may be cut, and what keeps the others."""
    for wall, report in reports.items():
        word = "open" if report.gate.open else "SHUT, not for cutting"
        console.print(f"gate, {wall} wall: {word}")
        for row in report.gate.blocking:
            console.print(f"    {row.dimension}: {row.why}")


def print_panels(console: Console, first: Plan, second: Plan) -> None:
    """The panels before and after the re-taping."""
    table = Table(title="panels", title_justify="left")
    for head in ("panel", "box, in", "cut from", "first taped", "taped again"):
        table.add_column(head, no_wrap=head == "panel")
    for old, new in zip(first.panels, second.panels, strict=True):
        table.add_row(
            new.title,
            f"{new.box.width.text} x {new.box.height.text}",
            "-" if new.sheet is None else new.sheet.name,
            _released(old),
            _released(new),
        )
    console.print(table)


def _released(panel: Panel) -> str:
    return "released" if panel.released else "ESTIMATE"
