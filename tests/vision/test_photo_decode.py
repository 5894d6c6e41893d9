"""Photos decode upright and grey; everything else is refused with a way out."""

from __future__ import annotations

import contextlib
import zlib
from io import BytesIO
from typing import Final, Literal

import numpy as np
import pytest
from PIL import ExifTags, Image, ImageFile, ImageOps, TiffImagePlugin

from vision.errors import Refusal
from vision.photo.decode import Limits, decode_photo

SIZE: Final = (64, 48)


def picture() -> Image.Image:
    """Smooth, coloured, and different in every corner."""
    y, x = np.mgrid[0 : SIZE[1], 0 : SIZE[0]]
    planes = [x * 3 + 20, y * 4 + 10, 255 - x * 2 - y * 2]
    return Image.fromarray(np.clip(np.stack(planes, axis=2), 0, 255).astype(np.uint8))


def encode(image: Image.Image, kind: str, **options: object) -> bytes:
    stream = BytesIO()
    image.save(stream, kind, **options)
    return stream.getvalue()


def with_size_in_header(jpeg: bytes, width: int, height: int) -> bytes:
    """The same JPEG, its frame header (ITU-T T.81, B.2.2) claiming another size."""
    at = jpeg.index(b"\xff\xc0") + 5
    return jpeg[:at] + height.to_bytes(2) + width.to_bytes(2) + jpeg[at + 4 :]


def png_of_size(width: int, height: int) -> bytes:
    """A PNG header (ISO/IEC 15948, 11.2.2) claiming a size, with a right checksum."""
    body = b"IHDR" + width.to_bytes(4) + height.to_bytes(4) + bytes([8, 2, 0, 0, 0])
    data = b"\x89PNG\r\n\x1a\n" + (13).to_bytes(4) + body + zlib.crc32(body).to_bytes(4)
    packed = zlib.compress(b"")
    idat = b"IDAT" + packed
    return data + len(packed).to_bytes(4) + idat + zlib.crc32(idat).to_bytes(4)


def refused(data: bytes, limits: Limits | None = None) -> Refusal:
    with pytest.raises(Refusal) as caught:
        decode_photo(data, limits or Limits())
    return caught.value


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_grey_is_the_pictures_luma(kind: str) -> None:
    """ITU-R BT.601 luma, within what compression changes."""
    grey = decode_photo(encode(picture(), kind, quality=95)).grey
    red, green, blue = np.moveaxis(np.asarray(picture(), dtype=np.float64), 2, 0)
    luma = 0.299 * red + 0.587 * green + 0.114 * blue
    assert grey.shape == (SIZE[1], SIZE[0])
    assert np.abs(grey - luma).mean() < 2.0


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("kind", ["PNG", "JPEG", "WEBP"])
def test_every_orientation_is_applied_once(orientation: int, kind: str) -> None:
    """Pixels and header agree with another implementation of the Exif orientation."""
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = orientation
    data = encode(
        picture().convert("L"), kind, exif=exif, **({"lossless": True} if kind == "WEBP" else {})
    )
    photo = decode_photo(data)
    expected = np.asarray(ImageOps.exif_transpose(Image.open(BytesIO(data))).convert("L"))
    assert np.array_equal(photo.grey, expected)
    assert (photo.header.width_px, photo.header.height_px) == expected.shape[::-1]
    assert photo.header.orientation == orientation


def test_pixels_are_read_only() -> None:
    """A photograph is a value."""
    assert not decode_photo(encode(picture(), "PNG")).grey.flags.writeable


def test_a_photo_with_a_second_picture_gives_the_first() -> None:
    """Phones append a gain map or a preview (CIPA DC-007 multi-picture format)."""
    stream = BytesIO()
    second = Image.new("RGB", (10, 10))
    picture().save(stream, "MPO", save_all=True, append_images=[second])
    assert Image.open(stream).format == "MPO"
    assert decode_photo(stream.getvalue()).grey.shape == (SIZE[1], SIZE[0])


@pytest.mark.parametrize("mode", ["CMYK", "L"])
def test_jpegs_of_other_colour_spaces_decode_to_the_same_grey(mode: str) -> None:
    """A press JPEG and a grey one look like the coloured one."""
    usual = decode_photo(encode(picture(), "JPEG", quality=95)).grey.astype(float)
    other = decode_photo(encode(picture().convert(mode), "JPEG", quality=95)).grey.astype(float)
    assert np.abs(usual - other).mean() < 2.0


