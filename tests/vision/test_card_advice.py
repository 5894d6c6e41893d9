"""Advice names what is wrong with a card in a photo, and only that."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np
import pytest

from vision.card.found import FoundCard
from vision.quality.advice import card_advice

GOOD: Final = FoundCard(
    serial=2,
    corner_ids=np.arange(24, dtype=np.int64),
    pixels=np.zeros((24, 2)),
    covariance_px2=np.zeros((24, 2, 2)),
    contrast=150.0,
    blur_px=0.9,
    pixels_per_cell=6.0,
    tilt_deg=25.0,
    saturated=0.01,
)


def test_a_good_card_needs_no_advice() -> None:
    """Silence is praise."""
    assert card_advice(GOOD) == ()


@pytest.mark.parametrize(
    ("card", "code"),
    [
        (replace(GOOD, pixels_per_cell=2.5), "card-small"),
        (replace(GOOD, tilt_deg=66.0, pixels_per_cell=2.5), "card-oblique"),
        (replace(GOOD, blur_px=2.2), "card-blurred"),
        (replace(GOOD, contrast=35.0), "card-dim"),
        (replace(GOOD, saturated=0.4), "card-glare"),
        (replace(GOOD, corner_ids=np.arange(10, dtype=np.int64)), "card-hidden"),
    ],
)
def test_each_fault_has_its_advice(card: FoundCard, code: str) -> None:
    """One fault, one code, and the text names the card."""
    (advice,) = card_advice(card)
    assert advice.code == code
    assert "Card 2" in advice.text


def test_several_faults_are_all_named() -> None:
    """Dim and blurred at once."""
    poor = replace(GOOD, contrast=35.0, blur_px=2.5)
    assert [advice.code for advice in card_advice(poor)] == ["card-blurred", "card-dim"]
