"""What every model of a file shares: strictness, names, positive numbers, lengths as text."""

from __future__ import annotations

from typing import Annotated, ClassVar, NoReturn

from pydantic import AfterValidator, BaseModel, ConfigDict, Field
from pydantic_core import PydanticCustomError


class InputModel(BaseModel):
    """Part of a file that people write: an unknown key is an error, never ignored."""

    model_config: ClassVar[ConfigDict] = ConfigDict(
        extra="forbid", frozen=True, allow_inf_nan=False, validate_by_name=True
    )


class OutputModel(BaseModel):
    """Part of a file that this program writes.

    Keys are added over time and none changes its meaning, so an older program ignores those it
    does not know.
    """

    model_config: ClassVar[ConfigDict] = ConfigDict(
        extra="ignore", frozen=True, allow_inf_nan=False, validate_by_name=True
    )


def misplaced(field: str, expected: str) -> NoReturn:
    """Refuse the value at ``field``, a path from the top of the file."""
    raise PydanticCustomError("placed", "{expected}", {"field": field, "expected": expected})


def _plain_text(text: str) -> str:
    if not text.strip():
        raise ValueError("expected a name that is not blank")
    if not text.isprintable():
        raise ValueError("expected a name without control characters or line breaks")
    return text


def _path_text(text: str) -> str:
    if not text or "\0" in text:
        raise ValueError("expected the path of a file")
    return text


def _covariance(
    rows: tuple[tuple[float, float], tuple[float, float]],
) -> tuple[tuple[float, float], tuple[float, float]]:
    (xx, xy), (yx, yy) = rows
    if not (xy == yx and xx > 0 and yy > 0 and xx * yy - xy * yx > 0):
        raise ValueError("expected a symmetric, positive definite matrix")
    return rows


Name = Annotated[str, Field(max_length=200), AfterValidator(_plain_text)]
FilePath = Annotated[
    str,
    Field(max_length=1000, description="Path, relative to the folder of the file that names it."),
    AfterValidator(_path_text),
]
LengthText = Annotated[
    str,
    Field(
        min_length=1,
        max_length=64,
        description='A length as the trade writes it: 59 7/8, 59-7/8", 4\' 11 7/8", 1521 mm.',
        examples=["59 7/8", "4' 11 7/8\"", "1521 mm"],
    ),
]
# Past these limits a number is a slip of the unit or of the finger, and squares of it overflow.
Positive = Annotated[float, Field(ge=1e-6, le=1e6)]
NotNegative = Annotated[float, Field(ge=0, le=1e6)]
SpreadPx = Annotated[float, Field(ge=0.01, le=10_000)]
"""A standard deviation in a photo, px: nothing is placed in one to a hundredth of a pixel."""
ReadingU = Annotated[float, Field(ge=1e-4, le=1000)]
"""Of a reading, mm. Far below the least, nothing of the photos would be left beside it."""
StandOff = Annotated[float, Field(ge=-1000, le=1000)]
_Coordinate = Annotated[float, Field(ge=-1e6, le=1e6)]
Pixel = Annotated[
    tuple[_Coordinate, _Coordinate],
    Field(
        description="x, y in pixels of the upright picture; the centre of the top left pixel is "
        "0, 0; x right, y down."
    ),
]
PixelRow = Annotated[
    tuple[Pixel, ...],
    Field(min_length=2, max_length=400, description="Two or more points along a line."),
]
CovariancePx = Annotated[
    tuple[tuple[float, float], tuple[float, float]],
    AfterValidator(_covariance),
    Field(description="Covariance of x and y, pixels².", examples=[[[0.04, 0.0], [0.0, 1.0]]]),
]
Interval = Annotated[tuple[float, float], Field(description="Lower and upper limit of 95 %, mm.")]
