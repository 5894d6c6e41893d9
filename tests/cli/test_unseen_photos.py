"""``tapeproof measure`` as a stranger meets it: photos composed by means of their own, with slips.

The wall is a photo of a painted wall by others (``graf1.png``), the cards are the sheets of
``tapeproof card`` as a PDF reader draws them.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass, replace
from math import hypot
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import pytest
from PIL import ExifTags, Image

from service.actions.card import card_page
from service.cli import main
from tests.support.composed_photo import (
    Camera,
    Hung,
    Picture,
    drawn_page,
    light_of,
    photographed,
    wall_from,
)
from tests.support.outside import find_outside

pytestmark = pytest.mark.outside_data

SIZE = (1600, 1200)
F35 = 26
F_PX = F35 * hypot(*SIZE) / hypot(36, 24) * 1.011
LEFT = Camera(SIZE, F_PX, (280.0, 800.0, 1400.0), (760.0, 720.0, 0.0), 2.0)
RIGHT = Camera(SIZE, F_PX * 1.002, (1240.0, 640.0, 1430.0), (760.0, 700.0, 0.0), -3.0)
SCALE = (0.9972, 0.9991)
MARKS = {
    "line-a": (60.0, 700.0),
    "line-b": (1460.0, 700.0),
    "left-low": (80.0, 260.0),
    "right-low": (1400.0, 260.0),
    "left-top": (90.0, 1120.0),
    "right-top": (1390.0, 1130.0),
    "valve": (460.0, 640.0),
}
SIZES = [
    ("width low", "left-low", "right-low"),
    ("width top", "left-top", "right-top"),
    ("height left", "left-low", "left-top"),
    ("diagonal", "left-low", "right-top"),
    ("valve", "left-low", "valve"),
]


@dataclass(frozen=True)
class Kit:
    """Where the made photos lie, and what makes more of them."""

    folder: Path
    wall: Any
    cards: tuple[Hung, Hung]

    def photo(self, name: str, camera: Camera, *cards: Hung, f35: int | None = F35) -> Path:
        path = self.folder / name
        light = light_of(self.wall, cards or self.cards, camera)
        write(path, photographed(light, len(name)), f35)
        return path


@pytest.fixture(scope="module")
def kit(tmp_path_factory: pytest.TempPathFactory) -> Kit:
    """Two photos of the wall, a.jpg and b.jpg, as the advice has them taken."""
    photo = cv2.imread(str(find_outside("graf1.png")))
    pages = [drawn_page(card_page(serial, "letter")) for serial in (1, 2)]
    cards = (
        Hung(pages[0], (190.0, 240.0), 0.02, scale=SCALE),
        Hung(pages[1], (1080.0, 880.0), -0.04, scale=SCALE),
    )
    made = Kit(
        tmp_path_factory.mktemp("unseen"), wall_from(np.asarray(photo, dtype=np.uint8)), cards
    )
    made.photo("a.jpg", LEFT)
    made.photo("b.jpg", RIGHT)
    return made


def write(path: Path, picture: Picture, f35: int | None = F35, orientation: int = 1) -> None:
    exif = Image.Exif()
    if f35 is not None:
        exif[ExifTags.Base.Make], exif[ExifTags.Base.Model] = "Alpenglow", "A7"
        exif[ExifTags.Base.Orientation] = orientation
        exif.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.FocalLengthIn35mmFilm] = f35
    Image.fromarray(picture[..., ::-1]).save(path, exif=exif, quality=90)


def read(path: Path) -> Picture:
    return np.asarray(cv2.imread(str(path), cv2.IMREAD_IGNORE_ORIENTATION | cv2.IMREAD_COLOR))


def taps(camera: Camera, seed: int) -> dict[str, list[float]]:
    """Where a person taps: a pixel off on each axis."""
    exact = camera.project(np.array([[*xy, 0.0] for xy in MARKS.values()]))
    pixels = exact + np.random.default_rng(seed).standard_normal(exact.shape)
    return {
        name: at.tolist()
        for name, at in zip(MARKS, pixels, strict=True)
        if np.all((at > 3) & (at < np.array(SIZE) - 4))
    }


def wall_file(first: str = "a.jpg", second: str = "b.jpg", seed: int = 1) -> dict[str, Any]:
    """The wall as a person would write it down."""
    checks = [
        {"axis": axis, "nominal_mm": nominal, "measured": f"{nominal * true + 0.1:.1f} mm"}
        for axis, nominal, true in zip("xy", (170, 240), SCALE, strict=True)
    ]
    checks = [{**check, "half_width_mm": 0.25} for check in checks]
    return {
        "photos": [
            {"file": first, "marks": taps(LEFT, seed)},
            {"file": second, "marks": taps(RIGHT, seed + 100)},
        ],
        "cards": [{"serial": s, "print_job": "A", "print_check": checks} for s in (1, 2)],
        "level": ["line-a", "line-b"],
        "dimensions": [
            {"name": name, "kind": "distance", "from": start, "to": end}
            for name, start, end in SIZES
        ],
    }


@dataclass(frozen=True)
class Told:
    """What the command said of a wall."""

    report: dict[str, Any]

    @property
    def codes(self) -> set[str]:
        told = [self.report, *self.report["photos"]]
        return {item["code"] for part in told for item in part["advice"]}

    @property
    def z(self) -> np.ndarray[Any, np.dtype[np.float64]]:
        """Errors over what is stated, of every size."""
        sizes = self.report["dimensions"]
        true = {n: hypot(*np.subtract(MARKS[a], MARKS[b])) for n, a, b in SIZES}
        return np.array([(s["photo_mm"] - true[s["name"]]) / s["photo_u_mm"] for s in sizes])


def told(kit: Kit, wall: dict[str, Any]) -> Told:
    """Runs the command; it must write a report and say nothing else."""
    path, out = kit.folder / "wall.json", kit.folder / "report.json"
    path.write_text(json.dumps(wall), encoding="utf-8")
    assert main(["measure", str(path), "--out", str(out)]) == 0
    return Told(json.loads(out.read_text(encoding="utf-8")))


def test_the_composed_cards_lie_where_they_were_composed(kit: Kit) -> None:
    """The command's own corners fit to a tenth of a pixel; nothing is said to be wrong."""
    found = told(kit, wall_file())
    for photo in found.report["photos"]:
        assert [card["corners"] for card in photo["cards"]] == [24, 24]
        assert all(card["rms_px"] < 0.12 for card in photo["cards"])
    assert not {code for code in found.codes if "doubted" in code or "mark" in code}


