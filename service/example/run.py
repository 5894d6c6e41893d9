"""From the example's photos to its cutting sheets, told step by step."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from time import perf_counter
from typing import TYPE_CHECKING

from service.actions.measure import alcove_reports, look_at_photos, looked_sights
from service.actions.plan import plan_file
from service.errors import EXIT_WRITTEN
from service.example.job import PLAN_FILES, SEEDS, WALLS, ExampleJob, load_example
from service.example.scores import score
from service.example.tables import print_gates, print_panels, print_scores, print_sizes, print_slip
from service.files.loading import read_text
from service.files.report import Report
from service.files.wall import WallFile
from service.files.writing import json_text, make_folder, write_folder

if TYPE_CHECKING:
    from rich.console import Console

    from service.panels.model import Plan

_SEED = SEEDS[0]


def run_example(out: Path, console: Console) -> int:
    """Run the example and write its reports and documents below ``out``; the exit code.

    Raises
    ------
    FileError
        If a file of the example is missing or ``out`` cannot be written.
    """
    started = perf_counter()
    make_folder(out)
    job = load_example()
    console.rule("Photos")
    sights = {wall: look_at_photos(job.path(_SEED, wall), job.walls[_SEED, wall]) for wall in WALLS}
    cards = sum(len(sight.cards) for of_wall in sights.values() for sight in of_wall)
    photos = sum(len(of_wall) for of_wall in sights.values())
    console.print(
        f"{photos} photos looked at in {perf_counter() - started:.1f} s; cards seen {cards} times"
    )

    reports = {
        seed: alcove_reports([looked_sights(job.walls[seed, w], sights[w]) for w in WALLS])
        for seed in SEEDS
    }
    console.rule("Sizes against the truth, three people tapping")
    print_scores(console, {seed: score(reports[seed], job.truth_mm) for seed in SEEDS})
    console.rule("First person's sizes, as taped the first time")
    print_sizes(console, reports[_SEED], job.truth_mm)
    print_slip(console, job, reports[_SEED])
    print_gates(console, reports[_SEED])
    first = _plan(job, reports[_SEED], out / "1-as-first-taped")

    console.rule("The one size taped again by another person")
    walls = {wall: job.walls[_SEED, wall] for wall in WALLS}
    walls[job.slip.wall] = _with_retaped(walls[job.slip.wall], job)
    retaped = alcove_reports([looked_sights(walls[wall], sights[wall]) for wall in WALLS])
    print_gates(console, retaped)
    second = _plan(job, retaped, out / "2-taped-again")
    print_panels(console, first, second)
    console.print(f"Done in {perf_counter() - started:.1f} s. Look at: {out}", soft_wrap=True)
    return EXIT_WRITTEN


def _with_retaped(wall: WallFile, job: ExampleJob) -> WallFile:
    """The wall with one more reading; the mistaken one stays on record, replaced."""
    return wall.model_copy(update={"readings": (*wall.readings, job.retaped)})


def _plan(job: ExampleJob, reports: Mapping[str, Report], out: Path) -> Plan:
    """Write the reports and the plan's documents."""
    made = {f"{wall}-report.json": json_text(report).encode() for wall, report in reports.items()}
    made |= {name: read_text(job.folder / name).encode() for name in PLAN_FILES}
    write_folder(out, made)
    return plan_file(out / "plan.json", out / "sheets").plan
