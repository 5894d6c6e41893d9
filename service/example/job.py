"""The example job's files: photos, taps of three hands, readings, and the truth behind them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from service.errors import FileError
from service.files.loading import load_model
from service.files.shape import OutputModel
from service.files.wall import WallFile
from service.files.wall_parts import Reading

WALLS: Final = ("plumbing", "back", "far-end")
SEEDS: Final = (1, 2, 3)
PLAN_FILES: Final = ("plan.json", "practice.toml", "prices.csv")


class _TrueWall(OutputModel):
    dimensions: dict[str, float]


class PlantedSlip(OutputModel):
    """Where the slip was planted, and what the reading should have been."""

    wall: str
    dimension: str
    reading: str
    meant: str


class _Truth(OutputModel):
    """What this program needs of the truth behind the photos; there is more in the file."""

    walls: dict[str, _TrueWall]
    slip: PlantedSlip


class _Retape(OutputModel):
    wall: str
    reading: Reading


@dataclass(frozen=True)
class ExampleJob:
    """The example's folder, read and checked.

    Attributes
    ----------
    walls
        Wall files by (seed, wall): the same photos and readings, tapped by another hand.
    truth_mm
        True sizes by wall and dimension.
    retaped
        The honest reading that takes its place.
    """

    folder: Path
    walls: Mapping[tuple[int, str], WallFile]
    truth_mm: Mapping[str, Mapping[str, float]]
    slip: PlantedSlip
    retaped: Reading

    def path(self, seed: int, wall: str) -> Path:
        """Where a wall file lies."""
        return self.folder / f"seed-{seed}" / f"{wall}.json"


def load_example() -> ExampleJob:
    """The example as it lies in the checkout.

    Raises
    ------
    FileError
        If the checkout does not hold it.
    """
    folder = Path(__file__).resolve().parents[2] / "fixtures" / "example"
    if not folder.is_dir():
        raise FileError(
            "fixtures/example", "", "expected the example's folder; run this in a checkout"
        )
    truth = load_model(folder / "truth.json", _Truth)
    retape = load_model(folder / "retape.json", _Retape)
    return ExampleJob(
        folder=folder,
        walls={
            (seed, wall): load_model(folder / f"seed-{seed}" / f"{wall}.json", WallFile)
            for seed in SEEDS
            for wall in WALLS
        },
        truth_mm={wall: truth.walls[wall].dimensions for wall in WALLS},
        slip=truth.slip,
        retaped=retape.reading,
    )