def test_intervals_hold_and_are_no_wider_than_need_be(kit: Kit) -> None:
    """Over eight draws of taps: at least nine in ten, and errors of a third of what is stated."""
    z = np.concatenate([told(kit, wall_file(seed=seed)).z for seed in range(8)])
    assert np.mean(np.abs(z) < 1.96) >= 0.9
    assert 0.3 < np.sqrt(np.mean(z**2)) < 1.3


def exchanged(_: Kit) -> dict[str, Any]:
    wall = wall_file()
    marks = wall["photos"][1]["marks"]
    marks["valve"], marks["right-top"] = marks["right-top"], marks["valve"]
    return wall


def ruler(_: Kit) -> dict[str, Any]:
    wall = wall_file()
    wall["cards"][0] = json.loads(json.dumps(wall["cards"][0]))
    wall["cards"][0]["print_check"][0]["measured"] = "164.5 mm"
    return wall


def moved(kit: Kit) -> dict[str, Any]:
    low, high = kit.cards
    kit.photo("moved.jpg", RIGHT, low, replace(high, at=(1040.0, 880.0)))
    return wall_file(second="moved.jpg")


def ledge(kit: Kit) -> dict[str, Any]:
    low, high = kit.cards
    for name, camera in (("ledge-a.jpg", LEFT), ("ledge-b.jpg", RIGHT)):
        kit.photo(name, camera, low, replace(high, height_mm=40.0))
    return wall_file("ledge-a.jpg", "ledge-b.jpg")


