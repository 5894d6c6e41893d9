"""Sizes that no photo shows: added by one touch, told by their role, drawn by the tape."""

from __future__ import annotations

import json
from typing import Any, Final
from urllib.parse import quote

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.screens import DESK, PHONE, Screen, opened, picture
from tests.browser.test_looks import faults_of
from tests.measuring.alcove.files import wall_documents

pytestmark = pytest.mark.browser

JSON = {"Content-Type": "application/json"}


def _job(page: Page, sizes: str) -> dict[str, Any]:
    body = json.dumps({"name": "By tape", "plumbing_side": "left", "sizes": sizes})
    found: dict[str, Any] = page.request.post("/api/jobs", data=body, headers=JSON).json()
    return found


def _taped(page: Page, job: dict[str, Any]) -> None:
    """The alcove that was worked by hand, with its slip, in a job without a mark or a photo."""
    written = wall_documents()
    for wall in job["walls"]:
        document, path = written[wall["name"].replace("-", " ")], f"/api/walls/{wall['id']}"
        for size in document["dimensions"]:
            said = {key: value for key, value in size.items() if key != "name"}
            page.request.put(
                f"{path}/dimensions/{quote(size['name'])}",
                data=json.dumps(said),
                headers={**JSON, "If-Match": "*"},
            )
        for reading in document["readings"]:
            sent = {**reading, "id": reading["id"].replace(" ", "-")}
            answer = page.request.post(f"{path}/readings", data=json.dumps(sent), headers=JSON)
            assert answer.status == 201, answer.text()


def test_an_alcove_without_a_photo_is_drawn_by_its_tape(browser: Browser, address: str) -> None:
    """The worked alcove, taped in full and in no photo: its walls, their edges and pipes are drawn
    to scale, the slip stands on its line and is named, and all else agrees. The link below leads to
    the place of the plan that it names, far down that page."""
    with opened(browser, address, DESK) as page:
        job = _job(page, "none")
        _taped(page, job)
        page.goto(f"/job.html?job={job['id']}")

        looks = page.locator("#alcove .looks")
        expect(looks).to_contain_text("right 40, back wall")
        expect(looks).to_contain_text("did you burn an inch? (29 1/16)")
        expect(looks.locator("li")).to_have_count(1)
        expect(page.locator("svg .wall-lines .face")).to_have_count(3)
        expect(page.locator("svg .wall-name", has_text="sketch")).to_have_count(0)
        expect(page.locator('svg .size.conflicts[data-size="right 40"]')).to_have_count(1)
        assert faults_of(page) == []
        picture(page, "by-tape-across")
        expect(page.locator("svg .top-line")).to_have_count(3)
        expect(page.locator("svg .line-name", has_text="bare: packed out")).to_have_count(3)
        to_plan = page.locator("#to-face")
        expect(to_plan).to_have_attribute("href", f"/plan.html?job={job['id']}#settings-title")
        wide = page.locator('svg .size[data-size="width 16"] .dimension-line').nth(1).bounding_box()
        half = page.locator('svg .size[data-size="left 16"] .dimension-line').bounding_box()
        assert wide
        assert half
        assert half["width"] / wide["width"] == pytest.approx(29.5625 / 58.5, abs=0.005)
        page.locator(".board-groups button", has_text="Pipes").click()
        expect(page.locator("svg .size", has_text="14 1/4")).to_have_count(2)
        picture(page, "by-tape-pipes")
        to_plan.click()
        expect(page.get_by_role("heading", name="What the plan is made from")).to_be_in_viewport()


