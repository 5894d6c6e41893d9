"""From a plan file's values to the plan, wherever its texts came from."""

from __future__ import annotations

from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import TYPE_CHECKING

from service.documents.pdf.faces import BOXED_DO, BOXED_WORDS, boxed_letters
from service.files.panels_values import panels_file
from service.files.plan_values import alcove_values
from service.panels.model import Caution
from service.panels.plan import plan_panels

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from service.files.plan import PlanFile
    from service.measuring.release.facts import Override
    from service.measuring.release.judged import JudgedWall
    from service.panels.model import Plan
    from service.panels.practice import Practice
    from service.panels.price import PriceBook
    from service.panels.walls import Alcove


@dataclass(frozen=True)
class Planned:
    """A plan as its sizes are proved, and what it was made from."""

    plan: Plan
    alcove: Alcove
    shop: Practice


def planned(
    file: PlanFile,
    reports: Mapping[str, Sequence[JudgedWall]],
    practice: tuple[Practice, str],
    book: PriceBook | None,
    overrides: Mapping[str, Sequence[Override]] = MappingProxyType({}),
) -> Planned:
    """The plan, with what it was made from.

    Raises
    ------
    PlanError
        Naming what the plan fails by, as the trade calls it.
    """
    shop, practice_name = practice
    alcove = alcove_values(file, reports, shop, overrides)
    plan = plan_panels(alcove, shop, book, practice_name)
    return Planned(_with_boxed(plan), alcove, shop)


def _with_boxed(plan: Plan) -> Plan:
    """The plan, with a caution where its papers show a name in empty boxes."""
    boxed = boxed_letters(panels_file(plan).model_dump_json())
    if not boxed:
        return plan
    caution = Caution("no-letter", f"{boxed} {BOXED_WORDS}", None, BOXED_DO)
    return replace(plan, warnings=(*plan.warnings, caution))
