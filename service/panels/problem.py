"""The one error of the panel calculator."""

from __future__ import annotations


class PlanError(ValueError):
    """An input that no panel can be planned from.

    Attributes
    ----------
    field : str
        The input at fault as it is spoken of: `back left 16`, `plumbing.valve.hole`,
        `stock.60 x 96.size`; a plan's file has a path for it.
    expected : str
        What was expected there, with the limit.
    """

    def __init__(self, field: str, expected: str) -> None:
        super().__init__(f"{field}: {expected}")
        self.field = field
        self.expected = expected
