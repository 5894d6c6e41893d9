"""The network of one wall, built from the request and what the photos show."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import exp, hypot, log
from typing import Final

import numpy as np

from vision.adjust.network import (
    Lens,
    Mark,
    Network,
    Shot,
    Sightings,
    SquareCorner,
    join_curves,
    join_sightings,
)
from vision.camera.prior import LensKey, LensPrior, lens_key, lens_prior
from vision.camera.profile import LensProfile
from vision.card.found import FoundCard
from vision.measure_wall.request import PhotoRequest, RectangleRequest, Tap, WallRequest
from vision.measure_wall.sheets import Sheets, gather_sheets
from vision.measure_wall.sight import Sight
from vision.measure_wall.straight import (
    edge_sightings,
    known_directions,
    line_sightings,
    wall_lines,
)
from vision.photo.photograph import Header
from vision.units import FloatArray, read_only

SENSOR_TURNS: Final = {
    1: ((1, 0), (0, 1)),
    2: ((-1, 0), (0, 1)),
    3: ((-1, 0), (0, -1)),
    4: ((1, 0), (0, -1)),
    5: ((0, 1), (1, 0)),
    6: ((0, -1), (1, 0)),
    7: ((0, -1), (-1, 0)),
    8: ((0, 1), (-1, 0)),
}
"""Linear part of the map from stored to upright pixels, by EXIF orientation (CIPA DC-008)."""


_CIRCLE: Final = read_only(np.eye(2))


@dataclass(frozen=True)
class Built:
    """A network and the names behind its indices."""

    network: Network
    sheets: Sheets
    marks: dict[str, int]
    photos: tuple[int, ...]
    lens_priors: tuple[LensPrior, ...]
    spare_lenses: tuple[Lens | None, ...] = ()
    """For each lens with a profile what its photos' header says of it."""

    def starts_log_f(self) -> list[FloatArray]:
        """Focal lengths to start from; lenses of one source are moved together."""
        tries = max((len(prior.f_starts_px) for prior in self.lens_priors), default=0)
        return [
            np.array(
                [
                    log(prior.f_starts_px[min(i, len(prior.f_starts_px) - 1)])
                    for prior in self.lens_priors
                ]
            )
            for i in range(tries)
        ]


def build_network(request: WallRequest, sights: Sequence[Sight], use: Sequence[int]) -> Built:
    """Network of the photos with indices ``use``; raises what ``gather_sheets`` raises."""
    photos = [(index, request.photos[index], sights[index]) for index in use]
    named = {photo.name for _, photo, _ in photos}
    rectangles = [r for r in request.rectangles if named & {*r.corners_px, *r.edges_px}]
    sheets = gather_sheets(
        [sight for _, _, sight in photos],
        request.cards,
        rectangles,
        request.datum_card,
        request.habits,
    )
    headers = [_header(sight) for _, _, sight in photos]
    lenses, priors, spare, lens_of = _lenses(headers, request.profiles)
    shots = tuple(
        _shot(photo, header, lens)
        for (_, photo, _), header, lens in zip(photos, headers, lens_of, strict=True)
    )
    marks = _marks([photo for _, photo, _ in photos], request)
    index = {mark.name: i for i, mark in enumerate(marks)}
    shot_of = {photo.name: shot for shot, (_, photo, _) in enumerate(photos)}
    lines = [line for line in request.lines if named & set(line.points_px)]
    tables: list[Sightings] = []
    curves = line_sightings(lines, shot_of)
    edges: list[float] = []
    for shot, (_, photo, sight) in enumerate(photos):
        tables += [_card_rows(shot, sheets, card) for card in sight.cards]
        tables += [_tap_rows(shot, index, photo.taps)] if photo.taps else []
        for rectangle in (each for each in rectangles if not each.is_nominal):
            sheet = sheets.rectangle_index[rectangle.name]
            if photo.name in rectangle.corners_px:
                tables.append(_rectangle_rows(shot, sheet, rectangle, photo.name, len(edges)))
            elif photo.name in rectangle.edges_px:
                curves += edge_sightings(rectangle, sheet, photo.name, shot, len(edges))
            else:
                continue
            edges.append(rectangle.edge_u_px)
    network = Network(
        lenses=lenses,
        shots=shots,
        scale_groups=sheets.scale_groups,
        sheets=sheets.sheets,
        marks=marks,
        sightings=join_sightings(tables),
        datum_sheet=sheets.datum,
        edge_u_px=np.array(edges, dtype=np.float64),
        square_corners=_square_corners(request, index),
        lines=wall_lines(lines, request.habits.flatness_u_mm),
        curves=join_curves(curves),
        directions=known_directions(lines),
    )
    return Built(network, sheets, index, tuple(use), priors, spare)


def line_marks(line: tuple[str, str] | None, marks: dict[str, int]) -> tuple[int, int] | None:
    """Indices of a line's two marks, or None if either is not seen."""
    if line is None or line[0] not in marks or line[1] not in marks:
        return None
    return marks[line[0]], marks[line[1]]


def _header(sight: Sight) -> Header:
    if sight.header is None:
        raise ValueError("a photo that could not be read cannot take part")
    return sight.header


