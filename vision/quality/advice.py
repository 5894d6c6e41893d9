"""What would make the next photo of a card better. Advice explains; it never gates."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Protocol

if TYPE_CHECKING:
    from vision.units import IntArray

FEW_PX_PER_CELL: Final = 3.0
"""Below 3 px per marker cell part of the markers are lost, below 2.3 most."""
BLURRED_PX: Final = 1.8
"""Edge spread beyond which fewer than three in four markers are read."""
DIM_CONTRAST_DN: Final = 60.0
"""Below 60 grey levels a corner's error is some five times that of a well lit one."""
GLARE_SHARE: Final = 0.15
OBLIQUE_DEG: Final = 60.0
HIDDEN_SHARE: Final = 0.75
_ALL_CORNERS: Final = 24


@dataclass(frozen=True)
class Advice:
    """A stable kebab-case code and one sentence that says what to do."""

    code: str
    text: str


class CardFigures(Protocol):
    """The quality figures of a found card."""

    @property
    def serial(self) -> int: ...
    @property
    def corner_ids(self) -> IntArray: ...
    @property
    def contrast(self) -> float: ...
    @property
    def blur_px(self) -> float: ...
    @property
    def pixels_per_cell(self) -> float: ...
    @property
    def tilt_deg(self) -> float: ...
    @property
    def saturated(self) -> float: ...


def card_advice(card: CardFigures) -> tuple[Advice, ...]:
    """Advice on one card, the most telling first: ``card-small``, ``card-oblique``,
    ``card-blurred``, ``card-dim``, ``card-glare``, ``card-hidden``."""
    name = f"Card {card.serial}"
    said = []
    if card.pixels_per_cell < FEW_PX_PER_CELL and card.tilt_deg <= OBLIQUE_DEG:
        said.append(Advice("card-small", f"{name} is small in the photo. Step closer to it."))
    if card.tilt_deg > OBLIQUE_DEG:
        text = f"{name} is seen at {card.tilt_deg:.0f}°. Stand more in front of it: 15° to 45°."
        said.append(Advice("card-oblique", text))
    if card.blur_px > BLURRED_PX:
        said.append(
            Advice("card-blurred", f"{name} is blurred. Hold still, wait for focus, add light.")
        )
    if card.contrast < DIM_CONTRAST_DN:
        said.append(Advice("card-dim", f"{name} is dim or washed out. Add even light."))
    if card.saturated > GLARE_SHARE:
        text = f"{name} has glare or is over-exposed. Move the lamp or stand a step aside."
        said.append(Advice("card-glare", text))
    if len(card.corner_ids) < HIDDEN_SHARE * _ALL_CORNERS:
        text = f"{name} shows {len(card.corner_ids)} of {_ALL_CORNERS} corners. Clear its view."
        said.append(Advice("card-hidden", text))
    return tuple(said)
