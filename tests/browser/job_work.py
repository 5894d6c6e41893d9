"""The work on a job's pages: photos, cards, readings, release, papers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from playwright.sync_api import Locator, Page, expect

from tests.browser.example_truth import photo_file
from tests.browser.hands import Hand

LOOKS_WITHIN_MS = 60_000


@dataclass(frozen=True)
class JobWork:
    """One job under one hand."""

    page: Page
    hand: Hand

    def start(self, name: str) -> str:
        """Starts a job from the list of jobs and answers its address."""
        self.page.goto("/")
        self.page.get_by_label("Name", exact=True).fill(name)
        self.hand.press(self.page.get_by_role("button", name="Start", exact=True))
        self.page.wait_for_url("**/job.html?job=*")
        self.page.locator("svg.unfolded").wait_for()
        return self.page.url

    def choose_wall(self, wall: str) -> None:
        self.hand.press(self.page.locator(".wall-map button", has_text=wall.replace("-", " ")))

    def facts(self, wall: str) -> Locator:
        return self.page.get_by_role("region", name=f"{wall.replace('-', ' ')} wall", exact=True)

    def add_photos(self, wall: str, *names: str) -> None:
        """Picks photo files and waits until each has been sent and looked at."""
        place = self.facts(wall)
        before = place.locator(".strip img").count()
        picker = place.locator("input[type=file][multiple]")
        picker.set_input_files([photo_file(name) for name in names])
        last = place.locator(".strip img").nth(before + len(names) - 1)
        last.wait_for(timeout=LOOKS_WITHIN_MS)

    def open_photo(self, wall: str, name: str) -> None:
        self.hand.press(self.facts(wall).locator(".strip a", has_text=name))
        self.page.wait_for_url("**/photo.html?photo=*")

    def check_cards(self, prints: dict[str, tuple[str, str]], cards: dict[int, str]) -> None:
        """Ruler checks of each print, and which card came from which."""
        self.hand.press(self.page.get_by_role("link", name="Cards", exact=True))
        self.page.locator("#on-walls").locator("table").wait_for()
        for name, (short, long) in prints.items():
            self.page.locator("#print-name").fill(name)
            self.hand.press(self.page.get_by_role("button", name="Add", exact=True))
            form = self.page.get_by_role("form", name=f"Ruler check of print {name}")
            form.locator("input[name=x]").fill(short)
            form.locator("input[name=y]").fill(long)
            self.hand.press(form.get_by_role("button", name="Keep the check"))
            expect(self.page.locator("#notice")).to_contain_text(f"Print {name}: kept")
        for serial, name in cards.items():
            self.page.get_by_label(f"Print of card {serial}", exact=True).fill(name)
            self.hand.press(self.page.get_by_role("button", name=f"Keep card {serial}", exact=True))
            expect(self.page.locator("#notice")).to_contain_text(f"Card {serial}: kept")

    def open_pad(self, wall: str, size: str) -> None:
        """Opens the reading pad from the table."""
        self.hand.press(self.facts(wall).locator(f'button[data-size="{size}"]'))
        expect(self.page.locator("#pad-title")).to_contain_text(size)

    def type_reading(self, value: str, instrument: dict[str, Any]) -> str:
        """Types a reading on the pad's keys, keeps it, and answers the word of its verdict."""
        self.page.locator("#pad-method").select_option(instrument["method"])
        whole, _, fraction = value.partition(" ")
        if "/" in whole:
            whole, fraction = "", whole
        for digit in whole:
            self.hand.press(self.page.get_by_role("button", name=digit, exact=True).first)
        if fraction:
            self.hand.press(self.page.locator(f'[data-fraction="{fraction}"]'))
        expect(self.page.locator("#pad-value")).to_have_value(value)
        self.hand.press(self.page.locator(".pad button.primary"))
        expect(self.page.locator(".pad-kept")).to_have_text(f"{value} is kept.")
        return self.page.locator(".verdict-word, .pad-form > div > p").first.inner_text().strip()

    def release(self, wall: str) -> None:
        """Looks at what nothing checks, as two people, and releases the panel's sheet."""
        self.ask_release(wall)
        panel = self.page.locator(f"#panel-{wall}")
        expect(panel).to_contain_text("released for cutting · revision")

    def ask_release(self, wall: str) -> None:
        """The same, whatever comes of it."""
        panel = self.page.locator(f"#panel-{wall}")
        for box in panel.locator("form.release input[type=checkbox]").all():
            self.hand.press(box)
        panel.get_by_label("Stated by").fill("R. Fitter")
        panel.get_by_label("Looked at by").fill("S. Mate")
        panel.get_by_label("Released by").fill("R. Fitter")
        self.hand.press(panel.get_by_role("button", name="Release for cutting"))
