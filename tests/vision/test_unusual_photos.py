"""Panoramas, screenshots, crops, edits, shrunk and very large pictures: used, or refused aloud."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from math import hypot, log

import numpy as np
import pytest
from PIL import ExifTags, Image

from tests.support.board_render import Camera, Finish, Scene, photograph, place, project, tiled_wall
from tests.vision.test_photo_decode import with_size_in_header
from vision.camera.prior import lens_key, lens_prior
from vision.errors import Refusal
from vision.measure_wall import (
    CardRequest,
    PhotoRequest,
    PrintCheck,
    Sight,
    SizeRequest,
    Tap,
    WallRequest,
    look,
    measure_wall,
    photo_advice,
)
from vision.measure_wall.record import sight_from_record, sight_record
from vision.photo.decode import Limits, decode_photo
from vision.photo.photograph import Header
from vision.photo.unusual import has_flat_bars
from vision.units import FloatArray, GreyImage

HISTORY = b'<x xmlns:stEvt="t"><rdf:li stEvt:action="saved"/></x>'
PANORAMA = b'<x xmlns:GPano="g"><rdf:Description GPano:ProjectionType="cylindrical"/></x>'


def encoded(
    grey: GreyImage,
    *,
    stated: tuple[int, int] | None = None,
    f35: int | None = 26,
    comment: str | None = None,
    xmp: bytes = b"",
    kind: str = "JPEG",
) -> bytes:
    """A photo file with such metadata."""
    exif = Image.Exif()
    camera = exif.get_ifd(ExifTags.IFD.Exif)
    if f35 is not None:
        exif[ExifTags.Base.Make] = "Example"
        camera[ExifTags.Base.FocalLengthIn35mmFilm] = f35
    if stated is not None:
        camera[ExifTags.Base.ExifImageWidth], camera[ExifTags.Base.ExifImageHeight] = stated
    if comment is not None:
        camera[ExifTags.Base.UserComment] = b"ASCII\0\0\0" + comment.encode()
    stream = BytesIO()
    options = {"xmp": xmp} if xmp else {}
    Image.fromarray(grey).save(stream, kind, exif=exif, **options)
    return stream.getvalue()


def blank(width: int, height: int) -> GreyImage:
    """A grey ramp."""
    return np.tile(np.linspace(60, 180, width).astype(np.uint8), (height, 1))


def header_of(data: bytes) -> Header:
    sight = look(data)
    assert sight.header is not None, sight.refusal
    return sight.header


def said(data: bytes) -> list[str]:
    """Advice codes on a photo by itself."""
    sight = look(data)
    return [item.code for item in photo_advice(WallRequest((PhotoRequest("a"),)), [sight], 0, None)]


@pytest.mark.parametrize(
    "data",
    [encoded(blank(900, 400)), encoded(blank(400, 900)), encoded(blank(640, 480), xmp=PANORAMA)],
    ids=["wide", "tall", "stitched"],
)
def test_panoramas_are_refused_with_what_to_do(data: bytes) -> None:
    """By shape or by what the file says; the advice is to take normal photos."""
    refusal = look(data).refusal
    assert refusal is not None
    assert refusal.code == "panorama"
    assert "two places" in refusal.do
    assert said(data) == ["panorama"]


@pytest.mark.parametrize("size", [(12000, 9000), (16320, 12240)], ids=["108 MP", "200 MP"])
def test_the_largest_modes_are_refused_before_decoding(size: tuple[int, int]) -> None:
    """By the header alone, with the mode to switch off."""
    with pytest.raises(Refusal) as caught:
        decode_photo(with_size_in_header(encoded(blank(64, 48)), *size), Limits())
    assert caught.value.code == "too-many-pixels"
    assert "normal mode" in caught.value.do


def test_an_untouched_photo_is_as_taken() -> None:
    """The sides that the camera wrote down, either way round, mean nothing was done."""
    for stated in ((640, 480), (480, 640)):
        assert header_of(encoded(blank(640, 480), stated=stated)).altered is None
    assert said(encoded(blank(640, 480), stated=(640, 480))) == ["no-card-in-photo"]


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (encoded(blank(320, 240), stated=(4032, 3024)), "ask-for-original"),
        (encoded(blank(1600, 1200), f35=None), "ask-for-original"),
        (encoded(blank(500, 480), stated=(640, 480)), "photo-cropped"),
        (encoded(blank(640, 480), xmp=HISTORY), "photo-edited"),
        (encoded(blank(640, 480), comment="Screenshot"), "screenshot"),
    ],
    ids=["shrunk", "stripped", "cropped", "edited", "screenshot"],
)
def test_altered_photos_say_so(data: bytes, code: str) -> None:
    """Each is used and advised on under its own code."""
    assert look(data).refusal is None
    assert code in said(data)


def test_bars_of_one_grey_make_a_screenshot() -> None:
    """No camera data, a screen's shape and even bars on two ends; noise in them is a photo."""
    picture = blank(720, 1520).copy()
    picture[:200], picture[-120:] = 0, 0
    assert header_of(encoded(picture, f35=None, kind="PNG")).altered == "screenshot"
    assert header_of(encoded(picture, kind="PNG")).altered is None
    noise = np.random.default_rng(3).integers(0, 4, picture.shape, dtype=np.uint8)
    assert not has_flat_bars(picture + noise)
    assert has_flat_bars(np.ascontiguousarray(picture.T))


