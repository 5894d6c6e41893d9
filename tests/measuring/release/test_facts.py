"""Who is another person: names as people type them."""

from __future__ import annotations

import pytest

from service.measuring.release.facts import is_named, same_person

TAPER = "Ren\u00e9 Fitter"


@pytest.mark.parametrize(
    "other",
    [
        "ren\u00e9 fitter",
        " Ren\u00e9   Fitter ",
        "RENE FITTER",
        "Rene\u0301 Fitter",
        "Fitter, Ren\u00e9",
        "R. Fitter",
        "R.Fitter",
        "fitter r",
        "Ren\u00e9-Fitter",
        "ReneFitter",
        "Ren\u00e9\u200b Fitter",
        "\uff32\uff45\uff4e\uff45 Fitter",
        "someone",
        "Someone",
        "?",
        "",
    ],
)
def test_a_name_typed_otherwise_is_the_same_person(other: str) -> None:
    """Case, accents, points, spaces, order, an initial, letters that are not seen; and nobody's
    name is no second person's. Either way round."""
    assert same_person(TAPER, other)
    assert same_person(other, TAPER)


@pytest.mark.parametrize(
    "other",
    ["R. F.", "RF", "FR", "R", "Rene", "Fitter", "Ren. Fitter", "Ren\u00e9 J. Fitter",
     "J. R. Fitter", "Ren\u00e9 Fitter Jr"],
)  # fmt: skip
def test_a_name_left_out_or_cut_short_may_be_the_same_person(other: str) -> None:
    """Initials, one name of two, one more: nobody can tell, so it is no second person."""
    assert same_person(TAPER, other)
    assert same_person(other, TAPER)


@pytest.mark.parametrize(
    "other",
    ["Ren\u00e9 Fiter", "Ren\u00e9 Fittter", "Rene Fitrer", "Ren\u00e9 Fittre", "R. Ditter"],
)
def test_a_key_that_was_missed_makes_no_second_person(other: str) -> None:
    """A letter left out, doubled or another, two exchanged."""
    assert same_person(TAPER, other)
    assert same_person(other, TAPER)


@pytest.mark.parametrize(
    "other", ["S. Fitter", "R. Mate", "SF", "Mate", "Anna B. Fitter", "Office", "Ren\u00e9 Fixer"]
)
def test_another_name_is_another_person(other: str) -> None:
    """Another initial, another family name, other initials."""
    assert not same_person(TAPER, other)
    assert not same_person(other, TAPER)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Ren\u00e9 Fitter Sr", "Ren\u00e9 Fitter Jr"),
        ("Anna B. Smith", "Anne C. Smith"),
        ("A", "B"),
        ("1A", "2B"),
        ("Jon Fitter", "Jan Fitter"),
    ],
)
def test_two_who_are_called_alike_are_told_apart_by_their_names_in_full(
    one: str, other: str
) -> None:
    """Whoever is held back can say who they are; a letter makes another name of a short one."""
    assert not same_person(one, other)


def test_single_letters_are_names_too() -> None:
    """Whoever signs with a letter is told from who signs with another."""
    assert same_person("A", " a.")
    assert same_person("A", "Anna")
    assert not same_person("A", "Berta")


def test_a_long_row_of_letters_is_told_apart_at_once() -> None:
    """As long as a name may be: no order of its parts is tried that cannot fit."""
    assert not same_person("a " * 100, "a " * 99 + "b")
    assert same_person("a " * 100, "a " * 99)


@pytest.mark.parametrize("who", [None, "", "  ", "-", "someone", "\u200b"])
def test_nobody_is_named_by_that(who: str | None) -> None:
    """No name, signs only, or the word that stands where no name was given."""
    assert not is_named(who)
    assert is_named("\u674e")
