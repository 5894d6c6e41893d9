"""profile.json: the lens of one phone, made once and named in wall files ever after."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from service.files.shape import InputModel, OutputModel, Positive

Five = tuple[float, float, float, float, float]
_LogF = Annotated[float, Field(ge=4, le=13)]
"""Of 55 to 440,000 px: past these no camera is, and the sums of one that was would overflow."""
_Centre = Annotated[float, Field(ge=-1e5, le=1e5)]
_Distortion = Annotated[float, Field(ge=-100, le=100)]


class LensGroup(InputModel):
    """What a photo's header must say for the profile to be its lens's."""

    make: str | None
    model: str | None
    lens_model: str | None
    long_px: int = Field(gt=0)
    short_px: int = Field(gt=0)
    turned: bool = Field(description="Stored turned by software, without saying which way.")
    focal_35mm_mm: Positive | None
    focal_mm: Positive | None
    digital_zoom: float | None


class LensProfileFile(InputModel):
    """Lens constants with their covariance, in this order: log f (f in pixels), cx, cy (pixels
    from the picture's centre, as the sensor lies), k1, k2."""

    group: LensGroup
    constants: tuple[_LogF, _Centre, _Centre, _Distortion, _Distortion]
    covariance: tuple[Five, Five, Five, Five, Five]
    photos: int = Field(ge=1, description="Number of photos it was made from.")


class PhotoShareRow(OutputModel):
    """What one photo of the card added."""

    file: str
    cards: int
    tilt_deg: float
    f_gain: Annotated[
        float, Field(description="Standard uncertainty of f without this photo over that with it.")
    ]


class UnusedPhotoRow(OutputModel):
    """A photo that added nothing, and why."""

    file: str
    why: str


class LensReport(OutputModel):
    """What `tapeproof lens` prints."""

    f_px: float
    f_u_px: float
    posterior_over_prior: dict[str, float]
    variance_factor: float
    photos: tuple[PhotoShareRow, ...]
    unused: tuple[UnusedPhotoRow, ...] = ()
