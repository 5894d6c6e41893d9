"""What a sheet is cut by and what proves it, and how it stands on its way to the saw."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from service.panels.places import Size

State = Literal["shut", "open", "released", "reopened"]


@dataclass(frozen=True)
class SheetSize:
    """One measured size that a panel is cut by.

    Attributes
    ----------
    name : str
        As messages call it: `back left 16`.
    dimension : str
        Name of the report's dimension behind it, empty where there is none.
    proof, note : str
        What proves it and what prints with it; empty while it is held.
    u_mm : float
        Standard uncertainty.
    why_not, do : str
        What holds it and what would let it go; empty once it is proved.
    taped, corrected : tuple of str
        Its readings in words, each with who took it: those that stand, and those taken again.
    """

    name: str
    value: Size
    u_mm: float
    dimension: str
    proof: str
    note: str
    why_not: str
    do: str
    taped: tuple[str, ...] = ()
    corrected: tuple[str, ...] = ()


@dataclass(frozen=True)
class SheetRelease:
    """How a sheet stands once somebody decides on it.

    Attributes
    ----------
    state
        shut: held; open: nothing holds it and nobody released it; released: locked; reopened:
        changed since it was locked.
    revision, fingerprint, who, at
        Of its last locked revision; empty before the first.
    changes
        What is no longer as that revision has it, in words.
    wanted
        What nothing checks and somebody must vouch for: the thing, and what it is now.
    looked
        The same as far as it was looked at, with who vouches for it.
    held
        What keeps it from the saw, in words.
    """

    state: State
    revision: str = ""
    fingerprint: str = ""
    who: str = ""
    at: str = ""
    changes: tuple[str, ...] = ()
    wanted: tuple[tuple[str, str], ...] = ()
    looked: tuple[str, ...] = ()
    held: tuple[str, ...] = ()