def zoomed(kit: Kit) -> dict[str, Any]:
    """The file states half the focal length that the photo was taken with."""
    for name in ("a.jpg", "b.jpg"):
        write(kit.folder / f"zoom-{name}", read(kit.folder / name), F35 // 2)
    return wall_file("zoom-a.jpg", "zoom-b.jpg")


def cut(kit: Kit) -> dict[str, Any]:
    """An app cut a strip off one side and says nothing of it."""
    wall = wall_file(second="cut.jpg")
    write(kit.folder / "cut.jpg", read(kit.folder / "b.jpg")[:, 250:])
    marks = wall["photos"][1]["marks"]
    wall["photos"][1]["marks"] = {n: [x - 250, y] for n, (x, y) in marks.items() if x > 260}
    return wall


def messenger(kit: Kit) -> dict[str, Any]:
    wall = wall_file(second="sent.jpg")
    small = cv2.resize(read(kit.folder / "b.jpg"), (1280, 960), interpolation=cv2.INTER_AREA)
    Image.fromarray(np.asarray(small)[..., ::-1]).save(kit.folder / "sent.jpg", quality=70)
    marks = wall["photos"][1]["marks"]
    wall["photos"][1]["marks"] = {n: [(v + 0.5) * 0.8 - 0.5 for v in at] for n, at in marks.items()}
    return wall


def again(kit: Kit) -> dict[str, Any]:
    wall = wall_file()
    (kit.folder / "copy.jpg").write_bytes((kit.folder / "a.jpg").read_bytes())
    wall["photos"].append({"file": "copy.jpg", "marks": taps(LEFT, 7)})
    return wall


def mirrored(kit: Kit) -> dict[str, Any]:
    wall = wall_file()
    write(kit.folder / "mirror.jpg", read(kit.folder / "a.jpg")[:, ::-1].copy())
    wall["photos"].append({"file": "mirror.jpg", "marks": {}})
    return wall


def turned(_: Kit) -> dict[str, Any]:
    wall = wall_file()
    for photo in wall["photos"]:
        marks = photo["marks"]
        marks["line-a"], marks["line-b"] = marks["line-b"], marks["line-a"]
    return wall


SLIPS: dict[str, tuple[Callable[[Kit], dict[str, Any]], str]] = {
    "two marks under one another's names": (exchanged, "marks-exchanged"),
    "a ruler read 5 mm short": (ruler, "print-check-doubted"),
    "a card moved between photos": (moved, "card-moved"),
    "a card on a ledge": (ledge, "card-off-wall"),
    "half the focal length in the file": (zoomed, "lens-doubted"),
    "cut without a word": (cut, "lens-doubted"),
    "shrunk and stripped": (messenger, "ask-for-original"),
    "the same photo again": (again, "same-photo"),
    "a mirrored photo": (mirrored, "mirrored"),
    "the level line from right to left": (turned, "level-backwards"),
}


@pytest.mark.parametrize("slip", SLIPS)
def test_a_slip_is_named_and_the_intervals_still_hold(slip: str, kit: Kit) -> None:
    """A report all the same, the code that fits, and no size beyond what it states."""
    make, code = SLIPS[slip]
    found = told(kit, make(kit))
    assert code in found.codes
    assert np.max(np.abs(found.z)) < 3.3


def test_a_card_in_two_places_is_refused(kit: Kit, capfd: pytest.CaptureFixture[str]) -> None:
    """A photo of another wall, with cards of the same numbers: exit 3, both photos named."""
    low, high = kit.cards
    kit.photo("other.jpg", RIGHT, replace(low, at=(640.0, 240.0)), replace(high, at=(300.0, 700.0)))
    path = kit.folder / "wall.json"
    path.write_text(json.dumps(wall_file(second="other.jpg")), encoding="utf-8")
    assert main(["measure", str(path)]) == 3
    refused = json.loads(capfd.readouterr().out)["refused"]
    assert refused["code"] == "duplicate-serial"
    assert all(word in refused["text"] for word in ("a.jpg", "other.jpg", "another wall"))
