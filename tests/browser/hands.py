"""A hand: mouse at the desk, finger on the phone. Nothing is done but by pointer at a place."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from playwright.sync_api import CDPSession, Locator, Page


@dataclass(frozen=True)
class Hand:
    """One hand on one page."""

    page: Page
    touch: bool

    def press(self, target: Locator) -> None:
        """Presses a control."""
        if self.touch:
            target.tap()
        else:
            target.click()

    def tap_at(self, x: float, y: float) -> None:
        """Touches the screen at a place, in CSS pixels with their fraction."""
        if self.touch:
            fingers = _Fingers(self.page)
            fingers.put((x, y))
            fingers.lift()
        else:
            self.page.mouse.move(x, y)
            self.page.mouse.down()
            self.page.mouse.up()

    def drag(self, start: tuple[float, float], end: tuple[float, float], steps: int = 6) -> None:
        """Drags from one place to another."""
        path = [_between(start, end, step / steps) for step in range(1, steps + 1)]
        if self.touch:
            fingers = _Fingers(self.page)
            fingers.put(start)
            for place in path:
                fingers.move(place)
            fingers.lift()
        else:
            self.page.mouse.move(*start)
            self.page.mouse.down()
            for place in path:
                self.page.mouse.move(*place)
            self.page.mouse.up()

    def pinch(
        self,
        start: tuple[tuple[float, float], tuple[float, float]],
        end: tuple[tuple[float, float], tuple[float, float]],
        steps: int = 6,
    ) -> None:
        """Two fingers from one pair of places to another, both moving in every step."""
        fingers = _Fingers(self.page)
        fingers.put(start[0])
        fingers.put(*start)
        for step in range(1, steps + 1):
            part = step / steps
            fingers.move(_between(start[0], end[0], part), _between(start[1], end[1], part))
        fingers.lift()

    def second_finger_during_drag(
        self, start: tuple[float, float], via: tuple[float, float], second: tuple[float, float]
    ) -> None:
        """Begins a drag, puts a second finger down, and lifts both."""
        fingers = _Fingers(self.page)
        fingers.put(start)
        for step in range(1, 5):
            fingers.move(_between(start, via, step / 4))
        fingers.put(via, second)
        fingers.lift()


class _Fingers:
    """Raw touches, as the screen reports them."""

    def __init__(self, page: Page) -> None:
        self._session: CDPSession = page.context.new_cdp_session(page)

    def put(self, *places: tuple[float, float]) -> None:
        self._send("touchStart", places)

    def move(self, *places: tuple[float, float]) -> None:
        self._send("touchMove", places)

    def lift(self) -> None:
        self._send("touchEnd", ())
        self._session.detach()

    def _send(self, kind: str, places: tuple[tuple[float, float], ...]) -> None:
        points: list[dict[str, Any]] = [
            {"x": x, "y": y, "id": number} for number, (x, y) in enumerate(places)
        ]
        self._session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})


def _between(
    start: tuple[float, float], end: tuple[float, float], part: float
) -> tuple[float, float]:
    return (start[0] + (end[0] - start[0]) * part, start[1] + (end[1] - start[1]) * part)