def test_the_alcove_is_seen_from_above(browser: Browser, address: str) -> None:
    """On the phone the worked alcove's sizes in plan stand on its plan, each with how it stands:
    the corner diagonals where they were taped, 24 in out, the opening at the front. It says how
    far each corner is out over 24 in, and a touch opens the pad."""
    with opened(browser, address, PHONE) as page:
        job = _job(page, "none")
        page.goto(f"/job.html?job={job['id']}")
        expect(page.locator("#alcove")).not_to_be_empty()
        expect(page.locator("#above")).to_be_hidden()
        _taped(page, job)
        page.reload()

        plan = page.get_by_role("region", name="From above")
        expect(plan.locator(".size")).to_have_count(4)
        sizes = {
            size.get_attribute("data-size"): size.get_attribute("aria-label")
            for size in plan.locator(".size").all()
        }
        assert sizes == {
            "square left": "square left, tape: 34 1/8 agrees",
            "square right": "square right, tape: 33 13/16 agrees",
            "opening": "opening, tape: 58 1/2 agrees",
            "depth": "depth, tape: 29 agrees",
        }
        expect(plan.locator(".outs li").nth(0)).to_have_text(
            "Left back corner: 1/4 in open over 24 in, ± 1/8."
        )
        expect(plan.locator(".outs li").nth(1)).to_contain_text("3/16 in closed over 24 in")
        expect(plan).to_contain_text("To scale, by the tape.")
        deep, wide = (
            plan.locator(f'.size[data-size="{name}"] .dimension-line').bounding_box()
            for name in ("depth", "opening")
        )
        assert deep
        assert wide
        assert deep["height"] / wide["width"] == pytest.approx(29 / 58.5, abs=0.01)
        assert faults_of(page) == []
        plan.scroll_into_view_if_needed()
        picture(page, "from-above")

        plan.locator('.size[data-size="opening"]').tap(force=True)
        expect(page.locator("#pad-title")).to_contain_text("opening")
        page.keyboard.press("Escape")
        expect(plan.locator('.size[data-size="opening"]')).to_have_count(1)
        page.evaluate("document.querySelector('#above .size[tabindex=\"0\"]').focus()")
        page.keyboard.press("ArrowRight")
        page.keyboard.press("Enter")
        expect(page.locator("#pad-title")).to_contain_text("square right")


def _banded(page: Page, job: str) -> None:
    """Every wall in three bands: bare plaster, tile, thicker tile that comes off."""
    bands = [
        {"from_down": "-3/4", "to_down": "15", "proud": "0", "do": "pack"},
        {"from_down": "15", "to_down": "60", "proud": "3/8", "do": "keep"},
        {"from_down": "60", "to_down": None, "proud": "3/4", "do": "strip"},
    ]
    walls = [
        {"wall": "plumbing", "corner": "right"},
        {"wall": "back"},
        {"wall": "far end", "corner": "left"},
    ]
    banded = [{**wall, "surfaces": bands} for wall in walls]
    plan = {"walls": banded, "top": {"above_line": "3/4"}}
    answer = page.request.put(
        f"/api/jobs/{job}/plan-settings",
        data=json.dumps({"plan": plan}),
        headers={**JSON, "If-Match": "*"},
    )
    assert answer.ok, answer.text()


TOUCHING = """() => {
  const box = (e) => e.getBoundingClientRect();
  const meet = (a, b) => Math.min(a.right, b.right) - Math.max(a.left, b.left) > 1
    && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 1;
  const names = [...document.querySelectorAll('#board :is(.region, .top-line) + .line-name')];
  const written = [...document.querySelectorAll('#board .size .value, #board .size .shape')];
  const level = [...document.querySelectorAll('#board .centre-line')].map(box)
    .filter((line) => line.width > line.height);
  const beside = (name, line) => line.left < name.right && name.left < line.right;
  const struck = (name) => level.some((line) =>
    beside(name, line) && name.top + 2 < line.top && line.top < name.bottom - 2);
  return { names: names.length, touching: names.flatMap((name) => [
    ...written.filter((value) => meet(box(name), box(value))).map((value) => value.textContent),
    ...(struck(box(name)) ? ['level line'] : []),
  ].map((other) => `${name.textContent} | ${other}`)) };
}"""


@pytest.mark.parametrize("screen", [PHONE, DESK], ids=lambda screen: screen.name)
def test_what_a_region_is_touches_no_figure(browser: Browser, address: str, screen: Screen) -> None:
    """Whichever wall and whichever of its sizes are looked at, and with three bands on a wall, the
    words of a band and of the finished top stand clear of every figure, its mark and the level
    line."""
    with opened(browser, address, screen) as page:
        page.goto("/")
        job = _job(page, "none")
        _taped(page, job)
        _banded(page, job["id"])
        page.goto(f"/job.html?job={job['id']}")
        together = () if screen.touch else ("All three",)
        for wall in ("plumbing", "back", "far end", *together):
            page.locator(".wall-map button", has_text=wall).click()
            for group in ("Across", "Heights", "Diagonals", "Pipes"):
                chosen = page.locator(".board-groups button", has_text=group)
                if not chosen.count():
                    continue
                chosen.click()
                found = page.evaluate(TOUCHING)
                assert found["names"] == (12 if wall in together else 4), (wall, group)
                assert found["touching"] == [], (wall, group)
                if (wall, group) == ("back", "Across"):
                    picture(page, f"regions-{screen.name}")


def test_what_checks_the_others_is_added_by_one_touch(browser: Browser, address: str) -> None:
    """On the phone the diagonal of a back corner is added by one touch, asked for in the trade's
    words on its pad, and no photo asks for marks of it."""
    with opened(browser, address, PHONE) as page:
        job = _job(page, "usual")
        page.goto(f"/job.html?job={job['id']}")
        page.locator(".wall-map button", has_text="back").tap()
        region = page.get_by_role("region", name="back wall", exact=True)
        region.get_by_role("button", name="Lines and sizes").tap()
        page.locator(".checking summary").tap()
        page.get_by_role("button", name="Add corner diagonal left").tap()
        expect(page.locator(".notice.said")).to_contain_text("corner diagonal left is added")
        expect(page.locator(".checking")).to_have_attribute("open", "")
        expect(page.get_by_role("button", name="Add corner diagonal right")).to_be_focused()
        page.get_by_role("button", name="Add courses").tap()
        expect(page.locator(".notice.said")).to_contain_text("courses left is added")
        picture(page, "editor-checking")
        page.keyboard.press("Escape")

        region.locator('button[data-size="corner diagonal left"]').tap()
        expect(page.locator(".pad-head p")).to_contain_text(
            "Mark 24 in from the left back corner along both walls"
        )
        page.locator("#pad-value").fill("34 1/8")
        page.locator("dialog.pad[open] button.primary").tap()
        expect(page.locator(".pad-kept")).to_have_text("34 1/8 is kept.")
        page.keyboard.press("Escape")
        region.locator(".closing summary").tap()
        expect(region.locator(".outs")).to_contain_text(
            "out of square left 1/4 in open, over 24 in"
        )
        wall = next(wall for wall in job["walls"] if wall["name"] == "back")
        wanted = page.request.get(f"/api/walls/{wall['id']}").json()["marks_wanted"]
        assert not any("diagonal" in name or "courses" in name for name in wanted)


def test_the_finished_top_of_a_new_job_touches_no_figure(browser: Browser, address: str) -> None:
    """Side by side on the desk the end walls are narrow, and their first offsets lie at the top."""
    with opened(browser, address, DESK) as page:
        job = _job(page, "usual")
        page.goto(f"/job.html?job={job['id']}")
        expect(page.locator("#board .top-line")).to_have_count(3)
        assert page.evaluate(TOUCHING) == {"names": 9, "touching": []}


def test_all_that_checks_a_wall_is_added_by_one_touch(browser: Browser, address: str) -> None:
    """A new job's back wall offers its 24 x 24 diagonals, openings and the rest at once; they then
    stand in its table and in the alcove from above, to be taped, and one touch takes them back. The
    diagonals cross there, but none strikes through what is written on another, taped or not."""
    with opened(browser, address, PHONE) as page:
        job = _job(page, "usual")
        page.goto(f"/job.html?job={job['id']}")
        page.locator(".wall-map button", has_text="back").tap()
        region = page.get_by_role("region", name="back wall", exact=True)
        next_before = region.locator(".tape-next").inner_text()
        add = region.get_by_role("button", name="Add what checks these: 13 sizes by tape alone")
        add.scroll_into_view_if_needed()
        picture(page, "add-checking")
        add.tap()
        expect(page.locator("#notice")).to_contain_text(
            "corner diagonal left, corner diagonal right"
        )
        expect(add).to_have_count(0)
        expect(region.locator('button[data-size="opening 16"]')).to_have_count(1)
        plan = page.get_by_role("region", name="From above")
        expect(plan.locator(".size")).to_have_count(8)
        expect(plan).to_contain_text("Not to scale where nothing is taped yet: width, depth")
        assert region.locator(".tape-next").inner_text() == next_before
        plan.scroll_into_view_if_needed()
        picture(page, "from-above-untaped")
        assert page.evaluate(STRUCK) == []

        region.get_by_role("button", name="Undo").tap()
        expect(add).to_have_count(1)
        expect(plan).to_be_hidden()
        region.get_by_role("button", name="Redo").tap()
        expect(plan.locator(".size")).to_have_count(8)
        back = next(wall["id"] for wall in job["walls"] if wall["name"] == "back")
        for size, value in IN_PLAN.items():
            reading = {"id": size.replace(" ", "-"), "dimension": size, "value": value}
            page.request.post(f"/api/walls/{back}/readings", data=json.dumps(reading), headers=JSON)
        expect(plan.locator(".size", has_text="65 13/16")).to_have_count(2)
        picture(page, "from-above-crossing")
        assert page.evaluate(STRUCK) == []


IN_PLAN: Final = {
    "corner diagonal left": "33 15/16",
    "corner diagonal right": "34 3/16",
    "plan diagonal left 64": "65 13/16",
    "plan diagonal right 64": "65 13/16",
}
STRUCK: Final = """() => {
  const sizes = [...document.querySelectorAll('#above .size')];
  const through = (own, text) => (size) => {
    const line = size.querySelector('.dimension-line line');
    const [back, there] = [text.getScreenCTM().inverse(), line.getScreenCTM()];
    const [a, b] = [[line.x1, line.y1], [line.x2, line.y2]].map(([x, y]) =>
      new DOMPoint(x.baseVal.value, y.baseVal.value).matrixTransform(there).matrixTransform(back));
    const { x, y, width, height } = text.getBBox();
    return size !== own && Array.from({ length: 400 }, (_, n) => n / 399).some((part) => {
      const [right, down] = [a.x + (b.x - a.x) * part - x, a.y + (b.y - a.y) * part - y];
      return right > 0 && right < width && down > 2 && down < height - 3;
    });
  };
  const texts = (own) => [...own.querySelectorAll('text.value')];
  return sizes.flatMap((own) => texts(own).flatMap((text) => sizes.filter(through(own, text))
    .map((size) => `${size.dataset.size} through ${own.dataset.size}`)));
}"""
"""Lines of sizes that run through what is written on another."""


def test_on_studs_no_tile_is_asked_for(browser: Browser, address: str) -> None:
    """Where the walls go down to the studs there is no old tile to measure; the plumbing wall's
    pipes are asked for with its floor and ceiling."""
    with opened(browser, address, DESK) as page:
        body = {"name": "Studs", "plumbing_side": "left", "scope": "down to studs"}
        job = page.request.post("/api/jobs", data=json.dumps(body), headers=JSON).json()
        page.goto(f"/job.html?job={job['id']}")
        page.get_by_role("button", name="Add what checks these: 10 sizes by tape alone").click()
        expect(page.locator("#notice")).to_contain_text("line to floor, deck to floor")
        expect(page.locator("#notice")).to_contain_text("spout above deck")
        expect(page.locator("#notice")).not_to_contain_text("step")


def test_a_new_size_says_first_what_it_is(browser: Browser, address: str) -> None:
    """The form begins with what a size is, calls it as one usually does, and says at the field what
    is missing."""
    with opened(browser, address, PHONE, expected="422 (Unprocessable Entity)") as page:
        job = _job(page, "usual")
        page.goto(f"/job.html?job={job['id']}")
        page.locator(".wall-map button", has_text="plumbing").tap()
        region = page.get_by_role("region", name="plumbing wall", exact=True)
        region.get_by_role("button", name="Lines and sizes").tap()
        page.get_by_role("button", name="Add a size").tap()
        page.locator("#size-role").select_option("fixture from corner")
        page.get_by_role("button", name="Keep", exact=True).tap()
        expect(page.locator(".fault")).to_have_text("Is missing; fixture from corner needs it")
        expect(page.locator("#size-fixture")).to_be_focused()
        page.locator("#size-fixture").fill("arm")
        expect(page.locator("#size-name")).to_have_value("arm from corner")
        page.get_by_role("button", name="Keep", exact=True).tap()

        expect(page.locator(".size-list")).to_contain_text(
            "From the back corner level to the middle of the arm."
        )