def _lenses(
    headers: Sequence[Header], profiles: Sequence[LensProfile]
) -> tuple[tuple[Lens, ...], tuple[LensPrior, ...], tuple[Lens | None, ...], list[int]]:
    by_key: dict[LensKey, int] = {}
    lenses: list[Lens] = []
    spare: list[Lens | None] = []
    priors: list[LensPrior] = []
    lens_of: list[int] = []
    for header in headers:
        key = lens_key(header)
        if key not in by_key:
            known = next((profile for profile in profiles if profile.key == key), None)
            prior = lens_prior(header)
            by_key[key] = len(lenses)
            by_header = _lens(_group_name(key), prior)
            spare.append(None if known is None else by_header)
            if known is None:
                lenses.append(by_header)
            else:
                prior = replace(prior, source="profile", f_starts_px=(exp(known.mean[0]),))
                lenses.append(Lens(_group_name(key), "profile", known.mean, known.covariance))
            priors.append(prior)
        lens_of.append(by_key[key])
    return tuple(lenses), tuple(priors), tuple(spare), lens_of


def _lens(name: str, prior: LensPrior) -> Lens:
    spread = np.array([prior.log_f_u, prior.centre_u_px, prior.centre_u_px, prior.k1_u, prior.k2_u])
    mean = np.array([log(prior.f_px), 0.0, 0.0, 0.0, 0.0])
    return Lens(name, prior.source, read_only(mean), read_only(np.diag(spread**2)))


def _group_name(key: LensKey) -> str:
    camera = " ".join(word for word in (key.make, key.model) if word) or "unknown camera"
    focal = f", {key.focal_35mm_mm:g} mm equivalent" if key.focal_35mm_mm else ""
    return f"{camera}, {key.long_px} x {key.short_px}{focal}"


def _shot(photo: PhotoRequest, header: Header, lens: int) -> Shot:
    prior = lens_prior(header)
    turn = np.array(SENSOR_TURNS.get(header.orientation, SENSOR_TURNS[1]), dtype=np.float64)
    return Shot(
        name=photo.name,
        lens=lens,
        width_px=header.width_px,
        height_px=header.height_px,
        sensor_turn=read_only(turn),
        focus_u=prior.focus_u,
        stabiliser_u_px=prior.stabiliser_u_px,
    )


def _marks(photos: Sequence[PhotoRequest], request: WallRequest) -> tuple[Mark, ...]:
    """Marks in order of first sight; the first photo that states a stand-off decides it."""
    taps: dict[str, Tap] = {}
    for photo in photos:
        for tap in photo.taps:
            known = taps.get(tap.name)
            if known is None or (known.standoff_mm is None and tap.standoff_mm is not None):
                taps[tap.name] = tap
    flatness = request.habits.flatness_u_mm
    return tuple(
        Mark(tap.name, tap.standoff_mm or 0.0, hypot(tap.standoff_u_mm, flatness))
        for tap in taps.values()
    )


def _card_rows(shot: int, sheets: Sheets, card: FoundCard) -> Sightings:
    count = len(card.corner_ids)
    return Sightings(
        shot=np.full(count, shot),
        sheet=np.full(count, sheets.card_index[card.serial]),
        point=card.corner_ids.astype(np.int64),
        pixels=card.pixels,
        covariance_px2=card.covariance_px2,
        defined_mm=np.zeros(count),
        edge=np.full(count, -1),
        edge_direction=np.zeros((count, 2)),
    )


def _tap_rows(shot: int, marks: dict[str, int], taps: Sequence[Tap]) -> Sightings:
    count = len(taps)
    return Sightings(
        shot=np.full(count, shot),
        sheet=np.full(count, -1),
        point=np.array([marks[tap.name] for tap in taps]),
        pixels=np.array([tap.at_px for tap in taps], dtype=np.float64),
        covariance_px2=np.array([_tap_covariance(tap) for tap in taps]),
        defined_mm=np.array([tap.defined_mm for tap in taps]),
        edge=np.full(count, -1),
        edge_direction=np.zeros((count, 2)),
    )


def _tap_covariance(tap: Tap) -> FloatArray:
    if tap.covariance_px2 is None:
        return tap.sd_px**2 * _CIRCLE
    return np.array(tap.covariance_px2, dtype=np.float64)


def _rectangle_rows(
    shot: int, sheet: int, rectangle: RectangleRequest, photo: str, edge: int
) -> Sightings:
    """Four corners, each with an own error, and one offset common to all four edges."""
    corners = np.array(rectangle.corners_px[photo], dtype=np.float64)
    return Sightings(
        shot=np.full(4, shot),
        sheet=np.full(4, sheet),
        point=np.arange(4),
        pixels=corners,
        covariance_px2=np.tile(np.eye(2) * rectangle.edge_u_px**2, (4, 1, 1)),
        defined_mm=np.zeros(4),
        edge=np.full(4, edge),
        edge_direction=_outward(corners),
    )


def _outward(corners: FloatArray) -> FloatArray:
    """How each corner moves when all edges move out by one pixel.

    The corner where edges with outward normals n and m meet moves by (n + m) / (1 + n.m).
    """
    along = np.roll(corners, -1, axis=0) - corners
    unit = along / np.linalg.norm(along, axis=1)[:, None]
    normals = np.column_stack([-unit[:, 1], unit[:, 0]])
    middle = corners.mean(axis=0)
    outward = np.sign(np.sum(normals * (corners - middle), axis=1))
    normals = normals * outward[:, None]
    before = np.roll(normals, 1, axis=0)
    return np.asarray((normals + before) / (1 + np.sum(normals * before, axis=1))[:, None])


def _square_corners(request: WallRequest, marks: dict[str, int]) -> tuple[SquareCorner, ...]:
    level, plumb = line_marks(request.level, marks), line_marks(request.plumb, marks)
    if level is None or plumb is None:
        return ()
    return (SquareCorner(level, plumb, request.habits.square_u_rad),)
