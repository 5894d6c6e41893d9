"""What is known of a camera before the adjustment: from the photo's header, or from nothing.

The 35 mm-equivalent focal length refers to the *diagonal* (CIPA DCG-001), is an integer in the
header, and still describes the full frame when the picture is a crop of it. Spreads below are
standard deviations; where no source is named they are this project's judgement.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import exp, hypot, log, sqrt
from typing import Final

from vision.photo.photograph import Header
from vision.units import FULL_FRAME_DIAGONAL_MM

PHONE_ASPECT: Final = 4 / 3
F35_MODEL_SPREAD: Final = 0.022
"""Relative spread of true against stated equivalent focal length, rounding excluded."""
UNKNOWN_F_SPREAD: Final = 0.15
UNKNOWN_F_PER_LONG_SIDE: Final = 0.75
ZOOMED_F_SPREAD: Final = 0.30
"""Makers differ on whether the equivalent focal length includes the digital zoom."""
ALTERED_F_SPREAD: Final = 0.30
ALTERED_CENTRE: Final = 0.05
"""Share of the long side by which an edit may have moved the principal point."""
ULTRA_WIDE_F35: Final = 19.0
FOCUS_SPREAD: Final = 0.004
"""Focus breathing changes the focal length by 0.3-0.7 % between 0.5 m and 2 m."""
STABILISER_PER_LONG_SIDE: Final = 12 / 4032
"""Optical stabilisers move the principal point 5-15 px in a 12 MP photo."""


@dataclass(frozen=True)
class LensKey:
    """Photos share one lens only when all of these agree."""

    make: str | None
    model: str | None
    lens_model: str | None
    long_px: int
    short_px: int
    turned: bool
    focal_35mm_mm: float | None
    focal_mm: float | None
    digital_zoom: float | None


@dataclass(frozen=True)
class LensPrior:
    """Prior of one lens: mean and spread of each constant.

    ``centre_u_px`` is for each axis; ``f_starts_px`` lists focal lengths to try as starts.
    """

    source: str
    f_px: float
    log_f_u: float
    centre_u_px: float
    k1_u: float
    k2_u: float
    focus_u: float
    stabiliser_u_px: float
    f_starts_px: tuple[float, ...]


def lens_key(header: Header) -> LensKey:
    """The key by which photos are grouped.

    A picture that software stored turned, without saying which way, is a group of its own: its
    principal point cannot be mapped onto that of the others. A cut-out goes with its whole frames.
    """
    long_px, short_px = _whole_sides(header)
    stored_portrait = (header.height_px > header.width_px) != (header.orientation >= 5)
    return LensKey(
        header.make,
        header.model,
        header.lens_model,
        long_px,
        short_px,
        stored_portrait,
        header.focal_35mm_mm,
        header.focal_mm,
        header.digital_zoom,
    )


def is_as_taken(header: Header) -> bool:
    """Whether a photo still has its lens in common with others of its key: shrinking leaves it."""
    return header.altered in (None, "resized")


def lens_prior(header: Header) -> LensPrior:
    """Prior of the lens that took a photo with this header, and of this exposure.

    What was done to the picture since does not change the lens: it shifts and scales this one
    picture, so it widens what this exposure may differ by. Of a screenshot nothing is known.
    """
    long_px = float(max(header.width_px, header.height_px))
    if header.focal_35mm_mm is None or header.altered == "screenshot":
        prior = _unknown_camera(long_px)
    elif header.altered == "cropped":
        return _of_crop(header, header.focal_35mm_mm)
    else:
        prior = _from_equivalent_focal(header, header.focal_35mm_mm, long_px)
    if header.altered in ("screenshot", "edited"):
        return _loosened(prior, ALTERED_F_SPREAD, ALTERED_CENTRE * long_px)
    return prior


def _of_crop(header: Header, f35_mm: float) -> LensPrior:
    """The lens of the whole frame, this exposure shifted by the cut.

    The cut-out may have been shrunk after, at most by as much as makes it the whole frame in one
    direction. Its middle is off by up to half of what was cut away.
    """
    (long_px, short_px), (whole_long, whole_short) = _sides(header), _whole_sides(header)
    whole = replace(header, altered=None, width_px=whole_long, height_px=whole_short)
    prior = _from_equivalent_focal(whole, f35_mm, float(whole_long))
    shrunk = min(1.0, max(long_px / whole_long, short_px / whole_short))
    cut = max(whole_long - long_px, whole_short - short_px, 0) / (2 * sqrt(3))
    starts = replace(prior, source="exif cropped", f_starts_px=(prior.f_px, shrunk * prior.f_px))
    return _loosened(starts, -log(shrunk) / sqrt(3), max(cut, ALTERED_CENTRE * long_px))


def _loosened(prior: LensPrior, focus_u: float, centre_u_px: float) -> LensPrior:
    return replace(
        prior,
        focus_u=hypot(prior.focus_u, focus_u),
        stabiliser_u_px=hypot(prior.stabiliser_u_px, centre_u_px),
    )


def _sides(header: Header) -> tuple[int, int]:
    return max(header.width_px, header.height_px), min(header.width_px, header.height_px)


def _whole_sides(header: Header) -> tuple[int, int]:
    """Long and short side of the frame that the camera took."""
    if header.altered != "cropped":
        return _sides(header)
    long_px, short_px = _sides(header)
    return header.stated_long_px or long_px, header.stated_short_px or short_px


def _unknown_camera(long_px: float) -> LensPrior:
    f = UNKNOWN_F_PER_LONG_SIDE * long_px
    return LensPrior(
        source="none",
        f_px=f,
        log_f_u=UNKNOWN_F_SPREAD,
        centre_u_px=0.01 * long_px,
        k1_u=0.3,
        k2_u=0.1,
        focus_u=FOCUS_SPREAD,
        stabiliser_u_px=STABILISER_PER_LONG_SIDE * long_px,
        f_starts_px=(f, 0.8 * f, 1.3 * f, 1.8 * f),
    )


def _from_equivalent_focal(header: Header, f35_mm: float, long_px: float) -> LensPrior:
    as_shot, full_frame = _diagonals_px(header)
    f = f35_mm * sqrt(as_shot * full_frame) / FULL_FRAME_DIAGONAL_MM
    rounding = 0.5 / f35_mm / sqrt(3)
    crop = log(full_frame / as_shot) / 2
    spread = sqrt(F35_MODEL_SPREAD**2 + rounding**2 + crop**2)
    zoom = header.digital_zoom or 1.0
    zoomed = zoom > 1.02
    starts = (f, f * zoom) if zoomed else (f,)
    if crop:
        starts = (*starts, f * exp(crop), f * exp(-crop))
    ultra_wide = f35_mm < ULTRA_WIDE_F35
    return LensPrior(
        source="exif zoomed" if zoomed else "exif",
        f_px=f,
        log_f_u=ZOOMED_F_SPREAD if zoomed else spread,
        centre_u_px=(0.05 if zoomed else 0.0075) * long_px,
        k1_u=0.1 if ultra_wide else 0.02,
        k2_u=0.05 if ultra_wide else 0.02,
        focus_u=FOCUS_SPREAD,
        stabiliser_u_px=STABILISER_PER_LONG_SIDE * long_px,
        f_starts_px=starts,
    )


def _diagonals_px(header: Header) -> tuple[float, float]:
    """Diagonal of the picture and of the 4:3 frame of which it may be a crop."""
    long_px = max(header.width_px, header.height_px)
    short_px = min(header.width_px, header.height_px)
    as_shot = hypot(long_px, short_px)
    aspect = long_px / short_px
    if abs(aspect / PHONE_ASPECT - 1) < 0.02 or abs(aspect / 1.5 - 1) < 0.02:
        return as_shot, as_shot
    if aspect > PHONE_ASPECT:
        return as_shot, hypot(long_px, long_px / PHONE_ASPECT)
    return as_shot, hypot(short_px * PHONE_ASPECT, short_px)
