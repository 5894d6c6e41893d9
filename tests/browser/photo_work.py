"""The work on a photo: a point is brought under the reticle by touching the photo, then set."""

from __future__ import annotations

from dataclasses import dataclass

from playwright.sync_api import Locator, Page, expect

from tests.browser.hands import Hand

NEAR_ENOUGH_PX = 0.25
LARGE = 0.99
AWAY_PX = 60.0


@dataclass(frozen=True)
class PhotoWork:
    """One photo page under one hand."""

    page: Page
    hand: Hand

    @property
    def stage(self) -> Locator:
        return self.page.locator("#stage")

    def ready(self) -> None:
        """Waits until the photo can be touched."""
        self.page.locator("html[data-ready]").wait_for()

    def view(self) -> tuple[float, float, float]:
        """Image pixel in the middle of the photo's place, and screen pixels for each."""
        said = [self.stage.get_attribute(f"data-{name}") for name in ("aim-x", "aim-y", "scale")]
        x, y, scale = (float(text or "nan") for text in said)
        return x, y, scale

    def on_screen(self, image: tuple[float, float]) -> tuple[float, float]:
        """Where an image point is on the screen now."""
        box = self.stage.bounding_box()
        assert box is not None
        x, y, scale = self.view()
        return (
            box["x"] + box["width"] / 2 + (image[0] - x) * scale,
            box["y"] + box["height"] / 2 + (image[1] - y) * scale,
        )

    def take(self, point: str) -> None:
        """Takes a point in hand from the list."""
        self.hand.press(self.page.locator(f'#points [data-point="{point}"]'))
        expect(self.page.locator("#point-name")).to_have_text(point)

    def aim_at(self, image: tuple[float, float]) -> None:
        """Brings an image point under the reticle: a tap on the whole photo, a drag of the rest."""
        self.hand.press(self.page.get_by_role("button", name="Whole photo"))
        self.stage.scroll_into_view_if_needed()
        self.hand.tap_at(*self.on_screen(image))
        self.until_large()
        x, y, _ = self.view()
        if max(abs(image[0] - x), abs(image[1] - y)) > NEAR_ENOUGH_PX:
            self._drag_rest(image)

    def _drag_rest(self, image: tuple[float, float]) -> None:
        """Drags well past the aim and back, since a drag of a few pixels is a tap."""
        for past in (AWAY_PX, 0.0):
            x, y, _ = self.view()
            (from_x, from_y), (to_x, to_y) = self.on_screen(image), self.on_screen((x, y))
            self.hand.drag((from_x, from_y), (to_x + past, to_y + past))

    def set(self, point: str, image: tuple[float, float], surface: str = "same") -> None:
        """Sets a point at an image pixel."""
        self.take(point)
        self.lies_on(surface)
        self.aim_at(image)
        self.hand.press(self.page.locator("button.set"))
        expect(self.page.locator("#said")).to_have_text(f"{point} set.")

    def lies_on(self, surface: str) -> None:
        """Says what the point in hand lies on."""
        choice = self.page.locator("#point-surface")
        if choice.input_value() != surface:
            if not choice.is_visible():
                self.hand.press(self.page.locator(".hand-about > summary"))
            choice.select_option(surface)

    def until_large(self) -> None:
        """Waits until the photo has followed a tap."""
        for _ in range(40):
            if self.view()[2] >= LARGE:
                return
            self.page.wait_for_timeout(25)
        raise AssertionError(f"the tap did not enlarge the photo: {self.view()}")
