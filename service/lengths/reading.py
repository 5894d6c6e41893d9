"""A written length, read exactly or refused with the reason.

Own grammar, because the length libraries at hand misread what stands on a tape ('3 1/2 in' as
1.5 in, a bare 63 as feet). Nothing is guessed:

* ``59 7/8``, ``59-7/8"``, ``59⅞ in``, ``59.875 in``: inches;
* ``4' 11 7/8"``, ``4'-11 7/8"``, ``5 ft``, ``4 feet 11.875 inches``: whole feet, inches below 12;
* ``1521 mm``, ``152.1 cm``, ``1.521 m``.

A number without a unit is read in the bare unit of the file, else refused. Any comma is refused:
``1,521`` is one number to some and another to the rest. Feet are whole, for 4.11 ft is 4 ft 11 in
on half of the papers. Fractions are what a tape shows: proper, over 2, 4, 8, 16, 32 or 64.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, NamedTuple

from service.lengths.printing import MM_PER_INCH

LIMIT_MM: Final = 100_000
"""Nothing in a house is longer than 100 m; a longer figure is a slip of the unit."""

BARE_UNITS: Final = ("in", "mm", "cm", "m")

_LONGEST_TEXT: Final = 64
_DENOMINATORS: Final = (2, 4, 8, 16, 32, 64)
_MM_PER_UNIT: Final = {
    "in": MM_PER_INCH,
    "ft": MM_PER_INCH * 12,
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
}
_UNIT_OF_WORD: Final = {
    '"': "in",
    "in": "in",
    "inch": "in",
    "inches": "in",
    "'": "ft",
    "ft": "ft",
    "foot": "ft",
    "feet": "ft",
    "mm": "mm",
    "cm": "cm",
    "m": "m",
}
# By hand: compatibility normalisation would turn 3½ into 31⁄2. The spaces keep a fraction from
# running into the digits beside it.
_PLAIN: Final = str.maketrans(
    {
        **dict.fromkeys("′’‘ʹ´ʼ", "'"),
        **dict.fromkeys("″”“ʺ", '"'),
        **dict.fromkeys("‐‑–", "-"),
        **dict.fromkeys("\u00a0\u2007\u2009\u202f\t", " "),
        "⁄": "/",
        "½": " 1/2 ",
        "¼": " 1/4 ",
        "¾": " 3/4 ",
        "⅛": " 1/8 ",
        "⅜": " 3/8 ",
        "⅝": " 5/8 ",
        "⅞": " 7/8 ",
    }
)
_TOKEN: Final = re.compile(
    r""" *(?:(?P<decimal>[0-9]*\.[0-9]+)|(?P<whole>[0-9]+)|(?P<word>[A-Za-z]+\.?|['"])"""
    r"""|(?P<sign>[/-]))"""
)
_AN_EXAMPLE: Final = "a length such as 59 7/8 in, 4' 11 7/8\" or 1521 mm"


class LengthError(ValueError):
    """A text that is no length, or could be two.

    Attributes
    ----------
    found, expected
        The two halves of the message, each fit to be shown beside the field.
    """

    def __init__(self, text: str, found: str, expected: str) -> None:
        shown = text if len(text) <= _LONGEST_TEXT else text[:_LONGEST_TEXT] + "…"
        super().__init__(f"length {shown!r}: found {found}; expected {expected}")
        self.found = found
        self.expected = expected


@dataclass(frozen=True, slots=True)
class Length:
    """A length as it was written.

    Attributes
    ----------
    mm
        Exact millimetres.
    unit
        As written: ``in``, ``ft-in``, ``mm``, ``cm`` or ``m``.
    denominator
        Of the written fraction, not reduced; None where no fraction was written.
    echo
        The length as it was understood, to be shown beside what was typed.
    """

    mm: Fraction
    unit: str
    denominator: int | None
    echo: str

    @property
    def inches(self) -> Fraction:
        return self.mm / MM_PER_INCH


def parse_length(text: str, bare_unit: str | None = None) -> Length:
    """Read a length; see the head of this file for the notations.

    Parameters
    ----------
    text
        What was written, at most 64 characters.
    bare_unit
        Unit of a number that carries none (``in``, ``mm``, ``cm``, ``m``); None refuses it.

    Raises
    ------
    LengthError
        If the text is no length, or could be read in two ways.
    ValueError
        For another ``bare_unit``: a mistake of the caller, not of the text.

    Examples
    --------
    >>> parse_length('59-7/8"').mm
    Fraction(60833, 40)
    >>> parse_length("59⅞", bare_unit="in").echo
    '59 7/8"'
    """
    if bare_unit is not None and bare_unit not in BARE_UNITS:
        raise ValueError(f"bare unit {bare_unit!r}: expected one of {', '.join(BARE_UNITS)}")
    if len(text) > _LONGEST_TEXT:
        raise LengthError(text, f"{len(text)} characters", f"at most {_LONGEST_TEXT}")
    length = _Grammar(text, bare_unit).length()
    if length.mm > LIMIT_MM:
        raise LengthError(text, "more than 100 m", "a size inside a house")
    return length


def parse_station(text: str, bare_unit: str | None = None) -> Length:
    """A length with a sign: a place left of the plumb line or above the level line is negative."""
    stripped = text.strip()
    if not stripped.startswith(("-", "−")):
        return parse_length(text, bare_unit)
    size = parse_length(stripped[1:], bare_unit)
    return Length(-size.mm, size.unit, size.denominator, f"-{size.echo}")


class _Token(NamedTuple):
    kind: str
    text: str
    spaced: bool


class _Number(NamedTuple):
    value: Fraction
    denominator: int | None
    echo: str
    is_whole: bool


class _Grammar:
    """One pass, left to right, over the tokens of one text."""

    def __init__(self, text: str, bare_unit: str | None) -> None:
        self.text = text
        self.bare_unit = bare_unit
        self.tokens = _tokens(text)
        self.at = 0

    def length(self) -> Length:
        first = self._number()
        word = self._word()
        if word is None:
            self._end()
            return self._bare(first)
        if word == "ft":
            return self._feet_inches(first)
        self._end()
        return self._single(first, word)

    def _bare(self, number: _Number) -> Length:
        if self.bare_unit is None:
            raise self._refuse("no unit", "in, ft, mm, cm or m after the number")
        return self._single(number, self.bare_unit)

    def _single(self, number: _Number, unit: str) -> Length:
        if unit != "in" and number.denominator is not None:
            raise self._refuse(f"a fraction of {unit}", "fractions with inches, decimals with mm")
        echo = f'{number.echo}"' if unit == "in" else f"{number.echo} {unit}"
        return Length(number.value * _MM_PER_UNIT[unit], unit, number.denominator, echo)

    def _feet_inches(self, feet: _Number) -> Length:
        if not feet.is_whole:
            raise self._refuse(f"{feet.echo} feet", "whole feet, then inches: 4' 1 5/16\"")
        mm = feet.value * _MM_PER_UNIT["ft"]
        if self._peek() is None:
            return Length(mm, "ft-in", None, f"{feet.echo}' 0\"")
        if self._peek_text() == "-":
            self.at += 1
        inches = self._number()
        unit = self._word()
        if unit not in (None, "in"):
            raise self._refuse(f"{unit} after feet", "inches after feet")
        self._end()
        if inches.value >= 12:
            raise self._refuse(f"{inches.echo} inches after feet", "less than 12 inches after feet")
        shown = inches.echo if "/" not in inches.echo or " " in inches.echo else f"0 {inches.echo}"
        mm += inches.value * MM_PER_INCH
        return Length(mm, "ft-in", inches.denominator, f"{feet.echo}' {shown}\"")

    def _number(self) -> _Number:
        token = self._peek()
        if token is None:
            found = "nothing" if not self.tokens else "no number at the end"
            raise self._refuse(found, _AN_EXAMPLE)
        if token.kind == "decimal":
            self.at += 1
            value = Fraction(token.text)
            return _Number(value, None, _decimal_text(token.text), is_whole=False)
        if token.kind != "whole":
            found = "a minus sign" if token.text == "-" else f"{token.text!r} before any number"
            raise self._refuse(found, _AN_EXAMPLE)
        if self._peek_text(1) == "/":
            numerator, denominator = self._fraction()
            return self._mixed(0, numerator, denominator)
        self.at += 1
        whole = int(token.text)
        if self._fraction_follows():
            return self._mixed(whole, *self._fraction())
        return _Number(Fraction(whole), None, str(whole), is_whole=True)

    def _fraction_follows(self) -> bool:
        """Step over the dash of 59-7/8; 59 - 7/8 could be a subtraction."""
        token = self._peek()
        if token is None:
            return False
        if token.kind == "whole":
            return self._peek_text(1) == "/"
        if token.text != "-" or self._peek_text(2) != "/":
            return False
        following = self.tokens[self.at + 1]
        if token.spaced or (following.spaced and not _vulgar_after_dash(self.text)):
            raise self._refuse("spaces round the dash", "59 7/8 or 59-7/8")
        self.at += 1
        return True

    def _fraction(self) -> tuple[int, int]:
        numerator, slash, denominator = (self.tokens + _PADDING)[self.at : self.at + 3]
        if numerator.kind != "whole" or slash.text != "/" or denominator.kind != "whole":
            raise self._refuse("half a fraction", "a fraction such as 7/8")
        self.at += 3
        return int(numerator.text), int(denominator.text)

    def _mixed(self, whole: int, numerator: int, denominator: int) -> _Number:
        shown = f"{numerator}/{denominator}"
        if denominator == 0:
            raise self._refuse(f"the fraction {shown}", "a denominator that is not zero")
        if denominator not in _DENOMINATORS:
            raise self._refuse(f"the fraction {shown}", "halves, 4ths, 8ths, 16ths, 32nds or 64ths")
        if numerator >= denominator:
            raise self._refuse(f"the fraction {shown}", "a fraction smaller than one")
        echo = f"{whole} {shown}" if whole else shown
        return _Number(whole + Fraction(numerator, denominator), denominator, echo, is_whole=False)

    def _word(self) -> str | None:
        token = self._peek()
        if token is None or token.kind != "word":
            return None
        unit = _UNIT_OF_WORD.get(token.text.lower().removesuffix("."))
        if unit is None:
            raise self._refuse(f"the unit {token.text!r}", "in, ft, mm, cm or m")
        self.at += 1
        return unit

    def _end(self) -> None:
        if (token := self._peek()) is not None:
            raise self._refuse(f"{token.text!r} after a whole length", _AN_EXAMPLE)

    def _peek(self, ahead: int = 0) -> _Token | None:
        place = self.at + ahead
        return self.tokens[place] if place < len(self.tokens) else None

    def _peek_text(self, ahead: int = 0) -> str:
        token = self._peek(ahead)
        return token.text if token is not None else ""

    def _refuse(self, found: str, expected: str) -> LengthError:
        return LengthError(self.text, found, expected)


_PADDING: Final = [_Token("end", "", spaced=False)] * 3


def _tokens(text: str) -> list[_Token]:
    plain = text.translate(_PLAIN).replace("''", '"').strip(" ")
    tokens: list[_Token] = []
    place = 0
    while place < len(plain):
        match = _TOKEN.match(plain, place)
        if match is None:
            raise _stray(text, plain[place:].lstrip(" ")[0])
        kind = str(match.lastgroup)
        tokens.append(_Token(kind, match[kind], spaced=plain[place] == " "))
        place = match.end()
    return tokens


def _stray(text: str, character: str) -> LengthError:
    if character == ",":
        return LengthError(text, "a comma", "a decimal point, and no sign between thousands")
    if character == ".":
        return LengthError(text, "a point with no digit behind it", "digits after the point")
    if character == "−":
        return LengthError(text, "a minus sign", _AN_EXAMPLE)
    if not character.isascii() and character.isnumeric():
        return LengthError(text, f"the character {character!r}", "the digits 0 to 9, ½ ¼ ¾ ⅛ ⅜ ⅝ ⅞")
    return LengthError(text, f"the character {character!r}", _AN_EXAMPLE)


def _vulgar_after_dash(text: str) -> bool:
    """59-⅞ has no space in it; the one seen is put there by the translation."""
    return re.search(r"[-‐‑–][½¼¾⅛⅜⅝⅞]", text) is not None


def _decimal_text(written: str) -> str:
    return f"0{written}" if written.startswith(".") else written
