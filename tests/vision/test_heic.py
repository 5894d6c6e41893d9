"""HEIC photos are read as JPEGs are where the extra is installed, and refused where it is not."""

from __future__ import annotations

import contextlib
from io import BytesIO
from typing import Final

import numpy as np
import pillow_heif
import pytest
from PIL import ExifTags, Image, ImageOps

from tests.support.board_render import Camera, Scene, photograph, place
from tests.vision.test_photo_decode import SIZE, camera_exif, encode, picture, refused
from vision.camera.prior import lens_key
from vision.errors import Refusal
from vision.measure_wall import look
from vision.photo import heif
from vision.photo.decode import decode_colour, decode_photo
from vision.photo.views import make_views

_FAST: Final = {"preset": "ultrafast"}


def heic(
    image: Image.Image,
    exif: Image.Exif | None = None,
    *,
    quality: int = -1,
    tile_px: int | None = None,
) -> bytes:
    """A file by the library's own encoder, in tiles as phones write; -1 keeps every tone."""
    stream = BytesIO()
    told = {} if exif is None else {"exif": exif.tobytes()}
    cut = {} if tile_px is None else {"tile_size": tile_px}
    made = pillow_heif.from_pillow(image)
    chroma = "444" if quality < 0 else "420"
    made.save(stream, quality=quality, chroma=chroma, enc_params=_FAST, **told, **cut)
    return stream.getvalue()


def turned(orientation: int) -> Image.Exif:
    exif = camera_exif()
    exif[ExifTags.Base.Orientation] = orientation
    return exif


@pytest.mark.parametrize("orientation", range(1, 9))
def test_every_orientation_is_applied_once(orientation: int) -> None:
    """Pixels, colour picture and header are those of a PNG with the same Exif orientation; the
    file turns its picture by boxes of its own, and the Exif value repeats what they do."""
    exif = turned(orientation)
    photo = decode_photo(heic(picture(), exif))
    of_png = decode_photo(encode(picture(), "PNG", exif=exif))
    colour = decode_colour(heic(picture(), exif))

    assert photo.grey.shape == of_png.grey.shape
    assert np.abs(photo.grey.astype(float) - of_png.grey).max() <= 2
    assert photo.header == of_png.header
    stored = Image.open(BytesIO(encode(picture(), "PNG", exif=exif)))
    expected = np.asarray(ImageOps.exif_transpose(stored).convert("RGB"), dtype=float)
    assert np.abs(np.asarray(colour, dtype=float) - expected).max() <= 4


@pytest.mark.parametrize("orientation", [1, 6])
def test_the_camera_is_that_of_the_phones_jpeg(orientation: int) -> None:
    """A phone that keeps some photos as JPEG and some as HEIC has one lens, held either way."""
    exif = turned(orientation)
    header = decode_photo(heic(picture(), exif)).header

    assert (header.make, header.focal_35mm_mm) == ("Alcove Optics", 26.0)
    assert lens_key(header) == lens_key(decode_photo(encode(picture(), "JPEG", exif=exif)).header)
    level = decode_photo(encode(picture(), "JPEG", exif=turned(1))).header
    assert lens_key(header) == lens_key(level)


def test_tiles_are_put_together() -> None:
    """Phones keep a grid of tiles; the picture has no seam and its own size."""
    image = picture().resize((1100, 700))
    grey = decode_photo(heic(image, tile_px=512)).grey

    assert grey.shape == (700, 1100)
    assert np.abs(grey - np.asarray(image.convert("L"), dtype=float)).max() <= 2


def test_a_card_is_found_where_it_is_in_the_jpeg() -> None:
    """As strongly packed as phones do, the card's corners agree to a tenth of a pixel."""
    scene = Scene((place(3, tilt_deg=15, distance_mm=900),), Camera((1600, 1200), 1502.0))
    shot = Image.fromarray(photograph(scene)).convert("RGB")
    by_jpeg, by_heic = look(encode(shot, "JPEG", quality=92)), look(heic(shot, quality=50))

    (there,), (here,) = by_jpeg.cards, by_heic.cards
    assert np.array_equal(here.corner_ids, there.corner_ids)
    assert float(np.sqrt(np.mean((here.pixels - there.pixels) ** 2))) < 0.1


