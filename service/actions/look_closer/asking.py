"""What is asked of one photo, and the answers as they are shown."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from threading import Lock
from typing import Any, Final

from service.blobs import Blobs
from service.errors import ServiceError
from service.files.api.photo_answers import EdgesModel, SnapsModel, SuggestionsModel
from service.jobs import PhotoQuestions
from service.store.rows import PhotoRow
from vision.plane.area import Area, PlaneFrame
from vision.plane.view import WallView

_SUGGESTIONS_KEPT: Final = 32


@dataclass(frozen=True)
class PointAsked:
    """A point as it was set, about which the photo is asked.

    Attributes
    ----------
    at, sd_px
        Pixel of the upright photo, and standard deviation of its setting on each axis.
    height_mm
        How far what it lies on stands off the wall's mean plane.
    round_thing
        Whether it is the middle of a pipe or plate.
    """

    at: tuple[float, float]
    sd_px: float
    height_mm: float
    round_thing: bool


class PhotoAsker:
    """Asks the process that keeps photos decoded.

    Parameters
    ----------
    blobs
        Where the photos' bytes are.
    questions
        The process.
    """

    def __init__(self, blobs: Blobs, questions: PhotoQuestions) -> None:
        self._blobs = blobs
        self._questions = questions
        self._lock = Lock()
        self._suggested: OrderedDict[tuple[str, ...], SuggestionsModel] = OrderedDict()

    def make_ready(self, photo: PhotoRow) -> None:
        """Have the photo decoded, so that the first question need not wait for it.

        Raises
        ------
        ServiceError
            As every question: ``looking``, ``not-found``, ``too-heavy``, ``busy``.
        """
        self._ask(photo, {"ask": "ready"})

    def snaps(self, photo: PhotoRow, view: WallView | None, point: PointAsked) -> SnapsModel:
        """What the person may have meant by a point; round plates only where a view is known."""
        question = {
            "ask": "snaps",
            "at": point.at,
            "sd_px": point.sd_px,
            "height_mm": point.height_mm,
            "round": point.round_thing,
            "view": None if view is None else _told(view),
        }
        return SnapsModel.model_validate(self._ask(photo, question))

    def suggestions(
        self, photo: PhotoRow, view: WallView, frame: PlaneFrame, area: Area
    ) -> SuggestionsModel:
        """What a person may want to mark in the photo."""
        question = {
            "ask": "suggestions",
            "view": _told(view),
            "origin_mm": frame.origin_mm.tolist(),
            "along": frame.along.tolist(),
            "area_mm": [area.left_mm, area.bottom_mm, area.right_mm, area.top_mm],
        }
        key = (photo.sha256, repr(question))
        with self._lock:
            known = self._suggested.get(key)
        if known is None:
            known = _without_cards(
                SuggestionsModel.model_validate(self._ask(photo, question)), photo
            )
            with self._lock:
                self._suggested[key] = known
                while len(self._suggested) > _SUGGESTIONS_KEPT:
                    self._suggested.popitem(last=False)
        return known

    def card(
        self, photo: PhotoRow, serial: int, corners: tuple[tuple[float, float], ...]
    ) -> dict[str, Any]:
        """The record of the card between four taps on its board's outer corners.

        Raises
        ------
        ServiceError
            Also the refusal's own code: ``bad-taps``, ``corners-not-seen``, ``other-serial``.
        """
        return self._ask(photo, {"ask": "card", "serial": serial, "corners": corners})

    def edges(
        self, photo: PhotoRow, corners: Sequence[tuple[float, float]], sd_px: float
    ) -> EdgesModel:
        """Points along the four edges between a rectangle's corners."""
        question = {"ask": "edges", "corners": [list(at) for at in corners], "sd_px": sd_px}
        return EdgesModel.model_validate(self._ask(photo, question))

    def _ask(self, photo: PhotoRow, question: Mapping[str, Any]) -> dict[str, Any]:
        if photo.state == "looking":
            raise ServiceError("looking", f"{photo.filename} is still being looked at.", do="Wait.")
        if photo.state == "refused":
            raise ServiceError("not-found", f"{photo.filename} cannot be used.")
        with self._blobs.as_file(photo.sha256) as path:
            outcome = self._questions.ask(path.resolve(), question)
        if outcome.found is None:
            raise ServiceError(
                "busy", f"The photo could not be looked at: {outcome.ended}.", do="Try again."
            )
        answer = dict(outcome.found)
        refused = answer.get("refused")
        if refused is not None:
            raise ServiceError(refused["code"], refused["text"], do=refused["do"])
        return answer


def _without_cards(found: SuggestionsModel, photo: PhotoRow) -> SuggestionsModel:
    """Leaves out what is printed on a card: its squares look like fittings."""
    cards = [] if photo.found is None else photo.found["sight"]["cards"]
    outlines = [card["outline_px"] for card in cards if card["outline_px"]]
    kept = [
        one
        for one in found.suggestions
        if len(one.at) > 1 or not any(_inside(one.at[0], outline) for outline in outlines)
    ]
    return SuggestionsModel(suggestions=tuple(kept))


def _inside(point: tuple[float, float], outline: Sequence[Sequence[float]]) -> bool:
    """Whether a point lies in a convex outline, whichever way round that goes."""
    turns = [
        (bx - ax) * (point[1] - ay) - (by - ay) * (point[0] - ax)
        for (ax, ay), (bx, by) in zip(outline, [*outline[1:], outline[0]], strict=True)
    ]
    return all(turn >= 0 for turn in turns) or all(turn <= 0 for turn in turns)


def _told(view: WallView) -> dict[str, Any]:
    return {
        "size_px": view.size_px,
        "camera": view.camera.tolist(),
        "rotation": view.rotation.tolist(),
        "shift": view.shift.tolist(),
    }
