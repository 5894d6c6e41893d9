"""The typed refusal: an expected "this will not do", with what to do instead."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

_NOTHING: Final[Mapping[str, object]] = MappingProxyType({})


class Refusal(Exception):
    """Input that is well formed but cannot be measured.

    Parameters
    ----------
    code
        Stable, documented kebab-case code.
    text
        One sentence: what was found.
    do
        One sentence: what the person should do instead.
    evidence
        Figures behind the decision, for the details fold.
    """

    def __init__(
        self, code: str, text: str, do: str, evidence: Mapping[str, object] = _NOTHING
    ) -> None:
        super().__init__(f"{text} {do}")
        self.code = code
        self.text = text
        self.do = do
        self.evidence = evidence
