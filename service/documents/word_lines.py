"""Words broken into lines for a drawing, which knows no font."""

from __future__ import annotations

from service.documents.drawing import estimated_width


def word_lines(words: str, width_mm: float, text_mm: float, *, bold: bool = False) -> list[str]:
    """Lines no wider than this, in the drawing's millimetres; a word too long stays whole."""
    lines: list[str] = []
    for word in words.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and estimated_width(longer, text_mm, bold=bold) <= width_mm:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines
