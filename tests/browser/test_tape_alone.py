"""An alcove without a photo, by whoever holds the tape: where each size is taken, what came of it
at once, and where one is afterwards."""

from __future__ import annotations

import json
from itertools import pairwise
from typing import Any, Final
from urllib.parse import quote

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.screens import DESK, PHONE, opened, picture

pytestmark = pytest.mark.browser

JSON: Final = {"Content-Type": "application/json"}
HEIGHTS: Final = {
    "deck inner": "64 1/2",
    "deck plumb": "64 9/16",
    "deck front": "64 11/16",
    "line to floor": "79 15/16",
    "deck to floor": "15 1/4",
    "line to ceiling": "16 1/2",
    "floor to ceiling": "96 7/16",
}
ACROSS: Final = {
    "inner 0": "10 5/8",
    "inner 16": "10 5/16",
    "inner 40": "10 3/8",
    "inner 64": "10 7/16",
    "outer 16": "20 1/8",
    "outer 40": "20 1/16",
    "outer 64": "20",
    "tub front": "19 1/4",
}
TILED: Final = {"tile top": "15", "courses": "74 15/16", "cut row": "1 15/16"}
DECK: Final = {"deck left": "64 1/2", "deck 0": "64 3/8", "left 64": "29 11/16"}


def _job(page: Page) -> dict[str, Any]:
    """A job with the usual sizes: its id, and that of each wall."""
    body = json.dumps({"name": "By tape", "plumbing_side": "right", "sizes": "usual"})
    job = page.request.post("/api/jobs", data=body, headers=JSON).json()
    return {"id": job["id"]} | {wall["name"]: wall["id"] for wall in job["walls"]}


def _add(page: Page, wall: str, name: str, **told: str) -> None:
    role = {"role": told.pop("role", name), "kind": "distance", **told}
    path = f"/api/walls/{wall}/dimensions/{quote(name)}"
    answer = page.request.put(path, data=json.dumps(role), headers={**JSON, "If-Match": "*"})
    assert answer.ok, answer.text()


def _take(page: Page, wall: str, readings: dict[str, str]) -> None:
    for size, value in readings.items():
        body = {"id": f"{size}-1".replace(" ", "-"), "dimension": size, "value": value, "who": "A"}
        path = f"/api/walls/{wall}/readings"
        answer = page.request.post(path, data=json.dumps(body), headers=JSON)
        assert answer.status == 201, answer.text()


def _all_heights(page: Page, job: dict[str, Any]) -> None:
    for name in list(HEIGHTS)[3:]:
        _add(page, job["far-end"], name)
    _take(page, job["far-end"], HEIGHTS | ACROSS)


def _keep(page: Page, value: str) -> None:
    page.locator("#pad-value").fill(value)
    page.locator("dialog.pad[open] button.primary").tap()
    expect(page.locator(".pad-kept")).to_have_text(f"{value} is kept.")


def test_every_height_of_an_end_wall_can_be_touched(browser: Browser, address: str) -> None:
    """Seven heights beside one another on the phone: each label is whole inside the drawing, and no
    line runs on top of another."""
    with opened(browser, address, PHONE) as page:
        job = _job(page)
        _all_heights(page, job)
        page.goto(f"/job.html?job={job['id']}&wall=far-end")
        page.locator(".board-groups button", has_text="Heights").tap()
        expect(page.locator("#board .size")).to_have_count(len(HEIGHTS))
        picture(page, "heights-phone")
        whole = page.locator("svg.unfolded").bounding_box()
        assert whole is not None
        for size in page.locator("#board .size").all():
            for part in size.locator(".value, .shape, .dimension-line").all():
                box = part.bounding_box()
                assert box is not None
                assert box["x"] >= whole["x"] - 0.5, size.get_attribute("aria-label")
                right = whole["x"] + whole["width"]
                assert box["x"] + box["width"] <= right + 0.5, size.get_attribute("aria-label")
        boxes = [
            box
            for line in page.locator("#board .size .dimension-line").all()
            if (box := line.bounding_box()) and box["height"] > 200
        ]
        across = sorted(box["x"] + box["width"] / 2 for box in boxes)
        assert len(across) == 5
        assert min(after - before for before, after in pairwise(across)) > 20


