"""What a header says of a camera beforehand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from vision.camera.prior import lens_key, lens_prior
from vision.photo.photograph import Header

PHONE = Header(4032, 3024, "Example", "One", focal_35mm_mm=26.0)


def test_equivalent_focal_length_refers_to_the_diagonal() -> None:
    """26 mm on 4032 x 3024 is 26 * 5040 / 43.2666 = 3028.7 px (CIPA DCG-001, diagonal rule)."""
    assert lens_prior(PHONE).f_px == pytest.approx(26 * 5040 / 43.2666, rel=1e-6)


def test_a_turned_photo_has_the_same_prior() -> None:
    """Portrait and landscape of one phone share the focal length."""
    turned = replace(PHONE, width_px=3024, height_px=4032, orientation=6)

    assert lens_prior(turned).f_px == pytest.approx(lens_prior(PHONE).f_px)
    assert lens_key(turned) == lens_key(PHONE)


def test_a_photo_turned_by_software_is_a_lens_group_of_its_own() -> None:
    """Portrait pixels with orientation 1 do not say which way the sensor lay."""
    turned = replace(PHONE, width_px=3024, height_px=4032, orientation=1)

    assert lens_key(turned) != lens_key(PHONE)


def test_a_wide_crop_lies_between_both_readings_of_its_focal_length() -> None:
    """On 16:9 the number may describe the crop or the whole 4:3 frame; the prior spans both."""
    crop = replace(PHONE, width_px=4000, height_px=2250)
    prior = lens_prior(crop)

    of_crop = 26 * (4000**2 + 2250**2) ** 0.5 / 43.2666
    of_frame = 26 * (4000**2 + 3000**2) ** 0.5 / 43.2666
    assert of_crop < prior.f_px < of_frame
    assert prior.log_f_u > lens_prior(PHONE).log_f_u


def test_digital_zoom_widens_the_prior() -> None:
    """Makers differ on whether the equivalent focal length includes the zoom."""
    zoomed = lens_prior(replace(PHONE, digital_zoom=2.0))

    assert zoomed.log_f_u >= 0.3
    assert zoomed.centre_u_px > lens_prior(PHONE).centre_u_px


def test_no_camera_data_gives_a_wide_prior() -> None:
    """Without a header the focal length is 0.75 of the long side within 15 %."""
    prior = lens_prior(Header(1600, 1200))

    assert prior.source == "none"
    assert prior.f_px == pytest.approx(1200)
    assert prior.log_f_u == pytest.approx(0.15)
