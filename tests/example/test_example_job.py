"""Photos of the example alcove to sizes, verdicts, gates and cutting sheets.

The truth comes with the photos: a physically based renderer that shares no code with the
package. Goals are stated beside each claim.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from io import StringIO
from pathlib import Path

import pytest
from rich.console import Console

from service.actions.measure import alcove_reports, look_at_photos, looked_sights
from service.example import run_example
from service.example.job import SEEDS, WALLS, ExampleJob, load_example
from service.example.scores import Score, score
from service.files.report import Report, ReportDimension
from service.files.wall import WallFile
from tests.support.pdf_reader import page_texts
from vision.measure_wall import Sight

pytestmark = pytest.mark.example

WARNING = "NOT FOR CUTTING"


@dataclass(frozen=True)
class Measured:
    """The job, what its photos show, and the reports of each person's taps."""

    job: ExampleJob
    sights: Mapping[str, tuple[Sight, ...]]
    reports: Mapping[int, Mapping[str, Report]]

    def retaped(self, seed: int) -> Report:
        """The back wall with the slip taken again by another person."""
        slipped = self.job.slip.wall
        walls = {wall: self.job.walls[seed, wall] for wall in WALLS}
        readings = (*walls[slipped].readings, self.job.retaped)
        walls[slipped] = walls[slipped].model_copy(update={"readings": readings})
        return _judged(walls, self.sights)[slipped]

    def slipped(self, seed: int) -> ReportDimension:
        """The dimension with the planted slip."""
        slip = self.job.slip
        sizes = self.reports[seed][slip.wall].dimensions
        return next(size for size in sizes if size.name == slip.dimension)


@pytest.fixture(scope="module")
def measured() -> Measured:
    """Every photo looked at once, every person's taps measured."""
    job = load_example()
    sights = {wall: look_at_photos(job.path(1, wall), job.walls[1, wall]) for wall in WALLS}
    reports = {
        seed: _judged({wall: job.walls[seed, wall] for wall in WALLS}, sights) for seed in SEEDS
    }
    return Measured(job, sights, reports)


@pytest.fixture(params=SEEDS)
def seed(request: pytest.FixtureRequest) -> int:
    """One person's taps."""
    number: int = request.param
    return number


@pytest.fixture
def found(measured: Measured, seed: int) -> Score:
    """That person's score."""
    return score(measured.reports[seed], measured.job.truth_mm)


def test_parts_of_photo_sizes_are_their_uncertainty(measured: Measured) -> None:
    """The squares of a size's parts add up to its variance by photo; sizes share parts.

    Two offsets taken in the same photos are off by the same scale, so that their errors are
    correlated by more than a fifth somewhere on every wall.
    """
    for report in measured.reports[1].values():
        by_photo = {d.name: d for d in report.dimensions if d.photo_u_mm is not None}
        assert set(report.photo_parts) == set(by_photo)
        for name, parts in report.photo_parts.items():
            stated = by_photo[name].photo_u_mm
            assert stated is not None
            assert sum(part**2 for part in parts) == pytest.approx(stated**2, rel=0.02)
        rows = list(report.photo_parts.values())
        correlations = [
            sum(x * y for x, y in zip(a, b, strict=True))
            / (sum(x * x for x in a) * sum(y * y for y in b)) ** 0.5
            for k, a in enumerate(rows)
            for b in rows[k + 1 :]
        ]
        assert max(abs(r) for r in correlations) > 0.2


def test_every_photo_shows_a_card_that_fits(measured: Measured) -> None:
    """Residuals of the rendered cards' corners stay below 0.1 px rms in every photo."""
    for report in measured.reports[1].values():
        for photo in report.photos:
            assert photo.cards
            assert all(card.rms_px is not None and card.rms_px < 0.1 for card in photo.cards)


def test_no_photo_shows_the_whole_back_wall(measured: Measured) -> None:
    """The widest sizes need marks of different photos."""
    wall = measured.job.walls[1, "back"]
    names = {d.name: set(d.points) for d in wall.dimensions}
    needed = names["diagonal left-low"] | names["diagonal right-low"] | names["width 0"]
    assert not any(needed <= set(photo.marks) for photo in wall.photos)


