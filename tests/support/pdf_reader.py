"""What a PDF says, page by page, read by a library that wrote none of it."""

from __future__ import annotations

from io import BytesIO

from pypdf import PdfReader


def page_texts(data: bytes) -> list[str]:
    """The text of every page, line by line."""
    return [page.extract_text() for page in PdfReader(BytesIO(data)).pages]


def page_words(data: bytes) -> list[str]:
    """The words of every page, one space apart."""
    return [" ".join(text.split()) for text in page_texts(data)]


def words_of(data: bytes) -> str:
    """All words of a document, one space apart."""
    return " ".join(" ".join(page_texts(data)).split())