def test_shrinking_keeps_the_field_of_view() -> None:
    """Half the size, half the focal length, as well known as before."""
    whole = Header(4032, 3024, focal_35mm_mm=26.0)
    half = replace(whole, width_px=2016, height_px=1512, stated_long_px=4032, stated_short_px=3024)
    half = replace(half, altered="resized")
    assert lens_prior(half).f_px == pytest.approx(lens_prior(whole).f_px / 2)
    assert lens_prior(half).log_f_u == lens_prior(whole).log_f_u


def test_a_crop_is_by_the_lens_of_its_whole_frame() -> None:
    """f by the whole frame's diagonal (CIPA DCG-001), one lens with the whole photos; this
    exposure's middle off by what is cut off, uniform: half of it over the root of three."""
    whole = Header(4032, 3024, focal_35mm_mm=26.0)
    crop = replace(whole, width_px=3000, height_px=2800, altered="cropped")
    crop = replace(crop, stated_long_px=4032, stated_short_px=3024)
    prior = lens_prior(crop)
    assert lens_key(crop) == lens_key(whole)
    assert prior.f_px == pytest.approx(26.0 * hypot(4032, 3024) / hypot(36, 24))
    assert prior.stabiliser_u_px == pytest.approx(1032 / (2 * 3**0.5), rel=0.01)
    assert 0.02 < prior.focus_u < log(3024 / 2800)


@pytest.mark.parametrize("kind", ["screenshot", "edited"])
def test_unsure_pictures_get_a_wide_prior(kind: str) -> None:
    """This exposure's focal length to 30 %, its middle to 5 % of the long side at least."""
    prior = lens_prior(Header(2000, 1500, focal_35mm_mm=26.0, altered=kind))  # type: ignore[arg-type]
    assert prior.focus_u >= 0.3
    assert prior.stabiliser_u_px >= 100


def test_kept_sights_keep_what_was_done() -> None:
    """A sight written down and read back is the same."""
    sight = look(encoded(blank(500, 480), stated=(640, 480)))
    assert sight_from_record(sight_record(sight)).header == sight.header


CAMERA = Camera((2000, 1500), 1502.0, 0.01)
MARKS = {"left": (-250.0, 60.0), "right": (480.0, 330.0)}


def card_photos(crop: tuple[int, int, int, int] | None) -> tuple[list[bytes], list[FloatArray]]:
    """Two photos of a card at its true size, the first perhaps cut; exact pixels of two marks."""
    files, pixels = [], []
    for number, (tilt, turn) in enumerate(((14.0, 22.0), (-18.0, -20.0))):
        card = place(1, distance_mm=900, tilt_deg=tilt, turn_deg=turn)
        finish = Finish(blur_px=0.8, jpeg=None, seed=number)
        grey = photograph(Scene((card,), CAMERA, finish, wall=tiled_wall(), samples=3))
        at = project(np.array([[*xy, 0.0] for xy in MARKS.values()]), card, CAMERA)
        if crop is not None and number == 0:
            left, top, right, bottom = crop
            grey, at = np.ascontiguousarray(grey[top:bottom, left:right]), at - (left, top)
        files.append(encoded(grey, stated=CAMERA.size))
        pixels.append(at)
    return files, pixels


def interval(files: list[bytes], pixels: list[FloatArray]) -> tuple[float, float]:
    """The size between the two marks and its standard uncertainty."""
    photos = tuple(
        PhotoRequest(
            str(i),
            tuple(Tap(n, (float(x), float(y)), 0.5) for n, (x, y) in zip(MARKS, at, strict=True)),
        )
        for i, at in enumerate(pixels)
    )
    checks = (PrintCheck("x", 170.0, 170.0, 0.02), PrintCheck("y", 240.0, 240.0, 0.02))
    cards = (CardRequest(1, standoff_mm=0.0, standoff_u_mm=0.1, checks=checks),)
    request = WallRequest(photos, cards, sizes=(SizeRequest("s", "distance", "left", "right"),))
    sights: list[Sight] = [look(data) for data in files]
    found = measure_wall(request, sights).estimates()
    return float(found.mm[0]), float(np.sqrt(found.covariance_mm2[0, 0]))


def test_a_cropped_photo_is_used_and_its_interval_holds() -> None:
    """The true size lies within 2.6 u, by the whole photo, by the cut one, and by the cut one with
    a whole one beside it, which narrows it."""
    true_mm = hypot(*np.subtract(MARKS["right"], MARKS["left"]))
    (whole, *_), (pixels, *_) = card_photos(None)
    files, at = card_photos((0, 100, 1640, 1500))
    found, whole_u = interval([whole], [pixels])
    cut, cut_u = interval(files[:1], at[:1])
    both, both_u = interval(files, at)
    for value, u in ((found, whole_u), (cut, cut_u), (both, both_u)):
        assert abs(value - true_mm) < 2.6 * u
    assert cut_u > 0.9 * whole_u
    assert both_u < cut_u
