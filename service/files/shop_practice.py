"""The shop's practice: the shipped one, with a shop's own text over it."""

from __future__ import annotations

from functools import lru_cache
from importlib.resources import files
from typing import TYPE_CHECKING

from service.errors import FileError
from service.files.loading import named_by, read_text
from service.panels.practice import read_practice
from service.panels.problem import PlanError

if TYPE_CHECKING:
    from pathlib import Path

    from service.panels.practice import Practice


def shipped_text() -> str:
    """The practice that comes with the program."""
    return files("service.panels").joinpath("practice.toml").read_text(encoding="utf-8")


def practice_of(own: str | None, name: str, source: str) -> tuple[Practice, str]:
    """The shop's practice, and what it is called in the documents.

    Raises
    ------
    FileError
        If the shop's ``own`` text will not do.
    """
    if own is None:
        shop = read_practice(shipped_text())
        return shop, f"shipped practice, version {shop.version}"
    try:
        shop = read_practice(shipped_text(), own)
    except PlanError as error:
        raise FileError(source, error.field, error.expected) from error
    return shop, f"{name}, version {shop.version}"


def practice_beside(plan: Path, name: str | None) -> tuple[Practice, str]:
    """The practice that a plan file names, from the plan's folder; errors as `practice_of`."""
    if name is None:
        return practice_of(None, "", "")
    with named_by(str(plan), "practice"):
        text = read_text(plan.parent / name, "a practice file")
    return practice_of(text, name, str(plan.parent / name))


def least_slip_mm(shop: Practice) -> float:
    """The slip that a check must be able to catch, mm."""
    return shop["release.least_slip"]


@lru_cache(maxsize=16)
def least_slip_of(own: str | None) -> float:
    """The same by a shop's text; the shipped one's where there is none or it will not do: then
    there is no plan either, and what is wrong with the text stands in its place."""
    try:
        return least_slip_mm(practice_of(own, "", "")[0])
    except FileError:
        return least_slip_mm(practice_of(None, "", "")[0])
