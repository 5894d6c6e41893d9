"""Growth of the sheet against the movement of the joint beside it: a figure and a warning.

Joint width at least growth over movement capability (ASTM C1193). The trade leaves less than the
free growth of a long sheet asks for, and gets away with it because the sheet is bonded; so this
warns and never refuses.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.panels.model import Caution
from service.panels.sizes import needed

if TYPE_CHECKING:
    from service.panels.model import WallName
    from service.panels.practice import Practice


def free_growth_mm(length_mm: float, per_kelvin: float, swing_k: float) -> float:
    """Free growth of a sheet, mm.

    Examples
    --------
    >>> round(free_growth_mm(1524, 7e-5, 20), 2)
    2.13
    """
    return length_mm * per_kelvin * swing_k


def joint_for_mm(growth_mm: float, movement: float) -> float:
    """The joint that a sealant of this movement capability needs for a growth, mm."""
    return growth_mm / movement


def growth_cautions(wall: WallName, length_mm: float, shop: Practice) -> tuple[Caution, ...]:
    """A warning where a joint is narrower than the growth of this length asks for."""
    free = free_growth_mm(length_mm, shop["growth.per_kelvin_ppm"] * 1e-6, shop["growth.swing"])
    wanted = joint_for_mm(free * shop["growth.restraint"], shop["growth.movement"])
    least = min(shop["joint.deck"], shop["joint.side"])
    if wanted <= least + 1e-6:
        return ()
    text = (
        f"free growth of {needed(free).text} in over {shop['growth.swing']:g} K asks for joints of "
        f"{needed(wanted).text} in (ASTM C1193); {needed(least).text} in are planned"
    )
    return (Caution("stiff-joint", text, wall),)
