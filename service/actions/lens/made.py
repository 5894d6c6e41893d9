"""Make a lens profile from photos of a card."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path

from service.files.lens_profile import (
    Five,
    LensGroup,
    LensProfileFile,
    LensReport,
    PhotoShareRow,
    UnusedPhotoRow,
)
from service.files.loading import read_photo
from vision.measure_wall import LensProfile, Sight, look, make_profile
from vision.units import FloatArray

_CONSTANTS = ("f", "cx", "cy", "k1", "k2")


def lens_files(paths: Sequence[Path]) -> tuple[LensProfileFile, LensReport]:
    """The profile, and what each photo adds to it.

    Raises
    ------
    FileError
        If a photo is not there.
    Refusal
        If the photos do not determine a lens.
    """
    sights = [look(read_photo(path, str(path))) for path in paths]
    return profile_of([path.name for path in paths], sights)


def profile_of(names: Sequence[str], sights: Sequence[Sight]) -> tuple[LensProfileFile, LensReport]:
    """The profile from photos that were looked at; refusals as `lens_files`."""
    made = make_profile(names, sights)
    report = LensReport(
        f_px=made.f_px,
        f_u_px=made.f_u_px,
        posterior_over_prior={
            name: float(ratio)
            for name, ratio in zip(_CONSTANTS, made.posterior_over_prior, strict=True)
        },
        variance_factor=made.variance_factor,
        photos=tuple(
            PhotoShareRow(
                file=share.name, cards=share.cards, tilt_deg=share.tilt_deg, f_gain=share.f_gain
            )
            for share in made.shares
        ),
        unused=tuple(UnusedPhotoRow(file=photo.name, why=photo.why) for photo in made.unused),
    )
    return _profile_file(made.profile), report


def _profile_file(profile: LensProfile) -> LensProfileFile:
    first, second, third, fourth, fifth = (_five(row) for row in profile.covariance)
    return LensProfileFile(
        group=LensGroup(**asdict(profile.key)),
        constants=_five(profile.mean),
        covariance=(first, second, third, fourth, fifth),
        photos=profile.photos,
    )


def _five(values: FloatArray) -> Five:
    a, b, c, d, e = (float(value) for value in values)
    return a, b, c, d, e
