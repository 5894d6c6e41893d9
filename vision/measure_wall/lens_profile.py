"""The profile of one phone's lens, made once from photos of a card and used ever after."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from vision.adjust.solution import WallAdjustment, WallSolution
from vision.adjust.solver import NotObservable
from vision.camera.prior import LensKey, is_as_taken, lens_key, lens_prior
from vision.camera.profile import LensProfile
from vision.errors import Refusal
from vision.measure_wall.build import build_network
from vision.measure_wall.repeats import repeated_sights
from vision.measure_wall.request import PhotoRequest, WallRequest
from vision.measure_wall.sight import Sight
from vision.measure_wall.vetting import vet
from vision.units import FloatArray, read_only

LEAST_PHOTOS: Final = 6
WEAK_RATIO: Final = 0.5
"""A focal length known less than twice as well as before is no profile."""
STRAIGHT_ON_DEG: Final = 10.0
_CONSTANTS: Final = 5
_TOLD: Final = 3


@dataclass(frozen=True)
class PhotoShare:
    """What one photo adds: standard uncertainty of f without it over that with it, and tilt."""

    name: str
    cards: int
    tilt_deg: float
    f_gain: float


@dataclass(frozen=True)
class UnusedPhoto:
    """A photo that adds nothing, and why."""

    name: str
    why: str


@dataclass(frozen=True)
class MadeProfile:
    """A profile and how it came about."""

    profile: LensProfile
    f_px: float
    f_u_px: float
    posterior_over_prior: FloatArray
    variance_factor: float
    shares: tuple[PhotoShare, ...]
    unused: tuple[UnusedPhoto, ...]


def make_profile(names: Sequence[str], sights: Sequence[Sight]) -> MadeProfile:
    """Profile from six or more photos of one phone that show a card.

    Raises
    ------
    Refusal
        ``too-few-photos``, ``mixed-lenses``, ``no-card``, ``lens-not-determined``.
    """
    unused = {i: why for i, why in enumerate(_why_unused(names, sights)) if why is not None}
    use = [i for i in range(len(sights)) if i not in unused]
    if len(use) < LEAST_PHOTOS:
        raise Refusal(
            "too-few-photos",
            " ".join(
                [
                    f"{len(use)} of {len(sights)} photos show a card and are as they were taken; a "
                    f"profile needs {LEAST_PHOTOS}.",
                    *(f"{names[i]}: {why}" for i, why in list(unused.items())[:_TOLD]),
                ]
            ),
            "Take more photos of the card, tilted 15° to 45° towards different sides.",
        )
    key = _one_key(names, sights, use)
    solution = _fitted(names, sights, use)
    block = slice(solution.layout.lens, solution.layout.lens + _CONSTANTS)
    covariance = solution.covariance[block, block]
    prior = _prior_spread(sights[use[0]])
    ratios = np.asarray(np.sqrt(np.diag(covariance)) / prior)
    if ratios[0] > WEAK_RATIO:
        raise _not_determined(sights, use)
    f = float(np.exp(solution.lens_constants(0)[0]))
    return MadeProfile(
        profile=LensProfile(
            key, read_only(solution.lens_constants(0)), read_only(covariance), len(use)
        ),
        f_px=f,
        f_u_px=f * float(np.sqrt(covariance[0, 0])),
        posterior_over_prior=ratios,
        variance_factor=solution.variance_factor,
        shares=tuple(_share(names, sights, use, i, covariance[0, 0]) for i in use),
        unused=tuple(UnusedPhoto(names[i], why) for i, why in unused.items()),
    )


def _why_unused(names: Sequence[str], sights: Sequence[Sight]) -> list[str | None]:
    repeated = repeated_sights(sights)

    def why(index: int, sight: Sight) -> str | None:
        if sight.header is None:
            return "no photo." if sight.refusal is None else sight.refusal.text
        if index in repeated:
            return f"the same photo as {names[repeated[index]]}."
        if not sight.cards:
            return "no card was found in it."
        return None if is_as_taken(sight.header) else "it was cropped, edited or is of a screen."

    return [why(index, sight) for index, sight in enumerate(sights)]


def _fitted(names: Sequence[str], sights: Sequence[Sight], use: Sequence[int]) -> WallSolution:
    """The adjustment after what does not fit was set aside; one photo by another lens is named."""
    try:
        vetted = vet(_adjusted(names, sights, use))
    except NotObservable as error:
        raise _not_determined(sights, use) from error
    for finding in vetted.findings:
        if finding.kind == "exposure":
            odd = names[use[finding.thing]]
            raise Refusal(
                "mixed-lenses",
                f"{odd} is not by the same lens and zoom as the others, whatever its file states.",
                "Leave it out, or take it again without zoom and do not edit it.",
                {"photo": odd},
            )
    return vetted.adjustment.photo


def _prior_spread(sight: Sight) -> FloatArray:
    """Standard deviations of the five constants by the header alone."""
    if sight.header is None:
        raise ValueError("a photo that could not be read has no lens")
    prior = lens_prior(sight.header)
    return np.array([prior.log_f_u, prior.centre_u_px, prior.centre_u_px, prior.k1_u, prior.k2_u])


def _one_key(names: Sequence[str], sights: Sequence[Sight], use: Sequence[int]) -> LensKey:
    keys = {lens_key(header): names[i] for i in use if (header := sights[i].header) is not None}
    if len(keys) > 1:
        first, second = list(keys.values())[:2]
        raise Refusal(
            "mixed-lenses",
            f"{first} and {second} are by different lenses, zooms or picture sizes.",
            "Make one profile for each, from photos taken with the same setting.",
        )
    return next(iter(keys))


def _adjusted(names: Sequence[str], sights: Sequence[Sight], use: Sequence[int]) -> WallAdjustment:
    request = WallRequest(photos=tuple(PhotoRequest(name) for name in names))
    built = build_network(request, sights, use)
    return WallAdjustment(built.network, None, built.starts_log_f())


def _share(
    names: Sequence[str], sights: Sequence[Sight], use: Sequence[int], photo: int, variance: float
) -> PhotoShare:
    rest = _fitted(names, sights, [i for i in use if i != photo])
    start = rest.layout.lens
    cards = sights[photo].cards
    return PhotoShare(
        name=names[photo],
        cards=len(cards),
        tilt_deg=max(card.tilt_deg for card in cards),
        f_gain=float(np.sqrt(rest.covariance[start, start] / variance)),
    )


def _not_determined(sights: Sequence[Sight], use: Sequence[int]) -> Refusal:
    tilts = [card.tilt_deg for i in use for card in sights[i].cards]
    straight = sum(tilt < STRAIGHT_ON_DEG for tilt in tilts)
    text = (
        f"{straight} of {len(tilts)} views of the card are straight on, and such views say "
        "nothing of the focal length."
    )
    if 2 * straight < len(tilts):
        text = "The views of the card are too much alike to say what its lens is like."
    return Refusal(
        "lens-not-determined",
        text,
        "Take photos with the card tilted 15° to 45° towards different sides, large in the frame.",
        {"tilts_deg": tilts},
    )