def test_a_corner_is_marked_at_its_deck(browser: Browser, address: str) -> None:
    """That two walls agree on a corner stands beside the deck that they share, also where sizes run
    on down to the floor."""
    with opened(browser, address, DESK) as page:
        job = _job(page)
        _all_heights(page, job)
        _take(
            page, job["back"], {"deck left": "64 1/2", "deck 0": "64 3/8", "deck right": "64 1/4"}
        )
        page.goto(f"/job.html?job={job['id']}")
        mark = page.locator("svg .corner.agrees .shape").bounding_box()
        deck = page.locator("svg .wall-lines .edge.deck").first.bounding_box()
        assert mark is not None
        assert deck is not None
        assert abs(mark["y"] + mark["height"] / 2 - deck["y"] - deck["height"] / 2) < 12


def test_labels_of_neighbouring_walls_keep_apart(browser: Browser, address: str) -> None:
    """Side by side at the desk, with short offsets that were taped twice: what is written of one
    wall covers nothing of the next; on the phone each wall's name is whole."""
    with opened(browser, address, DESK) as page:
        job = _job(page)
        _take(page, job["far-end"], ACROSS)
        _take(page, job["plumbing"], {"inner 0": "10 1/4", "inner 16": "9 13/16"})
        _take(page, job["back"], {"left 0": "29 13/16", "right 0": "30 1/2"})
        for wall, value in (("far-end", "10 5/8"), ("plumbing", "10 1/4")):
            body = {"id": f"{wall}-2", "dimension": "inner 0", "value": value, "who": "B"}
            path = f"/api/walls/{job[wall]}/readings"
            assert page.request.post(path, data=json.dumps(body), headers=JSON).status == 201
        page.goto(f"/job.html?job={job['id']}")
        expect(page.locator("#board .size", has_text="10 5/8 (2×)")).to_have_count(1)
        assert page.evaluate(COVERED) == []
    with opened(browser, address, PHONE) as page:
        page.goto(f"/job.html?job={job['id']}")
        page.locator(".wall-map button", has_text="All three").tap()
        whole = page.locator("svg.unfolded").bounding_box()
        assert whole is not None
        for name in page.locator("svg .wall-name").all():
            box = name.bounding_box()
            assert box is not None
            assert box["x"] >= whole["x"]
            assert box["x"] + box["width"] <= whole["x"] + whole["width"]


COVERED: Final = """() => {
  const box = (e) => e.getBoundingClientRect();
  const meet = (a, b) => Math.min(a.right, b.right) - Math.max(a.left, b.left) > 1
    && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 1;
  const walls = [...document.querySelectorAll('#board g.wall')]
    .map((wall) => [...wall.querySelectorAll('.size .value')]);
  return walls.flatMap((own, n) => own.flatMap((one) => walls.slice(n + 1).flat()
    .filter((other) => meet(box(one), box(other)))
    .map((other) => `${one.textContent} | ${other.textContent}`)));
}"""
"""What is written of one wall over what is written of another."""


def test_an_edge_half_taped_is_no_zigzag(browser: Browser, address: str) -> None:
    """Where two of an edge's offsets are taped, the others are sketched along with them."""
    with opened(browser, address, PHONE) as page:
        job = _job(page)
        _take(page, job["far-end"], {"inner 16": "9 3/8", "inner 64": "9 1/2", "deck inner": "62"})
        page.goto(f"/job.html?job={job['id']}&wall=far-end")
        edge = page.locator("svg .wall-lines .edge.inner").bounding_box()
        deck = page.locator("svg .wall-lines .edge.deck").bounding_box()
        assert edge is not None
        assert deck is not None
        assert edge["width"] < 4
        assert deck["height"] < 4


@pytest.mark.parametrize(
    ("wall", "size", "says"),
    [
        ("back", "left 16", "From the plumb line level to the left corner, 16 in below the level"),
        ("back", "width 0", "Level from corner to corner, on the level line."),
        ("back", "deck -14", "down to the deck, 14 in left of the plumb line."),
        ("far-end", "width 40", "Level from the back corner to the outer edge, 40 in below"),
        ("far-end", "diagonal outer-low", "From the back corner, 16 in below the level line"),
        ("plumbing", "valve down", "From the level line down to the middle of the valve."),
    ],
)
def test_the_pad_says_from_where_to_where(
    browser: Browser, address: str, wall: str, size: str, says: str
) -> None:
    """Whoever holds the tape has seen no names of points: a size is asked for by what it is."""
    with opened(browser, address, PHONE) as page:
        job = _job(page)
        page.goto(f"/job.html?job={job['id']}&wall={wall}")
        page.locator(f'button.size-button[data-size="{size}"]:visible').tap()
        expect(page.locator(".pad-head p")).to_contain_text(says)


def test_nothing_is_said_of_photos_where_there_are_none(browser: Browser, address: str) -> None:
    """A burnt inch in an alcove by tape alone: pad, verdict and table speak of other readings, and
    what is asked ends as a sentence does."""
    with opened(browser, address, PHONE) as page:
        job = _job(page)
        offsets = {"left 16": "29 1/2", "left 40": "29 9/16", "left 64": "29 11/16"}
        widths = {"right 16": "30 1/16", "width 16": "59 9/16", "width 64": "59 1/2"}
        _take(page, job["back"], offsets | widths | {"right 40": "29 15/16", "width 40": "59 1/2"})
        page.goto(f"/job.html?job={job['id']}&wall=back")
        page.locator('button.size-button[data-size="right 64"]:visible').tap()
        expect(page.locator(".pad-hint")).to_have_text(
            "What the other readings expect shows when your reading is in."
        )
        _keep(page, "28 13/16")
        said = page.locator(".verdict-says")
        expect(said).to_contain_text("This does not fit what the other readings say. Did you burn")
        page.keyboard.press("Escape")
        told = page.locator(f"#sizes-{job['back']} table.sizes td.number").all_inner_texts()
        assert "28\u00a013/16" in told
        assert not any("photo" in cell for cell in told)


def test_a_metric_pad_is_metric(browser: Browser, address: str) -> None:
    """What is expected is told in mm too, and the keys are those of a metric tape, the point beside
    the nought, from edge to edge of the phone."""
    with opened(browser, address, PHONE) as page:
        page.add_init_script("localStorage.setItem('tapeproof.role', 'estimator')")
        page.add_init_script("localStorage.setItem('tapeproof.unit', 'mm')")
        job = _job(page)
        _take(page, job["back"], {"left 40": "749.3 mm", "right 40": "762 mm"})
        page.goto(f"/job.html?job={job['id']}&wall=back")
        page.locator('button.size-button[data-size="width 40"]:visible').tap()
        expect(page.locator(".pad-hint")).to_contain_text("59 1/2 ±")
        expect(page.locator(".pad-hint")).to_contain_text("in = 1511")
        keys = page.locator(".keys.whole")
        point, nought, nine = (
            keys.get_by_role("button", name=name, exact=True).bounding_box()
            for name in ("decimal point", "0", "9")
        )
        assert point
        assert nought
        assert nine
        assert abs(point["y"] - nought["y"]) < 2
        assert point["x"] < nought["x"]
        assert nine["x"] + nine["width"] > PHONE.width - 20


def test_a_reading_that_was_outvoted_is_told(browser: Browser, address: str) -> None:
    """Two readings of one size of which one does not fit: it agrees as a whole, and the page does
    not say that nothing conflicts."""
    with opened(browser, address, PHONE) as page:
        job = _job(page)
        fit = {"left 40": "29 1/2", "right 40": "30", "left 16": "29 1/2", "left 64": "29 1/2"}
        _take(page, job["back"], fit | {"right 16": "30", "right 64": "30", "width 16": "59 1/2"})
        _take(page, job["back"], {"width 40": "58 1/2", "width 64": "59 1/2"})
        for number in (1, 2):
            body = {"id": f"w{number}", "dimension": "width 40", "value": "59 1/2", "who": "B"}
            path = f"/api/walls/{job['back']}/readings"
            assert page.request.post(path, data=json.dumps(body), headers=JSON).status == 201
        page.goto(f"/job.html?job={job['id']}&wall=back")
        told = page.locator("#alcove")
        expect(told).to_contain_text("nothing else conflicts")
        expect(told).to_contain_text("1 of these with a reading that does not fit")


def test_a_contradiction_that_nothing_else_checks_is_told(browser: Browser, address: str) -> None:
    """Courses of tile that make no height of the deck: the pad says what they contradict, not that
    nothing bears on them, asks for them again, and they are among what is to be looked at."""
    with opened(browser, address, PHONE) as page:
        job = _job(page)
        for name in ("tile top", "courses", "cut row"):
            _add(page, job["back"], name, side="left")
        _take(page, job["back"], DECK | {size: TILED[size] for size in ("tile top", "cut row")})
        page.goto(f"/job.html?job={job['id']}&wall=back")
        page.locator('button.size-button[data-size="courses"]:visible').tap()
        _keep(page, TILED["courses"])
        pad = page.locator("dialog.pad[open]")
        expect(pad.locator(".verdict-says")).to_contain_text("cut row, tile top")
        expect(pad).not_to_contain_text("no other reading bears on it")
        expect(pad.locator("button.primary")).to_have_text("Take it again")
        page.keyboard.press("Escape")
        looks = page.locator("#alcove .looks")
        expect(looks).to_contain_text("courses, back wall")
        expect(looks).not_to_contain_text("It contradicts")
        count = looks.locator("li").count()
        expect(page.locator("#alcove")).to_contain_text(f"{count} to look at")
        expect(page.locator("#alcove .badge.unsure").first).to_be_visible()


def test_a_reading_by_nobody_is_told_so(browser: Browser, address: str) -> None:
    """It never counts as a second person's: the pad asks for the name until it has it."""
    with opened(browser, address, PHONE) as page:
        job = _job(page)
        page.goto(f"/job.html?job={job['id']}&wall=back")
        page.locator('button.size-button[data-size="left 16"]:visible').tap()
        _keep(page, "29 1/2")
        pad = page.locator("dialog.pad[open]")
        expect(pad).to_contain_text("Say who tapes")
        pad.locator("button", has_text="Next").tap()
        page.locator("#pad-who").fill("R. Fitter")
        _keep(page, "29 13/16")
        expect(pad).not_to_contain_text("Say who tapes")


def test_the_pad_leads_back_to_the_drawing(browser: Browser, address: str) -> None:
    """Opened from the drawing, gone on to the next size and closed, it leaves the page where it was
    and the focus in the drawing, though that was drawn anew."""
    with opened(browser, address, PHONE) as page:
        job = _job(page)
        page.goto(f"/job.html?job={job['id']}&wall=back")
        page.evaluate("scrollTo(0, 150)")
        page.locator('#board .size[data-size="left 16"]').tap()
        _keep(page, "29 1/2")
        page.locator("dialog.pad[open] button", has_text="Next").tap()
        _keep(page, "29 13/16")
        page.locator("dialog.pad[open]").get_by_role("button", name="Done").tap()
        expect(page.locator("#board .size:focus")).to_have_count(1)
        assert page.evaluate("scrollY") < 300


def test_sizes_that_were_added_are_gone_on_with(browser: Browser, address: str) -> None:
    """The button that added them is gone; the focus is on the first of them, in view."""
    with opened(browser, address, PHONE) as page:
        job = _job(page)
        page.goto(f"/job.html?job={job['id']}&wall=back")
        page.get_by_role("button", name="Add what checks these").tap()
        first = page.locator('button.size-button[data-size="corner diagonal left"]')
        expect(first).to_be_focused()
        expect(first).to_be_in_viewport()


def test_an_address_leads_to_one_size(browser: Browser, address: str) -> None:
    """What holds a sheet is linked from the plan: the size's row is in view, with the focus."""
    with opened(browser, address, PHONE) as page:
        job = _job(page)
        page.goto(f"/job.html?job={job['id']}&wall=far-end&size=outer%2064")
        row = page.locator('button.size-button[data-size="outer 64"]:visible')
        expect(row).to_be_focused()
        expect(row).to_be_in_viewport()


def test_a_locked_sheet_is_not_told_to_be_uncut(browser: Browser, address: str) -> None:
    """Sizes of its wall that the sheet does not need are told as not proved, and no page says that
    the wall is not for cutting: it names the letter, and the plan for whether that holds."""
    with opened(browser, address, PHONE) as page:
        job = _job(page)
        _take(page, job["back"], {"left 16": "29 1/2"})
        path = f"/api/jobs/{job['id']}"
        locked = {**page.request.get(path).json(), "released": {"back": "B"}}
        page.route(f"**{path}", lambda route: route.fulfill(json=locked))
        page.goto(f"/job.html?job={job['id']}&wall=back")
        facts = page.locator(f"#body-{job['back']}")
        expect(facts).to_contain_text("Sheet locked as revision B. The plan tells whether that")
        expect(facts).to_contain_text("not proved")
        expect(facts).not_to_contain_text("not for cutting")
        page.route("**/api/jobs", lambda route: route.fulfill(json={"jobs": [locked]}))
        page.goto("/")
        expect(page.locator(".job-walls")).to_contain_text("sheet locked as revision B")
