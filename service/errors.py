"""Errors of the commands and of the service: the place, and what was expected there."""

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


class ServiceError(Exception):
    """A request that cannot be done as it stands; answered in one shape (RFC 9457).

    Parameters
    ----------
    code
        Stable, documented kebab-case code; the edge knows its HTTP status.
    detail
        One sentence: what was found, and what was expected.
    do
        What the person should do instead; empty where the detail says it.
    field
        Path of the value at fault.
    current
        The document as it stands now, where the request was made on an older one.
    """

    def __init__(
        self, code: str, detail: str, *, do: str = "", field: str = "", current: object = None
    ) -> None:
        super().__init__(detail)
        self.code = code
        self.detail = detail
        self.do = do
        self.field = field
        self.current = current


def one_line(text: str) -> str:
    """The text with every line break and control character written out."""
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in text)
