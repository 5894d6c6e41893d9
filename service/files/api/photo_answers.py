"""Answers about one photo while a person works on it."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from service.files.api.answers import Said
from service.files.shape import CovariancePx, OutputModel

Pixels = Annotated[tuple[float, float], Field(description="Pixel of the upright photo.")]
SnapKind = Literal["corner", "crossing", "line end", "edge", "drawn line", "plate"]


class SnapModel(OutputModel):
    """Something near a point that the person may have meant."""

    kind: SnapKind
    at: Pixels
    cov_px2: CovariancePx
    text: str = Field(description="What it is.", examples=["the corner where two edges meet"])


class SnapsModel(OutputModel):
    """What a point may have meant, the likeliest first; nothing is changed by asking."""

    snaps: tuple[SnapModel, ...]
    doubt: Said | None = Field(
        description="Why the point had better stay: nothing-near, several-near, at-the-rim. Null "
        "where the first of the candidates may be offered."
    )


class EdgePointsModel(OutputModel):
    """Points along an edge, found in the photo."""

    points: tuple[Pixels, ...]
    sd_px: float = Field(gt=0, description="Standard deviation of each across the edge.")


class EdgesModel(OutputModel):
    """What goes from each corner of a rectangle to the next; nothing is changed by asking."""

    edges: tuple[EdgePointsModel | None, ...] = Field(
        description="From the edge between the first two corners on; null where none is clear."
    )


class SuggestionModel(OutputModel):
    """Something that may be marked."""

    kind: Literal["deck line", "side edge", "corner", "round fitting"]
    text: str
    strength: float = Field(ge=0, le=1, description="Share of it that was seen.")
    at: tuple[Pixels, ...] = Field(description="Its place; of a line, the two ends in the photo.")
    line: EdgePointsModel | None = Field(
        default=None,
        description="Of a deck line that is clear: points along it, to take it as a straight line.",
    )


class SuggestionsModel(OutputModel):
    """What was found in a photo laid flat: candidates, no measurements."""

    suggestions: tuple[SuggestionModel, ...]


class PlacedPoint(OutputModel):
    """Where a measured point of the wall lies in the photo."""

    at: Pixels
    cov_px2: CovariancePx = Field(description="Of its place on the wall, as it looks from here.")


class PlacedSize(OutputModel):
    """The line along which a size is taken, in the photo."""

    name: str
    start: Pixels
    end: Pixels


class PhotoPlaceModel(OutputModel):
    """The wall's points and sizes where the photo shows them."""

    points: dict[str, PlacedPoint]
    sizes: tuple[PlacedSize, ...]
