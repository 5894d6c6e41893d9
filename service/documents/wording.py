"""Words and figures that every document writes the same way."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

if TYPE_CHECKING:
    from service.panels.model import Edge, Panel, Plan, Size, TopEdge, WallName

NOT_FOR_CUTTING: Final = "ESTIMATE – NOT FOR CUTTING"
RELEASED: Final = "RELEASED FOR CUTTING"
FRONT: Final = "FRONT (finished face)"
BACK: Final = "BACK (seen from behind)"

SIDES_AS_SEEN: Final = " (L, R as seen from the room)"
"""Behind a heading of the back panel's numbers: its back view shows left on the right."""

Face = Literal["front", "back"]
Paper = Literal["letter", "a4"]

CAUTIONS: Final = (
    "Two people and gloves for every sheet. Keep the blade guards on; eye and ear protection.",
    "Hidden pipes and wires may lie behind any hole: look before you drill. Water off, power off.",
    "Local codes and the sheet maker's written instructions govern. Plumbing and electrical work"
    " by licensed trades where the rules say so.",
    "A photo estimate is never a cutting dimension. Mark from the numbers; do not scale off the"
    " paper.",
)

INSTALL_CAUTIONS: Final = (
    "Breaking tile makes silica dust: wet methods or a vacuum shroud (29 CFR 1926.1153). Solvents:"
    " no flame, no spark, open the window; read the safety data sheet.",
    "A home built before 1978 may hold lead paint (EPA RRP); asbestos is another question, for a"
    " home of any age. Where either is found, licensed firms work, not you.",
    "Water off before you touch the valve. Power off and GFCI checked. Permit and inspection before"
    " anything is covered.",
)

SHOP_ONLY: Final = frozenset(
    {
        "better-top",
        "cut-outside",
        "does-not-close",
        "end-clear",
        "end-cover",
        "few-openings",
        "few-stations",
        "jamb-on-return",
        "judged-apart",
        "liner-sheet",
        "move-outer",
        "no-letter",
        "no-saw",
        "no-layout",
        "no-sheet",
        "no-top",
        "opening-tapers",
        "not-flat",
        "plate-too-small",
        "return-short",
        "stiff-joint",
        "surface-unknown",
        "thin-web",
        "top-above-arm",
        "way-in",
        "wet-ledge",
    }
)
"""Cautions that the shop settles; they stand on its own papers and not on the customer's."""


@dataclass(frozen=True)
class DocumentMeta:
    """What is printed on every page and is no part of the plan.

    Attributes
    ----------
    revision
        Letter of the revision.
    date
        The date as it is to be printed; no document asks a clock.
    paper
        `letter` or `a4`.
    fingerprint
        Short hash of the plan, empty when there is none.
    """

    revision: str
    date: str
    paper: Paper = "letter"
    fingerprint: str = ""


_HOLE_LETTERS: Final = "ABCDEFGHJKLMNPRSTUVWXYZ"
_EDGE_WORDS: Final[dict[Edge, str]] = {
    "top": "finished top",
    "left": "left edge",
    "right": "right edge",
    "inner": "inner edge (corner)",
    "outer": "finished outer edge",
    "bottom": "bottom edge",
    "leg": "leg beside the tub",
    "notch": "corners cut round what stands out",
}
_TOP_WORDS: Final[dict[TopEdge, str]] = {
    "finished": "FINISHED TOP",
    "trim": "TOP, UNDER ITS TRIM",
    "ceiling": "TOP, UNDER THE CEILING",
    "sloped ceiling": "TOP, SLOPED",
    "cap": "TOP, UNDER ITS CAP",
}


def customer_cautions(plan: Plan) -> tuple[str, ...]:
    """The cautions that are the customer's business, without what the shop does about them."""
    found = []
    for caution in plan.warnings:
        if caution.code not in SHOP_ONLY:
            place = f"{caution.wall} wall: " if caution.wall else ""
            found.append(f"{place}{caution.text}")
    return tuple(found)


def edge_words(edge: Edge) -> str:
    """An edge as the cutting sheet names it."""
    return _EDGE_WORDS[edge]


def top_words(panel: Panel) -> str:
    """The upper edge, from which everything is measured down."""
    return _TOP_WORDS[panel.top]


def inches(size: Size) -> str:
    """The printed inches without a sign; the direction is said in words beside it."""
    return f"{size.text.removeprefix('-').removesuffix(' in')} in"


def off_plumb(wall: WallName, at: Size) -> str:
    """A place beside the plumb line with its side, which a bare size does not have."""
    if at.text.removeprefix("-").removesuffix(" in") == "0":
        return "on the plumb line"
    if wall == "back":
        side = "left" if at.mm < 0 else "right"
        return f"{inches(at)} {side} of plumb as seen from the room"
    way = "the back corner" if at.mm < 0 else "the room"
    return f"{inches(at)} from plumb towards {way}"


def beyond_face(depth: Size, *, in_front: bool) -> str:
    """How far something stands from the new face: `in_front` is where a positive depth lies."""
    ahead = in_front == (depth.mm >= 0)
    return f"{inches(depth)} {'out of' if ahead else 'behind'} the new face"


def millimetres(mm: float) -> str:
    """The exact figure in tenths, without a sign."""
    return f"{abs(mm):.1f}"


def both_units(*sizes: Size) -> str:
    """A size, or sizes by one another, for either tape: `5/8 in x 3 in (15.9 x 76.2 mm)`."""
    exact = " x ".join(millimetres(size.mm) for size in sizes)
    return f"{' x '.join(map(inches, sizes))} ({exact} mm)"


def hand_words(panel: Panel) -> str:
    """The hand as it is stated wherever the panel is named."""
    if panel.hand == "none":
        return "no hand (both sides go into a corner)"
    return f"{panel.hand.upper()} HAND (finished outer edge on the {panel.hand} as seen)"


def hole_letters(panel: Panel) -> tuple[str, ...]:
    """A letter for every hole and then every opening: A to Z, then AA.

    Two names may be alike, or in letters that no font at hand has: drawing, table and template are
    told apart by these. I, O and Q are left out, as drawings do (common practice): they read as
    1 and 0.
    """
    count, base = len(panel.cutouts) + len(panel.windows), len(_HOLE_LETTERS)
    return tuple(
        (_HOLE_LETTERS[n // base - 1] if n >= base else "") + _HOLE_LETTERS[n % base]
        for n in range(count)
    )


def reference_words(panel: Panel) -> str:
    """The upright line from which the sides of a panel are marked."""
    return "plumb line" if panel.wall == "back" else "finished OUTER edge"
