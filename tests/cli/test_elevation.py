"""``tapeproof elevation`` on the example: pictures that lie where the truth says."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from service.cli import main
from tests.fixtures.example_files import EXAMPLE, truth
from vision.card.design import card_design
from vision.card.search import find_cards

WALL = EXAMPLE / "seed-1" / "far-end.json"


@pytest.fixture(scope="module")
def bare(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The far end wall at 1 mm for each pixel, nothing drawn over it."""
    out = tmp_path_factory.mktemp("elevation") / "wall.png"
    assert main(["elevation", str(WALL), "--out", str(out), "--plain"]) == 0
    return out


def test_cards_lie_where_they_truly_hang(bare: Path) -> None:
    """Corners of both sheets against the truth: each sheet keeps its shape to 0.7 px rms, and
    lies at its true distance from the other to 3 mm."""
    grey = np.asarray(Image.open(bare).convert("L"), dtype=np.uint8)
    places = {card["serial"]: card for card in truth()["walls"]["far-end"]["cards"]}
    found = {card.serial: card for card in find_cards(grey).cards}
    assert set(found) == set(places)
    shifts = []
    for serial, card in found.items():
        nominal = card_design(serial).corners_mm[card.corner_ids]
        scale = truth()["print_jobs"][places[serial]["print_job"]]
        axes = np.array([places[serial]["right"], places[serial]["up"]])
        scaled = nominal * (scale["sx"], scale["sy"])
        true_mm = np.array(places[serial]["page_origin_mm"]) + scaled @ axes
        seen_mm = np.column_stack([card.pixels[:, 0], -card.pixels[:, 1]])
        away = seen_mm - true_mm[:, :2]
        shifts.append(away.mean(axis=0))
        assert np.sqrt(np.mean((away - shifts[-1]) ** 2)) < 0.7
    assert np.hypot(*(shifts[0] - shifts[1])) < 3.0


def test_drawn_pictures_differ_from_the_bare_one_only_in_what_is_drawn(
    bare: Path, tmp_path: Path
) -> None:
    """Same size; some pixels painted, most left alone."""
    out = tmp_path / "wall.png"
    assert main(["elevation", str(WALL), "--out", str(out)]) == 0
    plain, drawn = (np.asarray(Image.open(path)) for path in (bare, out))
    assert plain.shape == drawn.shape
    painted = np.any(plain != drawn, axis=2).mean()
    assert 0.02 < painted < 0.4


def test_one_photo_is_drawn_over(tmp_path: Path) -> None:
    """The photo keeps its own size."""
    out = tmp_path / "photo.jpg"
    assert main(["elevation", str(WALL), "--out", str(out), "--photo", "far-end-1.jpg"]) == 0
    with Image.open(out) as picture:
        assert sorted(picture.size) == [3024, 4032]
        assert picture.format == "JPEG"


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--out", "wall.gif"], "--out: expected a name that ends in .png, .jpg or .jpeg"),
        (["--out", "wall.png", "--mm-per-px", "0.001"], "--mm-per-px: expected 0.2 to 20.0"),
        (["--out", "wall.png", "--photo", "none.jpg"], "--photo: expected one of the photos"),
    ],
)
def test_bad_options_are_told_in_one_line(
    options: list[str],
    said: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Exit 2, the option and what was expected; nothing is written."""
    monkeypatch.chdir(tmp_path)
    assert main(["elevation", str(WALL), *options]) == 2
    error = capsys.readouterr().err
    assert said in error
    assert error.count("\n") == 1
    assert list(tmp_path.iterdir()) == []


def test_names_are_drawn_in_letters_and_not_in_boxes(tmp_path: Path) -> None:
    """Two walls that differ by one letter of a name in Chinese give different pictures."""
    pictures = []
    text = WALL.read_text(encoding="utf-8")
    for folder in ("photos", "cards"):
        (tmp_path / folder).symlink_to(EXAMPLE / folder)
    (tmp_path / "seed").mkdir()
    for name in ("浴", "室"):
        wall = tmp_path / "seed" / "wall.json"
        wall.write_text(text.replace('"width 40"', f'"{name}"'), encoding="utf-8")
        out = tmp_path / f"{name}.png"
        assert main(["elevation", str(wall), "--out", str(out), "--mm-per-px", "2"]) == 0
        pictures.append(out.read_bytes())
    assert '"width 40"' in text
    assert pictures[0] != pictures[1]
