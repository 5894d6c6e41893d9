"""Lens profiles that no camera has, each refused by the place in the file."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from service.errors import FileError
from service.files.lens_profile import LensProfileFile
from service.files.loading import load_model

PROFILE: dict[str, Any] = {
    "group": {
        "make": "Example",
        "model": "One",
        "lens_model": None,
        "long_px": 4032,
        "short_px": 3024,
        "turned": False,
        "focal_35mm_mm": 26.0,
        "focal_mm": None,
        "digital_zoom": None,
    },
    "constants": [8.0, 12.0, -7.0, 0.02, 0.0],
    "covariance": [[1e-6 if i == j else 0.0 for j in range(5)] for i in range(5)],
    "photos": 6,
}


def load(folder: Path, value: dict[str, Any]) -> LensProfileFile:
    path = folder / "profile.json"
    path.write_text(json.dumps(value), encoding="utf-8")
    return load_model(path, LensProfileFile)


def test_a_profile_is_read(tmp_path: Path) -> None:
    """The profile that the refusals are made from is a good one."""
    assert load(tmp_path, PROFILE).constants[0] == 8.0


@pytest.mark.parametrize(
    ("field", "said", "change"),
    [
        ("constants[0]", "at most 13", lambda v: v["constants"].__setitem__(0, 1e6)),
        ("constants[0]", "at least 4", lambda v: v["constants"].__setitem__(0, -1e6)),
        ("constants[1]", "at most 100000", lambda v: v["constants"].__setitem__(1, 1e300)),
        ("constants[3]", "at least -100", lambda v: v["constants"].__setitem__(3, -1e300)),
        ("constants[4]", "missing", lambda v: v["constants"].pop()),
        ("group.focal_mm", "at least", lambda v: v["group"].update(focal_mm=0)),
        ("photos", "at least 1", lambda v: v.update(photos=0)),
    ],
)
def test_a_lens_that_no_camera_has_is_refused(
    tmp_path: Path, field: str, said: str, change: Callable[[dict[str, Any]], object]
) -> None:
    """A focal length of e to the million ended as a fault of the program."""
    value = json.loads(json.dumps(PROFILE))
    change(value)

    with pytest.raises(FileError) as caught:
        load(tmp_path, value)

    assert caught.value.field == field
    assert said in caught.value.expected
