"""Edges followed between taps, against pictures whose truth is known by construction."""

from __future__ import annotations

import numpy as np
import pytest

from tests.support.snap_scenes import Shape, picture, plain
from vision.plane.snap import EdgeTrace, trace_edge
from vision.units import FloatArray

SIZE = 301
REACH_PX = 4.0


def steps(at: FloatArray, turn: float, sag: float, *grey: float, apart: float = 4.0) -> Shape:
    """Grounds beside one another along a line that sags by so many pixels over the picture."""

    def reflectance(x: FloatArray, y: FloatArray) -> FloatArray:
        along, across = _turned(x - at[0], y - at[1], turn)
        value = np.full(x.shape, grey[0])
        for number, one in enumerate(grey[1:]):
            value[across - sag * (along / (SIZE / 2)) ** 2 > apart * number] = one
        return value

    return reflectance


def _turned(x: FloatArray, y: FloatArray, turn: float) -> tuple[FloatArray, FloatArray]:
    return x * np.cos(turn) + y * np.sin(turn), y * np.cos(turn) - x * np.sin(turn)


def traced(shape: Shape, at: FloatArray, turn: float, seed: int) -> EdgeTrace | None:
    """The edge between two taps that miss it by a pixel or so."""
    rng = np.random.default_rng(seed)
    along = np.array([np.cos(turn), np.sin(turn)])
    taps = at + np.array([[-115.0], [115.0]]) * along + rng.normal(0, 1, (2, 2))
    return trace_edge(picture(shape, SIZE, seed=seed), taps, REACH_PX)


@pytest.mark.parametrize("seed", range(4))
def test_points_lie_on_the_edge_and_not_where_the_hand_was(seed: int) -> None:
    """On an edge that sags by a pixel all points are within 0.3 px of it, rms within 0.12 px."""
    rng = np.random.default_rng([7, seed])
    at, turn = 150.0 + rng.uniform(-1, 1, 2), float(rng.uniform(0, 3.1))
    found = traced(steps(at, turn, 1.0, 0.4, 0.62), at, turn, seed)
    assert found is not None
    along, across = _turned(found.pixels[:, 0] - at[0], found.pixels[:, 1] - at[1], turn)
    off = across - (along / (SIZE / 2)) ** 2

    assert len(off) >= 3
    assert np.ptp(along) > 150
    assert np.all(np.diff(along) * np.sign(along[-1] - along[0]) > 0)
    assert float(np.abs(off).max()) < 0.3
    assert float(np.sqrt(np.mean(off**2))) < 0.12


def test_of_two_edges_alike_none_is_taken() -> None:
    """Two steps of one sense side by side, both within reach of the hand: nobody can tell."""
    at = np.array([150.0, 150.0])
    grey = picture(steps(at, 0.3, 0.0, 0.3, 0.48, 0.7, apart=5.0), SIZE, seed=3)
    along = np.array([np.cos(0.3), np.sin(0.3)])
    ends = at + np.array([[-115.0], [115.0]]) * along
    beside = np.array([-along[1], along[0]])

    assert trace_edge(grey, ends + 2.5 * beside, REACH_PX) is None
    assert trace_edge(grey, ends - 0.5 * beside, REACH_PX) is not None


def test_on_a_plain_wall_there_is_no_edge() -> None:
    """Mottling is none."""
    at = np.array([150.0, 150.0])

    assert traced(plain(), at, 0.4, 5) is None


def test_a_way_of_one_pixel_is_refused() -> None:
    """The error says what was expected."""
    with pytest.raises(ValueError, match="two or more pixels"):
        trace_edge(picture(plain(), 61, seed=1), np.array([[30.0, 30.0]]), REACH_PX)
