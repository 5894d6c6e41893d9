"""Whether what the photos expect is kept back until a reading is typed."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import Depends, Query

_Asked = Annotated[
    Literal["shown", "hidden"],
    Query(
        description="hidden: nothing of a size that has no reading yet, so that nobody writes what "
        "is expected."
    ),
]


def _hidden(expectation: _Asked = "shown") -> bool:
    return expectation == "hidden"


HiddenDep = Annotated[bool, Depends(_hidden)]
