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
    "other", ["S. Fitter", "R. Mate", "Ren\u00e9 Fitter Jr", "R. F.", "Office"]
)
def test_another_name_is_another_person(other: str) -> None:
    """Another initial, another family name, one name more, initials alone."""
    assert not same_person(TAPER, other)
    assert not same_person(other, TAPER)


def test_single_letters_are_names_too() -> None:
    """Whoever signs with a letter is told from who signs with another."""
    assert same_person("A", " a.")
    assert not same_person("A", "B")
    assert not same_person("A", "Anna")


@pytest.mark.parametrize("who", [None, "", "  ", "-", "someone", "\u200b"])
def test_nobody_is_named_by_that(who: str | None) -> None:
    """No name, signs only, or the word that stands where no name was given."""
    assert not is_named(who)
    assert is_named("\u674e")
