"""Written lengths: each notation by hand, refusals by what they name, and fuzz."""

from __future__ import annotations

import time
from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from service.lengths import LengthError, parse_length, parse_station

FIFTY_NINE_SEVEN_EIGHTHS_MM = Fraction("1520.825")


@pytest.mark.parametrize(
    "text",
    [
        '59 7/8"',
        '59-7/8"',
        "59⅞ in",
        "59 ⅞”",
        "59-⅞ in",
        "59 7⁄8 inches",
        "59.875 in",
        "59 14/16 in.",
        "4' 11 7/8\"",
        "4'-11 7/8\"",
        "4’ 11⅞”",
        "4′11⅞″",
        "4' 11 7/8''",
        "4 ft 11 7/8",
        "4 feet - 11.875 inches",
        "4 FT. 11 7/8 IN.",
        "1520.825 mm",
        "152.0825 cm",
        "1.520825 m",
    ],
)
def test_every_notation_means_the_same_length(text: str) -> None:
    """Fifty-nine and seven eighths is the same exact length however it is written."""
    assert parse_length(text).mm == FIFTY_NINE_SEVEN_EIGHTHS_MM


@pytest.mark.parametrize(
    ("text", "unit", "denominator", "echo"),
    [
        ("59 14/16 in", "in", 16, '59 14/16"'),
        ("4 ft 11 7/8", "ft-in", 8, "4' 11 7/8\""),
        ("5 feet", "ft-in", None, "5' 0\""),
        ("4' 3/4\"", "ft-in", 4, "4' 0 3/4\""),
        (".5 in", "in", None, '0.5"'),
        ("0 in", "in", None, '0"'),
        ("152.1 cm", "cm", None, "152.1 cm"),
    ],
)
def test_unit_denominator_and_echo_are_as_written(
    text: str, unit: str, denominator: int | None, echo: str
) -> None:
    """A length remembers how it was written, to be shown beside the field."""
    length = parse_length(text)
    assert (length.unit, length.denominator, length.echo) == (unit, denominator, echo)


@pytest.mark.parametrize(
    ("bare_unit", "mm"), [("in", "1520.825"), ("mm", None), ("cm", None), ("m", None)]
)
def test_a_bare_fraction_is_read_only_in_inches(bare_unit: str, mm: str | None) -> None:
    """A bare fraction is inches where the file says inches, and no fraction of a millimetre."""
    if mm is None:
        with pytest.raises(LengthError, match="a fraction of"):
            parse_length("59 7/8", bare_unit)
    else:
        assert parse_length("59 7/8", bare_unit).mm == Fraction(mm)


def test_a_bare_unit_never_overrules_a_written_one() -> None:
    """A written unit stands, whatever the file's bare unit."""
    assert parse_length("1521 mm", "in").mm == 1521


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("", "nothing"),
        ("59 7/8", "no unit"),
        ("63", "no unit"),
        ("3 1/0 in", "the fraction 1/0"),
        ("59 9/8 in", "the fraction 9/8"),
        ("59 8/8 in", "the fraction 8/8"),
        ("59 1/3 in", "the fraction 1/3"),
        ("59 1/128 in", "the fraction 1/128"),
        ("⅓ in", "'⅓'"),
        ("4' 12\"", "12 inches after feet"),
        ("4.11 ft", "4.11 feet"),
        ("4' 3 mm", "mm after feet"),
        ("-3 in", "a minus sign"),
        ("−3 in", "a minus sign"),
        ("1,521 mm", "a comma"),
        ("152,1 cm", "a comma"),
        ("1 521 mm", "'521' after a whole length"),
        ("59 - 7/8 in", "spaces round the dash"),
        ("59-7 in", "'-' after a whole length"),
        ('59" 7/8', "after a whole length"),
        ("⅞59 in", "after a whole length"),
        ("½½ in", "after a whole length"),
        ("59/ in", "half a fraction"),
        ("5. in", "a point with no digit"),
        ("٣ in", "'٣'"),
        ("３ in", "'３'"),
        ("NaN", "'NaN'"),
        ("inf mm", "'inf'"),
        ("1e3 mm", "the unit 'e'"),
        ("5 furlongs", "the unit 'furlongs'"),
        ("101 m", "more than 100 m"),
        ("1" * 65, "65 characters"),
    ],
)
def test_what_is_no_length_is_refused_by_name(text: str, named: str) -> None:
    """A refusal names what was found and says what was expected."""
    with pytest.raises(LengthError) as caught:
        parse_length(text)
    assert named in caught.value.found
    assert caught.value.expected


def test_a_wrong_bare_unit_is_the_callers_mistake() -> None:
    """An unknown bare unit is not blamed on the text."""
    with pytest.raises(ValueError, match="bare unit 'ft'") as caught:
        parse_length("59", "ft")
    assert not isinstance(caught.value, LengthError)


def test_a_station_may_be_negative() -> None:
    """A place left of the plumb line is written with a minus sign."""
    assert parse_station("-14", "in").mm == Fraction("-355.6")
    assert parse_station("−1/2 in").echo == '-1/2"'
    assert parse_station("16 in").mm == Fraction("406.4")


def _each_notation(sixty_fourths: int) -> list[str]:
    """A whole number of 1/64 in, written out without the code under test."""
    whole, part = divmod(sixty_fourths, 64)
    feet, inch = divmod(whole, 12)
    mixed = f"{whole} {part}/64"
    micro = sixty_fourths * 396_875  # 1/64 in is 0.396875 mm
    digits = f"{micro:010d}"
    return [
        f"{mixed} in",
        f'{whole}-{part}/64"',
        f"{whole}.{part * 15_625:06d} in",
        f"{feet}' {inch} {part}/64\"",
        f"{feet} ft {inch}.{part * 15_625:06d} in",
        f"{digits[:-6]}.{digits[-6:]} mm",
        f"{micro // 10_000_000}.{micro % 10_000_000:07d} cm",
        f"{micro // 1_000_000_000}.{micro % 1_000_000_000:09d} m",
    ]


def test_every_sixty_fourth_up_to_forty_feet_reads_back() -> None:
    """Each 1/64 in from 0 to 40 ft reads back exactly, in every notation, and so does its echo."""
    for sixty_fourths in range(40 * 12 * 64 + 1):
        mm = Fraction(sixty_fourths * 396_875, 1_000_000)
        for text in _each_notation(sixty_fourths):
            length = parse_length(text)
            assert length.mm == mm, text
        assert parse_length(length.echo).mm == mm


_ALPHABET = "0123456789 .,-/'\"½⅞⅓⁄′″’”−–\u00a0inchfteomINCHFTEM٣³\n\x00"


@given(st.one_of(st.text(alphabet=_ALPHABET, max_size=80), st.text(max_size=80)))
@example("5'-")
@example("4'--3")
@example("1/")
@example("-⅞")
def test_any_text_is_a_length_or_a_length_error(text: str) -> None:
    """No text whatever raises anything but LengthError, and what is read echoes to itself."""
    for bare_unit in (None, "in", "cm"):
        try:
            length = parse_length(text, bare_unit)
        except LengthError:
            continue
        assert length.mm >= 0
        assert parse_length(length.echo).mm == length.mm


@pytest.mark.parametrize("piece", ["9", " ", "1/2 ", "'", "½", "-", "a", "5' "])
def test_a_million_characters_cost_no_time(piece: str) -> None:
    """An over-long text is refused by its length before it is looked at."""
    text = piece * (1_000_000 // len(piece))
    start = time.process_time()
    with pytest.raises(LengthError):
        parse_length(text)
    assert time.process_time() - start < 0.05
