"""What runs tasks must do, whatever stands behind it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Protocol


@dataclass(frozen=True)
class Outcome:
    """What a limited process gave back: ``found``, or the reason why it was ended."""

    found: Mapping[str, Any] | None
    ended: str = ""


class PhotoWork(Protocol):
    """Looks at a photo where a photo that does harm can do none."""

    def look(self, photo: Path, pictures: Path) -> Outcome:
        """Look at a photo; pictures of it are written to ``pictures`` where it can be used."""
        ...

    def close(self) -> None:
        """End the process."""
        ...


class PhotoQuestions(Protocol):
    """Answers questions about photos that were looked at, where a photo can do no harm."""

    def ask(self, photo: Path, question: Mapping[str, Any]) -> Outcome:
        """Ask about one photo; several threads may."""
        ...

    def close(self) -> None:
        """End the process."""
        ...


class Jobs(Protocol):
    """Runs the tasks that the store holds, each until it is done."""

    def start(self) -> None:
        """Begin; tasks that an ended worker held are done anew."""
        ...

    def wake(self) -> None:
        """Say that there may be a task."""
        ...

    def stop(self) -> None:
        """End after the task at hand, or give it back."""
        ...
