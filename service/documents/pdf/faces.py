"""The faces that words are set in, and which of their letters no face has.

DejaVu Sans 2.37 has the letters of most names in Latin, Greek, Cyrillic, Hebrew and Arabic; Waree
those of Thai, WenQuanYi Micro Hei 0.2.0 those of Chinese, Japanese and Korean. Each stands here as
its authors made it, with its licence beside it. A face is read once a letter asks for it, and only
the letters that are used go into a file.
"""

from __future__ import annotations

import unicodedata
from functools import cache
from importlib.resources import files
from io import BytesIO
from itertools import groupby
from typing import Final

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from service.documents.pdf.letter_order import as_set

PLAIN: Final = "DejaVuSans"
BOLD: Final = "DejaVuSans-Bold"
_THAI: Final = {PLAIN: "Waree", BOLD: "Waree-Bold"}
_EAST_ASIAN: Final = "WenQuanYiMicroHei"
"""It has one weight, for what is bold as well."""
_MARKS: Final = ("Mn", "Mc", "Me")
_MOST_TOLD: Final = 5
BOXED_WORDS: Final = "print as empty boxes, for no typeface here has them"
BOXED_DO: Final = "write what has them in other letters as well"

Piece = tuple[str, str]
"""A face, and words that are set in it."""


def register_fonts() -> None:
    """Make the two faces known that every page has."""
    for name in (PLAIN, BOLD):
        _letters_of(name)


def pieces(words: str, font: str) -> list[Piece]:
    """The words from left to right as they are set, each part in the first face that has it.

    Parameters
    ----------
    font
        `PLAIN` or `BOLD`; what no face has stays in it, an empty box.
    """
    letters = as_set(words)
    if letters.isascii():
        return [(font, letters)] if letters else []
    faces: list[str] = []
    for letter in letters:
        before = faces[-1] if faces else font
        # A mark belongs on the letter before it.
        clings = unicodedata.category(letter) in _MARKS and ord(letter) in _letters_of(before)
        faces.append(before if clings else _face_of(letter, font) or font)
    parts = groupby(zip(faces, letters, strict=True), key=lambda pair: pair[0])
    return [(face, "".join(letter for _, letter in part)) for face, part in parts]


def boxed_letters(text: str) -> str:
    """The letters of a text that no face has, so that they print as empty boxes, with their codes:
    `क (U+0915), ख (U+0916)`; empty where every letter has one."""
    letters = {letter for letter in as_set(text) if not letter.isascii() and letter.isprintable()}
    boxed = sorted(letter for letter in letters if _face_of(letter, PLAIN) is None)
    told = ", ".join(f"{letter} (U+{ord(letter):04X})" for letter in boxed[:_MOST_TOLD])
    return f"{told} and {len(boxed) - _MOST_TOLD} more" if len(boxed) > _MOST_TOLD else told


def face_with(text: str) -> bytes:
    """The file of the first face that has all letters of a text, for what is set in one face; where
    none has all, of the plain one."""
    letters = {ord(letter) for letter in as_set(text) if letter.isprintable()}
    faces = (PLAIN, _THAI[PLAIN], _EAST_ASIAN)
    return _file_of(next((face for face in faces if letters <= _letters_of(face)), PLAIN))


def _face_of(letter: str, font: str) -> str | None:
    for face in dict.fromkeys((font, PLAIN, _THAI[font], _EAST_ASIAN)):
        if ord(letter) in _letters_of(face):
            return face
    return None


@cache
def _letters_of(face: str) -> frozenset[int]:
    """Codes of the letters of a face, which is made known to the page's library."""
    font = TTFont(face, BytesIO(_file_of(face)))
    pdfmetrics.registerFont(font)
    return frozenset(font.face.charToGlyph)


def _file_of(face: str) -> bytes:
    kind = "ttc" if face == _EAST_ASIAN else "ttf"
    return files("service.documents.pdf").joinpath("fonts", f"{face}.{kind}").read_bytes()
