"""Cards on a neighbouring wall that a photo shows too: told by their plane, and left out.

An alcove's photos often show the wall beside, with its own cards. Such a card is far from lying in
the plane of this wall's cards, which each card's own pose tells well enough without any adjustment.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from math import cos, radians
from typing import Final

import numpy as np

from vision.adjust.placing import plane_poses
from vision.camera.prior import lens_prior
from vision.camera.projection import Intrinsics, undistort
from vision.card.design import card_design
from vision.card.found import FoundCard
from vision.measure_wall.request import WallRequest
from vision.measure_wall.sight import Sight
from vision.photo.photograph import Header
from vision.units import FloatArray

SAME_WALL_DEG: Final = 30.0
"""Corners of an alcove are square within a few degrees, and a small card's own plane is known to
some ten; half way to square is too much for the one and too little for the other."""


@dataclass(frozen=True)
class OwnWall:
    """Sights without other walls' cards, and the serials left out of each photo."""

    sights: tuple[Sight, ...]
    left_out: tuple[frozenset[int], ...]


def keep_own_wall(request: WallRequest, sights: Sequence[Sight]) -> OwnWall:
    """Leave out cards that lie in another plane than this wall's.

    Cards listed in the request are this wall's. Among others, those seen most often with one
    another are.
    """
    seen = Counter(card.serial for sight in sights for card in sight.cards)
    own = {card.serial for card in request.cards} | {request.datum_card} - {None}
    if own.issuperset(seen):
        return OwnWall(tuple(sights), tuple(frozenset() for _ in sights))
    apart = _apart(sights)
    for serial, _ in sorted(seen.items(), key=lambda item: (-item[1], item[0])):
        if not any(frozenset((serial, other)) in apart for other in own):
            own.add(serial)
    kept, left_out = [], []
    for sight in sights:
        cards = tuple(card for card in sight.cards if card.serial in own)
        kept.append(replace(sight, cards=cards))
        left_out.append(frozenset(card.serial for card in sight.cards) - own)
    return OwnWall(tuple(kept), tuple(left_out))


def _apart(sights: Sequence[Sight]) -> set[frozenset[int]]:
    """Pairs of serials that some photo shows in planes too far apart for one wall."""
    apart: set[frozenset[int]] = set()
    for sight in sights:
        if sight.header is None or len(sight.cards) < 2:
            continue
        normals = {card.serial: _normals(sight.header, card) for card in sight.cards}
        for (one, first), (other, second) in combinations(normals.items(), 2):
            if len(first) and len(second):
                closest = float(np.max(first @ second.T))
                if closest < cos(radians(SAME_WALL_DEG)):
                    apart.add(frozenset((one, other)))
    return apart


def _normals(header: Header, card: FoundCard) -> FloatArray:
    """Unit normals (k, 3), camera frame, of the poses that fit a card."""
    f = np.full(len(card.pixels), lens_prior(header).f_px)
    middle = (header.width_px - 1) / 2, (header.height_px - 1) / 2
    zero = np.zeros_like(f)
    camera = Intrinsics(f, zero + middle[0], zero + middle[1], zero, zero)
    poses = plane_poses(
        card_design(card.serial).corners_mm[card.corner_ids], undistort(card.pixels, camera)
    )
    return np.array([pose.rotation[:, 2] for pose in poses]).reshape(-1, 3)
