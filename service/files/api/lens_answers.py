"""Bodies of answers and requests: photos of cards, and the lens profiles made from them."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from service.files.api.answers import PhotoState, Refused
from service.files.api.asked import Id, Sha256
from service.files.lens_profile import LensReport
from service.files.shape import InputModel, OutputModel


class CardPhotoDone(InputModel):
    """All parts of a photo of a card have been sent."""

    job: Id
    filename: Annotated[str, Field(min_length=1, max_length=255, examples=["IMG_0412.jpg"])]
    parts: Annotated[int, Field(ge=1, le=16, description="How many, numbered from 0.")]
    sha256: Sha256


class ProfileBody(InputModel):
    """Which photos of a card the profile is made from; default: all of the job."""

    photos: tuple[Id, ...] | None = Field(default=None, max_length=100)


class CardPhotoModel(OutputModel):
    """A photo of a card."""

    id: str
    filename: str
    state: PhotoState
    lens: str | None = Field(description="Phone and lens that took it, as it says of itself.")
    cards: int = Field(ge=0)
    tilt_deg: float | None = Field(description="How far the card is tilted to the view.")
    refusal: Refused | None


class LensProfileModel(OutputModel):
    """A lens profile, and what each photo added to it."""

    file: str = Field(description="Its name beside wall.json.")
    lens: str
    photos: int
    report: LensReport
    who: str
    at: str
    here: bool = Field(
        description="Whether it was made in this job, so that all its photos use it."
    )


class Lenses(OutputModel):
    """A job's photos of cards, and the shop's lens profiles, the newest first."""

    photos: tuple[CardPhotoModel, ...]
    profiles: tuple[LensProfileModel, ...]