def test_sixteen_bit_png_keeps_its_tones() -> None:
    """High bytes count; nothing is clipped to white."""
    grey = np.asarray(picture().convert("L"))
    wide = Image.fromarray(grey.astype(np.uint16) * 257)
    assert np.array_equal(decode_photo(encode(wide, "PNG")).grey, grey)


def test_what_is_see_through_becomes_white_paper() -> None:
    """A transparent pixel's hidden colour is not part of the picture."""
    clear = Image.new("RGBA", SIZE, (0, 0, 0, 0))
    assert decode_photo(encode(clear, "PNG")).grey.min() == 255


def test_one_pixel_is_a_picture() -> None:
    """Small is not broken."""
    assert decode_photo(encode(picture().resize((1, 1)), "JPEG")).grey.shape == (1, 1)


@pytest.mark.parametrize("mode", ["P", "1"])
def test_palette_and_line_art_pngs_decode(mode: str) -> None:
    """Scans and screenshots come as these."""
    expected = np.asarray(picture().convert(mode).convert("RGB").convert("L"))
    assert np.array_equal(decode_photo(encode(picture().convert(mode), "PNG")).grey, expected)


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "empty"),
        (b"<!doctype html>", "not-a-photo"),
        (b"\x00" * 400, "not-a-photo"),
        (encode(picture().convert("P"), "GIF"), "not-a-photo"),
        (encode(picture(), "TIFF"), "not-a-photo"),
        (b"\x00\x00\x00\x18ftypavif" + b"\x00" * 40, "heic"),
        (b"\x00\x00\x00\x18ftypmif1" + b"\x00" * 40, "heic"),
    ],
)
def test_other_files_are_refused_by_their_content(data: bytes, code: str) -> None:
    """Magic bytes decide, and the refusal says what to send."""
    assert refused(data).code == code


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
@pytest.mark.parametrize("share", [0.03, 0.3, 0.6, 0.97])
def test_a_photo_cut_short_is_refused(kind: str, share: float) -> None:
    """No half picture is measured."""
    noise = np.random.default_rng(3).integers(0, 255, (60, 80, 3), dtype=np.uint8)
    data = encode(Image.fromarray(noise), kind)
    assert refused(data[: int(len(data) * share)]).code == "truncated"
    assert not ImageFile.LOAD_TRUNCATED_IMAGES


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_damaged_data_are_refused_or_decoded_never_a_crash(kind: str) -> None:
    """Two hundred random overwritings raise a refusal or give a picture of the header's size."""
    data = encode(picture(), kind)
    random = np.random.default_rng(5)
    for _ in range(200):
        broken = bytearray(data)
        for at in random.integers(3, len(data), 8):
            broken[at] = int(random.integers(0, 256))
        with contextlib.suppress(Refusal):
            photo = decode_photo(bytes(broken))
            assert photo.grey.shape == (photo.header.height_px, photo.header.width_px)


@pytest.mark.parametrize(
    "data",
    [
        with_size_in_header(encode(picture(), "JPEG"), 16320, 12240),
        with_size_in_header(encode(picture(), "JPEG"), 12000, 9000),
        png_of_size(16320, 12240),
        png_of_size(100_000, 100_000),
    ],
    ids=["200 MP", "108 MP", "200 MP PNG", "10 GP PNG"],
)
def test_too_many_pixels_are_refused_from_the_header(data: bytes) -> None:
    """The refusal says to leave the high-resolution mode, and no pixel is decoded."""
    refusal = refused(data)
    assert refusal.code == "too-many-pixels"
    assert "normal mode" in refusal.do


def test_a_48_megapixel_photo_is_within_the_limits() -> None:
    """The largest normal mode of phones is measured."""
    data = encode(Image.new("L", (8064, 6048), 128), "JPEG", quality=30)
    assert decode_photo(data).grey.shape == (6048, 8064)


def test_too_many_bytes_are_refused_before_decoding() -> None:
    """The byte limit counts the file, whatever it holds."""
    assert refused(encode(picture(), "PNG"), Limits(max_bytes=50)).code == "too-many-bytes"