def test_photo_sizes_of_a_metre_and_more_are_within_3_mm(found: Score) -> None:
    """Median error under 3 mm over at least 20 sizes, no tape used; and not suspiciously none."""
    assert found.long_sizes >= 20
    assert 0.05 < found.photo_mm < 3.0


def test_stated_intervals_hold_and_are_narrow(found: Score) -> None:
    """At least 90 % hold the truth, and the median interval is within ± 8 mm."""
    assert found.held >= 0.90
    assert found.held_long >= 0.90
    assert 0.5 < found.half_width_mm <= 8.0


def test_other_tapes_bring_the_expectation_within_a_millimetre_and_a_half(found: Score) -> None:
    """Median error of the expected sizes under 1.5 mm, the slip's wrong reading among the tapes."""
    assert found.expected_mm < 1.5


def test_the_planted_slip_conflicts_and_its_kind_is_named_first(
    measured: Measured, seed: int
) -> None:
    """An inch short is named an inch, with what was meant."""
    size = measured.slipped(seed)

    assert size.status == "conflicts"
    assert size.suspect is not None
    assert size.suspect.reading == measured.job.slip.reading
    assert size.suspect.kind == "inch"
    assert size.suspect.meant == measured.job.slip.meant


def test_no_honest_reading_conflicts(measured: Measured, seed: int) -> None:
    """Only the slip does."""
    conflicts = [
        reading.id
        for report in measured.reports[seed].values()
        for reading in report.readings
        if reading.status == "conflicts"
    ]
    assert conflicts == [measured.job.slip.reading]


def test_the_gate_is_shut_by_the_slip_alone_and_opens_when_it_is_taped_again(
    measured: Measured, seed: int
) -> None:
    """The other walls are open from the start; the back wall opens with the second reading."""
    gates = {wall: report.gate for wall, report in measured.reports[seed].items()}

    assert not gates["back"].open
    assert [row.dimension for row in gates["back"].blocking] == [measured.job.slip.dimension]
    assert gates["plumbing"].open
    assert gates["far-end"].open
    assert measured.retaped(seed).gate.open


def test_cutting_sheets_lose_their_warning_only_when_the_slip_is_taped_again(
    tmp_path: Path,
) -> None:
    """The run's first back sheet says it is an estimate on every page; its second does not."""
    said = StringIO()

    code = run_example(tmp_path, Console(file=said, width=120))

    assert code == 0
    first = _pages(tmp_path / "1-as-first-taped" / "sheets" / "cutting-sheets.pdf")
    second = _pages(tmp_path / "2-taped-again" / "sheets" / "cutting-sheets.pdf")
    back = [page for page in first if "back wall" in page.lower()]
    assert back
    assert all(WARNING in page for page in back)
    assert not any(WARNING in page for page in second)
    assert "did you burn an inch?" in said.getvalue()


def test_the_example_plans_from_walls_that_judge_each_other(tmp_path: Path) -> None:
    """Each of its reports names the two other walls, all of one step have one stamp, and neither
    plan warns that walls were judged apart."""
    run_example(tmp_path, Console(file=StringIO()))

    stamps = {}
    for step in ("1-as-first-taped", "2-taped-again"):
        reports = {
            wall: json.loads((tmp_path / step / f"{wall}-report.json").read_text())["judged_with"]
            for wall in WALLS
        }
        assert {wall: set(found["walls"]) for wall, found in reports.items()} == {
            wall: set(WALLS) - {wall} for wall in WALLS
        }
        (stamps[step],) = {found["stamp"] for found in reports.values()}
        plan = json.loads((tmp_path / step / "sheets" / "panels.json").read_text())
        assert "judged-apart" not in {row["code"] for row in plan["warnings"]}
    assert len(set(stamps.values())) == 2


def _judged(
    walls: Mapping[str, WallFile], sights: Mapping[str, tuple[Sight, ...]]
) -> Mapping[str, Report]:
    """The reports of walls that judge each other."""
    return alcove_reports([looked_sights(file, sights[wall]) for wall, file in walls.items()])


def _pages(path: Path) -> list[str]:
    return page_texts(path.read_bytes())
