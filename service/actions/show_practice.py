"""A shop's practice as a list of allowances, and one of them changed in its text."""

from __future__ import annotations

from service.errors import ServiceError
from service.files.api.answers import AllowanceModel, PracticeModel
from service.files.api.asked import PracticeBody
from service.files.shop_practice import shipped_text
from service.lengths import inches_text
from service.panels.practice import Practice, read_practice
from service.panels.practice_text import with_allowance, without_allowance
from service.panels.problem import PlanError


def show_practice(body: PracticeBody) -> PracticeModel:
    """Every allowance as the text leaves it, after one change if one is asked for.

    Raises
    ------
    ServiceError
        ``invalid``, naming the allowance, its line and its range.
    """
    shipped = read_practice(shipped_text())
    try:
        text = _changed(body, shipped)
        shop = read_practice(shipped_text(), text if text.strip() else None)
    except PlanError as error:
        raise ServiceError("invalid", str(error), field=f"practice.{_key(body)}") from None
    return PracticeModel(
        practice=text if text.strip() else None,
        allowances=tuple(
            AllowanceModel(
                key=one.key,
                value=one.written,
                unit=one.unit,
                low=_bound(one.low, one.unit),
                high=_bound(one.high, one.unit),
                range=f"{_printed(one.low, one.unit)} to {_printed(one.high, one.unit)} {one.unit}",
                source=one.source,
                own=one.own,
                shipped=shipped.allowances[one.key].written,
            )
            for one in shop.allowances.values()
        ),
    )


def _changed(body: PracticeBody, shipped: Practice) -> str:
    text = body.practice or ""
    change = body.change
    if change is None:
        return text
    if change.key not in shipped.allowances:
        raise PlanError(change.key, "expected one of the allowances that are listed")
    if change.value is None:
        return without_allowance(text, change.key)
    return with_allowance(text, shipped.allowances[change.key], change.value, change.source)


def _bound(value: float, unit: str) -> float:
    return round(value / 25.4, 6) if unit == "in" else value


def _printed(value: float, unit: str) -> str:
    return inches_text(value, 64) if unit == "in" else f"{value:g}"


def _key(body: PracticeBody) -> str:
    return "text" if body.change is None else body.change.key
