"""Plan the panels of one alcove: PLAN.json and its reports in, panels.json and drawings out."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import date
from importlib.resources import files
from typing import TYPE_CHECKING, get_args

from service.documents.order import order_csv
from service.documents.panel_files import panel_dxf, panel_svg
from service.documents.pdf.cutting_sheets import cutting_sheets_pdf
from service.documents.pdf.estimate import estimate_pdf
from service.documents.wording import DocumentMeta, Paper
from service.errors import FileError
from service.files.loading import load_model
from service.files.panels_values import panels_file
from service.files.plan import PlanFile
from service.files.plan_values import alcove_values, report_values
from service.files.price_book import read_price_book
from service.files.report import Report as ReportFile
from service.files.writing import json_text, write_whole
from service.panels.model import WallName
from service.panels.plan import plan_panels
from service.panels.practice import read_practice
from service.panels.problem import PlanError

if TYPE_CHECKING:
    from pathlib import Path

    from service.files.plan_parts import PlanWall
    from service.panels.model import Plan
    from service.panels.practice import Practice
    from service.panels.price import PriceBook
    from service.panels.release import Report

_LARGEST_TEXT = 4 * 1024 * 1024


@dataclass(frozen=True)
class PlannedFiles:
    """The plan, and the files that were written."""

    plan: Plan
    written: tuple[Path, ...]


def plan_file(
    path: Path, out: Path, *, printed_on: str = "", paper: Paper = "letter", revision: str = "A"
) -> PlannedFiles:
    """Plan PLAN.json and write every document of the plan into a folder.

    Everything is made before anything is written, and each file is replaced whole, so an error
    leaves what was there.

    Parameters
    ----------
    path
        PLAN.json; paths inside it are relative to its folder.
    out
        Folder to write to, made if it is missing.
    printed_on
        The date as printed; default: today.

    Raises
    ------
    FileError
        A file, or a value in one, that cannot be used.
    """
    plan = plan_only(path)
    panels_text = json_text(panels_file(plan))
    meta = DocumentMeta(
        revision=revision,
        date=printed_on or date.today().isoformat(),
        paper=paper,
        fingerprint=hashlib.sha256(panels_text.encode()).hexdigest()[:12],
    )
    made = {
        "panels.json": panels_text.encode(),
        "cutting-sheets.pdf": cutting_sheets_pdf(plan, meta),
        "order.csv": order_csv(plan),
        "estimate.pdf": estimate_pdf(plan, meta),
    }
    for panel in plan.panels:
        name = panel.wall.replace(" ", "-")
        made[f"{name}.dxf"] = panel_dxf(panel)
        made[f"{name}.svg"] = panel_svg(panel)
    return PlannedFiles(plan, _write(out, made))


def plan_only(path: Path) -> Plan:
    """Plan PLAN.json without writing anything; errors as `plan_file`."""
    file = load_model(path, PlanFile)
    folder = path.parent
    shop, practice_name = _practice(folder, file.practice)
    book = _prices(folder, file.prices)
    reports: dict[str, tuple[Report, ...]] = {
        wall.wall: _reports(folder, wall) for wall in file.walls
    }
    try:
        alcove = alcove_values(file, reports, shop)
        return plan_panels(alcove, shop, book, practice_name)
    except PlanError as error:
        raise FileError(str(path), error.field, error.expected) from error


def _practice(folder: Path, name: str | None) -> tuple[Practice, str]:
    shipped = files("service.panels").joinpath("practice.toml").read_text(encoding="utf-8")
    if name is None:
        shop = read_practice(shipped)
        return shop, f"shipped practice, version {shop.version}"
    own = _text(folder / name)
    try:
        shop = read_practice(shipped, own)
    except PlanError as error:
        raise FileError(str(folder / name), error.field, error.expected) from error
    return shop, f"{name}, version {shop.version}"


def _prices(folder: Path, name: str | None) -> PriceBook | None:
    return None if name is None else read_price_book(_text(folder / name), str(folder / name))


def _reports(folder: Path, wall: PlanWall) -> tuple[Report, ...]:
    found = []
    for name in wall.reports:
        report = load_model(folder / name, ReportFile)
        theirs = (report.wall or "").replace("-", " ")
        if theirs in get_args(WallName) and theirs != wall.wall:
            expected = f"expected a report of the {wall.wall} wall, this one is of {theirs}"
            raise FileError(str(folder / name), "wall", expected)
        found.append(report_values(name, report))
    return tuple(found)


def _text(path: Path) -> str:
    try:
        with path.open("rb") as stream:
            data = stream.read(_LARGEST_TEXT + 1)
    except OSError as error:
        raise FileError(str(path), "", f"cannot be read: {error.strerror}") from None
    if len(data) > _LARGEST_TEXT:
        raise FileError(str(path), "", f"expected at most {_LARGEST_TEXT // 2**20} MiB")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise FileError(str(path), "", f"expected UTF-8 text; byte {error.start} is not") from None


def _write(out: Path, made: dict[str, bytes]) -> tuple[Path, ...]:
    try:
        out.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise FileError(str(out), "", f"cannot be made: {error.strerror}") from None
    for name, data in made.items():
        write_whole(out / name, data)
    return tuple(out / name for name in made)