def test_the_process_wide_limit_of_the_reader_is_left_alone() -> None:
    """Another user of the library in the same process sees its own settings."""
    before = Image.MAX_IMAGE_PIXELS
    refused(with_size_in_header(encode(picture(), "JPEG"), 16320, 12240))
    assert before == Image.MAX_IMAGE_PIXELS


def camera_exif(**changes: object) -> Image.Exif:
    exif = Image.Exif()
    exif[ExifTags.Base.Make] = changes.get("make", "Alcove Optics")
    exif[ExifTags.Base.Model] = changes.get("model", "A1")
    camera = exif.get_ifd(ExifTags.IFD.Exif)
    camera[ExifTags.Base.FocalLength] = changes.get("focal", 6.86)
    camera[ExifTags.Base.FocalLengthIn35mmFilm] = changes.get("focal_35mm", 26)
    camera[ExifTags.Base.DigitalZoomRatio] = changes.get("zoom", 1.0)
    camera[ExifTags.Base.LensModel] = changes.get("lens", "wide")
    return exif


def test_camera_facts_are_read_from_exif() -> None:
    """Make, model, lens, focal lengths and zoom (CIPA DC-008)."""
    header = decode_photo(encode(picture(), "JPEG", exif=camera_exif())).header
    assert (header.make, header.model, header.lens_model) == ("Alcove Optics", "A1", "wide")
    assert header.focal_mm == pytest.approx(6.86)
    assert (header.focal_35mm_mm, header.digital_zoom) == (26, 1)


def test_zeros_and_padding_in_exif_mean_unknown() -> None:
    """Focal length 0 and zoom 0 are the standard's 'unknown'; names end at the first NUL."""
    exif = camera_exif(focal=0.0, focal_35mm=0, zoom=0.0, make="Alcove\0\0junk", model="  ")
    header = decode_photo(encode(picture(), "JPEG", exif=exif)).header
    assert (header.focal_mm, header.focal_35mm_mm, header.digital_zoom) == (None, None, None)
    assert (header.make, header.model) == ("Alcove", None)


@pytest.mark.parametrize("focal", [1, 65535])
def test_an_absurd_focal_length_means_unknown(focal: int) -> None:
    """No lens of a phone has the equivalent of 1 mm, nor of 65 m: the field was never set."""
    header = decode_photo(encode(picture(), "JPEG", exif=camera_exif(focal_35mm=focal))).header
    assert header.focal_35mm_mm is None


def test_a_fraction_over_zero_in_exif_means_unknown() -> None:
    """n/0 is written by some cameras for 'infinite' or 'not measured'."""
    exif = camera_exif(focal=TiffImagePlugin.IFDRational(137, 20)).tobytes()
    fraction = (137).to_bytes(4, "little") + (20).to_bytes(4, "little")
    order: Literal["little", "big"] = "little" if fraction in exif else "big"
    fraction = (137).to_bytes(4, order) + (20).to_bytes(4, order)
    assert exif.count(fraction) == 1
    data = encode(picture(), "JPEG", exif=exif.replace(fraction, fraction[:4] + bytes(4)))
    assert decode_photo(data).header.focal_mm is None


@pytest.mark.parametrize("orientation", [0, 9, 255])
def test_an_impossible_orientation_is_ignored(orientation: int) -> None:
    """Only 1 to 8 have a meaning."""
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = orientation
    photo = decode_photo(encode(picture(), "JPEG", exif=exif))
    assert photo.header.orientation == 1
    assert photo.grey.shape == (SIZE[1], SIZE[0])


def test_a_photo_without_exif_has_only_its_size() -> None:
    """Messengers strip everything."""
    header = decode_photo(encode(picture(), "JPEG")).header
    assert (header.width_px, header.height_px) == SIZE
    assert header.make is None
    assert header.focal_35mm_mm is None


def test_garbage_instead_of_exif_does_not_lose_the_photo() -> None:
    """The pixels are what is needed."""
    data = encode(picture(), "JPEG", exif=b"Exif\0\0" + bytes(range(60)))
    assert decode_photo(data).grey.shape == (SIZE[1], SIZE[0])
