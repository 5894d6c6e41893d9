"""A length said back as it was understood, so that a slip of the pen is seen at once."""

from __future__ import annotations

from service.lengths import Length, inches_text, mm_text


def length_echo(length: Length) -> str:
    """``59 7/8" = 1520.8 mm``; as it was written first, then in the other measure."""
    if length.unit in ("in", "ft-in"):
        return f"{length.echo} = {mm_text(length.mm)}"
    return f"{length.echo} = {inches_text(length.mm, 64)} in"