@pytest.mark.parametrize("tile_px", [None, 64])
@pytest.mark.parametrize("share", [0.0005, 0.003, 0.03, 0.3, 0.6, 0.97, 0.99999])
def test_a_photo_cut_short_is_refused(share: float, tile_px: int | None) -> None:
    """No half picture is measured, though the reader gives one of tiles, black where they lack."""
    noise = np.random.default_rng(3).integers(0, 255, (150, 200, 3), dtype=np.uint8)
    data = heic(Image.fromarray(noise), tile_px=tile_px)

    assert refused(data[: int(len(data) * share)]).code == "truncated"


def test_damaged_data_are_refused_or_decoded_never_a_crash() -> None:
    """Random overwritings of boxes and picture raise a refusal or give the header's size."""
    data = heic(picture(), turned(6), quality=60)
    random = np.random.default_rng(5)
    for turn in range(400):
        broken = bytearray(data)
        end = len(data) if turn % 2 else data.index(b"mdat")
        for at in random.integers(12, end, random.integers(1, 9)):
            broken[at] = int(random.integers(0, 256))
        with contextlib.suppress(Refusal):
            photo = decode_photo(bytes(broken))
            assert photo.grey.shape == (photo.header.height_px, photo.header.width_px)


def test_too_many_pixels_are_refused_from_the_header() -> None:
    """By what the file says (`ispe`, ISO/IEC 23008-12, 6.5.3), and no pixel is decoded."""
    data, said = heic(picture().resize((128, 64))), (128).to_bytes(4) + (64).to_bytes(4)
    claim = (16320).to_bytes(4) + (12240).to_bytes(4)
    assert data.count(b"ispe") == data.count(said) == 1

    assert refused(data.replace(said, claim)).code == "too-many-pixels"


def test_pictures_to_look_at_carry_nothing_of_the_file() -> None:
    """The preview and the tiles of a HEIC are plain JPEGs, without camera or place."""
    exif = turned(6)
    exif.get_ifd(ExifTags.IFD.GPSInfo)[ExifTags.GPS.GPSLatitudeRef] = "N"
    views = list(make_views(heic(picture(), exif)))

    assert Image.open(BytesIO(views[0].jpeg)).size == SIZE[::-1]
    assert all(not Image.open(BytesIO(view.jpeg)).getexif() for view in views)


def test_without_the_extra_it_is_refused_with_what_to_do(monkeypatch: pytest.MonkeyPatch) -> None:
    """The refusal names the format and the way out; nothing else changes."""
    monkeypatch.setattr(heif, "_READER", None)

    refusal = refused(heic(picture()))

    assert not heif.reads_heic()
    assert refusal.code == "heic"
    assert "HEIC" in refusal.text
    assert "JPEG" in refusal.do
    assert decode_photo(encode(picture(), "JPEG")).header.width_px == SIZE[0]


def box(*names: bytes) -> bytes:
    """A first box with these brands (ISO/IEC 14496-12, 4.3), and nothing after it."""
    body = b"ftyp" + names[0] + bytes(4) + b"".join(names[1:])
    return (len(body) + 4).to_bytes(4) + body + bytes(40)


@pytest.mark.parametrize(
    ("names", "name"),
    [((b"avif", b"mif1"), "AVIF"), ((b"mif1", b"avif"), "AVIF"), ((b"mif1",), "HEIF")],
)
def test_relatives_are_refused_by_their_own_name(names: tuple[bytes, ...], name: str) -> None:
    """The first brand may be the family's; those it goes on with tell what it is."""
    refusal = refused(box(*names))

    assert refusal.code == "heic"
    assert f"the {name} format" in refusal.text


def test_a_file_of_the_familys_brand_is_read_by_the_brands_that_follow() -> None:
    """Some phones put the family's brand first, and HEVC's after it."""
    data = heic(picture(), quality=90)
    assert data[8:12] == b"heic"
    assert b"heic" in data[16 : int.from_bytes(data[:4])]

    assert decode_photo(data.replace(b"ftypheic", b"ftypmif1", 1)).header.width_px == SIZE[0]


def test_what_a_maker_appends_does_not_lose_the_photo() -> None:
    """A trailer that is no box, or a box of its own that is cut, lies behind the picture."""
    data = heic(picture(), quality=90)
    for trailer in (b"trailer of some maker", (5000).to_bytes(4) + b"mpvd" + bytes(40), b"\0" * 20):
        assert decode_photo(data + trailer).header.width_px == SIZE[0]


def test_a_video_is_none() -> None:
    """Its first box has brands too."""
    assert refused(box(b"isom", b"mp42")).code == "not-a-photo"
