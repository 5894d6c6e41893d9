"""Errors of the file commands: one line, naming the place and what was expected there."""

from __future__ import annotations

from typing import Final

EXIT_WRITTEN: Final = 0
EXIT_BAD_INPUT: Final = 2
EXIT_REFUSED: Final = 3
EXIT_BROKEN: Final = 70
"""A fault of this program and not of its input (EX_SOFTWARE of sysexits.h)."""
EXIT_INTERRUPTED: Final = 130
"""What a shell reports for a command stopped from the keyboard."""


class FileError(Exception):
    """A file, or a value in one, that cannot be used.

    Parameters
    ----------
    source
        Name of the file, as the person gave it.
    field
        Path of the value inside it, such as ``photos[0].marks.left-low.at``; empty for the file.
    expected
        What was expected there, and where it helps, what stood there instead.
    """

    def __init__(self, source: str, field: str, expected: str) -> None:
        where = f"{source}: {field}" if field else source
        super().__init__(one_line(f"{where}: {expected}"))
        self.source = source
        self.field = field
        self.expected = expected


def one_line(text: str) -> str:
    """The text with every line break and control character written out."""
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in text)
