"""The plan's page: settings typed and kept, sheets released, changed, overridden, taped as hung."""

from __future__ import annotations

import json
import re
import uuid
from typing import Any, Final

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser.example_truth import wall_file
from tests.browser.hands import Hand
from tests.browser.job_work import JobWork
from tests.browser.screens import DESK, PHONE, opened, picture

pytestmark = [pytest.mark.browser, pytest.mark.example]

WALLS: Final = ("plumbing", "back", "far-end")
SLIP: Final = ("back", "left 40")
REFUSED: Final = "422 (Unprocessable"
"""The browser's own note of what the page then says at the field."""


def test_settings_are_typed_kept_and_drawn(browser: Browser, address: str) -> None:
    """At the desk: a wrong length is said at its field and loses nothing; kept settings are what
    the plan is made from: courses in half offset, a window, another top."""
    with opened(browser, address, DESK, expected=REFUSED) as page:
        _open_plan(page, _job(page, slip=False))
        form = page.get_by_role("form", name="Settings of the plan")
        _unfold(form, "Sheets and pattern")
        form.get_by_label("Face of the sheets").select_option("tile")
        _unfold(form, "Sheets and pattern")
        form.get_by_label("Courses").select_option("half offset")
        _unfold(form, "Top and level line")
        top = form.get_by_label("Finished top above the level line")
        top.fill("one and a quarter")
        _add_window(form)
        form.get_by_role("button", name="Keep the settings").click()
        expect(top).to_be_focused()
        expect(form.locator(".fault")).to_contain_text("length")
        page.reload()
        page.locator("svg.unfolded").wait_for()
        expect(form.get_by_role("status").first).to_contain_text("Not kept yet")
        _unfold(form, "Top and level line")
        expect(top).to_have_value("one and a quarter")
        top.fill("1 1/4")
        form.get_by_role("button", name="Keep the settings").click()

        expect(page.locator("#notice")).to_contain_text("The settings are kept")
        expect(page.locator(".opening text")).to_contain_text("window 24 × 30")
        levels = page.locator(".joints").nth(1).locator("line").evaluate_all(_UPRIGHT)
        assert len({round(x) for x, _ in levels}) > len(
            {round(x) for x, top in levels if top == min(t for _, t in levels)}
        )
        page.reload()
        _unfold(form, "Top and level line")
        expect(top).to_have_value("1 1/4")
        picture(page, "plan-settings-desk")


def test_an_allowance_is_set_with_its_reason(browser: Browser, address: str) -> None:
    """At the desk: out of range is refused at the field; within it the job's own practice says
    what was changed and why."""
    with opened(browser, address, DESK, expected=REFUSED) as page:
        _open_plan(page, _job(page, slip=False))
        form = page.get_by_role("form", name="Settings of the plan")
        _unfold(form, "Shop practice")
        form.get_by_label("Change", exact=True).select_option("joint.deck")
        form.get_by_label("Value", exact=True).fill("2")
        form.get_by_role("button", name="Set for this job").click()
        expect(form.locator(".fault")).to_contain_text("expected 0.0625 to 0.375 in")
        form.get_by_label("Value", exact=True).fill("3/16")
        form.get_by_label("Why", exact=True).fill("sheet maker, 2.3")
        form.get_by_role("button", name="Set for this job").click()
        row = form.get_by_role("row", name="joint, deck")
        expect(row).to_contain_text("sheet maker, 2.3")
        form.get_by_role("button", name="Keep the settings").click()
        expect(page.locator("#notice")).to_contain_text("The settings are kept")


def test_a_sheet_is_released_changed_and_released_again(browser: Browser, address: str) -> None:
    """On a phone: what nothing checks wants ticks and two people; a change says what it was; the
    next release is B, and every paper that is listed is there."""
    with opened(browser, address, PHONE, expected=REFUSED) as page:
        work = JobWork(page, Hand(page, touch=True))
        job = _job(page, slip=False)
        _open_plan(page, job)
        panel = page.locator("#panel-far-end")
        expect(panel).to_contain_text("ready to be released")
        caution = page.locator("#caution")
        expect(caution).to_contain_text("Estimate, not for cutting.")
        work.hand.press(panel.get_by_role("button", name="Release for cutting"))
        expect(panel.locator(".fault")).to_have_text("Look at it, and tick it.")
        work.release("far-end")
        expect(panel).to_contain_text("revision A by R. Fitter")
        expect(caution).to_contain_text("Not for cutting: the back and plumbing panels.")
        _hung(work, panel, "R. Fitter", "11")
        expect(panel).to_contain_text("Changed since revision A")
        # a bare number is in the unit that this browser types in: 279.4 mm are 11 in
        page.evaluate("localStorage.setItem('tapeproof.unit', 'mm')")
        _open_plan(page, job)
        _hung(work, panel, "S. Mate", "279.4")
        expect(panel.locator(".changes")).to_contain_text("taped by R. Fitter and S. Mate")
        picture(page, "plan-changed-phone")
        panel.get_by_label("Released by").fill("R. Fitter")
        work.hand.press(panel.get_by_role("button", name="Release for cutting"))
        expect(panel).to_contain_text("revision B by R. Fitter")
        panel.get_by_text("Revisions up to B").tap()
        expect(panel.get_by_role("heading", name="Revision A")).to_be_visible()
        _every_paper_is_there(page)


def test_a_sheet_that_changed_while_it_was_looked_at_is_not_released(
    browser: Browser, address: str
) -> None:
    """On a phone: the office sets another stock while the sheet is shown. Its release is refused,
    and it is shown as it is now; looked at anew it goes."""
    with opened(browser, address, PHONE, expected="412 (Precondition Failed") as page:
        work = JobWork(page, Hand(page, touch=True))
        job = _job(page, slip=False)
        _open_plan(page, job)
        settings = page.request.get(f"/api/jobs/{job}/plan-settings").json()
        kept = {key: settings[key] for key in ("plan", "practice", "prices")}
        kept["plan"]["stock"] = [{"name": "one size", "size": ["96", "96"], "finished": ["top"]}]
        put, anything = page.request.put, {"If-Match": "*"}
        assert put(f"/api/jobs/{job}/plan-settings", data=kept, headers=anything).ok

        work.ask_release("back")
        expect(page.locator("#notice")).to_contain_text(
            "another by now than the one that was shown"
        )
        panel = page.locator("#panel-back")
        expect(panel).to_contain_text("one size")
        expect(panel).not_to_contain_text("revision A")
        picture(page, "plan-release-refused-phone")
        work.release("back")
        expect(panel).to_contain_text("revision A by R. Fitter")


def test_a_conflict_is_overridden_by_somebody_else(browser: Browser, address: str) -> None:
    """At the desk: the one who taped it is refused at the name; the office's reason stands on the
    card and on the paper."""
    with opened(browser, address, DESK, expected=REFUSED) as page:
        job = _job(page, slip=True)
        _open_plan(page, job)
        panel = page.locator("#panel-back")
        expect(panel.locator(".held li").first).to_contain_text(
            "left 40: conflicts with the photos"
        )
        expect(panel.locator(".held li").first).not_to_contain_text("back left 40:")
        panel.get_by_text("Let left 40 stand by override").click()
        panel.get_by_label("Let stand by").fill("R. Fitter")
        panel.get_by_label("Reason").fill("checked by hand on site")
        panel.get_by_role("button", name="Override", exact=True).click()
        expect(panel.locator(".fault")).to_contain_text("Overridden by the one who taped it")
        panel.get_by_label("Let stand by").fill("C. Office")
        panel.get_by_role("button", name="Override", exact=True).click()

        expect(panel).to_contain_text("left 40 overridden by C. Office: checked by hand on site")
        expect(panel).to_contain_text("ready to be released")
        drawing = page.request.get(f"/api/jobs/{job}/documents/back.svg").text()
        assert "override by C. Office: checked by hand on site" in drawing


def test_a_job_half_measured_is_told_what_is_missing(browser: Browser, address: str) -> None:
    """On the first visit, with one reading: the plan's page says, wall by wall, which sizes nobody
    knows yet and where to go for them, and no failure."""
    with opened(browser, address, PHONE) as page:
        job = page.request.post("/api/jobs", data={"name": "Half", "plumbing_side": "left"}).json()
        back = next(wall["id"] for wall in job["walls"] if wall["name"] == "back")
        _read(page, back, "left 0", "28 1/16", "R. Fitter", "rod")
        page.goto(f"/plan.html?job={job['id']}")
        missing = page.get_by_role("region", name="No panels yet").locator("li")
        expect(missing).to_have_text(
            [
                "Plumbing wall: nothing is measured or taped yet.",
                "Back wall: 18 of 19 sizes, namely left 16, left 40, left 64 and 15 more.",
                "Far end wall: nothing is measured or taped yet.",
            ]
        )
        expect(page.locator("#notice")).to_be_empty()
        picture(page, "plan-half-measured")
        page.get_by_role("link", name="To the walls").tap()
        page.wait_for_url("**/job.html?job=*")


def test_a_wall_that_a_plan_is_set_for_and_nobody_measured_is_told(
    browser: Browser, address: str
) -> None:
    """Settings that have the plumbing wall, of which nothing is known: it is told as missing."""
    with opened(browser, address, PHONE) as page:
        job = page.request.post("/api/jobs", data={"name": "Set", "plumbing_side": "left"}).json()
        back = next(wall["id"] for wall in job["walls"] if wall["name"] == "back")
        _read(page, back, "left 0", "28 1/16", "R. Fitter", "rod")
        plan = {"walls": [{"wall": "plumbing", "corner": "right"}]}
        body = {"plan": plan, "practice": None, "prices": None}
        path = f"/api/jobs/{job['id']}/plan-settings"
        assert page.request.put(path, data=body, headers={"If-Match": "*"}).ok
        page.goto(f"/plan.html?job={job['id']}")
        missing = page.get_by_role("region", name="No panels yet").locator("li")
        expect(missing.first).to_have_text("Plumbing wall: nothing is measured or taped yet.")


def test_a_release_is_taken_back_without_a_plan(browser: Browser, address: str) -> None:
    """On a phone: the settings name a size that no wall has, so there is no plan; the page says
    why, and the sheet that is still released is taken back there."""
    with opened(browser, address, PHONE, expected="409 (Conflict") as page:
        job = _job(page, slip=False)
        _released_then_unplanned(page, job)
        page.goto(f"/plan.html?job={job}")
        still = page.get_by_role("region", name="Released sheets")
        expect(still).to_contain_text("back sheet, revision A")
        expect(page.locator("#notice")).to_contain_text("no such size")
        picture(page, "plan-unplanned-phone")
        still.get_by_role("button", name="Take release back").tap()

        expect(page.locator("#notice")).to_have_text(re.compile("back: release taken back"))
        expect(still).to_have_count(0)


_UPRIGHT: Final = """lines => lines
  .filter((l) => Math.abs(l.x1.baseVal.value - l.x2.baseVal.value) < 0.5)
  .map((l) => [l.x1.baseVal.value, Math.min(l.y1.baseVal.value, l.y2.baseVal.value)])"""


def _job(page: Page, *, slip: bool) -> str:
    """A job that is taped by two people, as the example is, put there at once."""
    job = page.request.post("/api/jobs", data={"name": "Plan", "plumbing_side": "left"}).json()
    walls = {wall["name"]: wall["id"] for wall in job["walls"]}
    for wall in WALLS:
        for row in wall_file(wall)["readings"]:
            slipped = (wall, row["dimension"]) == SLIP
            value = "27 9/16" if slipped and not slip else row["value"]
            for who, how in (("R. Fitter", "hook to mark"), ("S. Mate", "rod")):
                _read(page, walls[wall], row["dimension"], value, who, how)
    return str(job["id"])


def _released_then_unplanned(page: Page, job: str) -> None:
    api = f"/api/jobs/{job}"
    plan = page.request.get(f"{api}/plan").json()
    people = {"first": "R. Fitter", "second": "S. Mate"}
    looks = plan["releases"]["back"]["looks"]
    asked = [{"what": look["what"], "value": look["value"], **people} for look in looks]
    body = {"who": "R. Fitter", "looks": asked}
    assert page.request.post(f"{api}/panels/back/release", data=body).ok
    settings = page.request.get(f"{api}/plan-settings").json()
    back = next(wall for wall in settings["plan"]["walls"] if wall["wall"] == "back")
    back["left"] = [{"down": "16", "dimension": "no such size"}]
    kept = {key: settings[key] for key in ("plan", "practice", "prices")}
    anew = page.request.put(f"{api}/plan-settings", data=kept, headers={"If-Match": "*"})
    assert anew.ok, anew.text()


def _read(page: Page, wall: str, size: str, value: str, who: str, how: str) -> None:
    instrument = {"kind": "rod" if how == "rod" else "tape", "method": how}
    body = {"id": str(uuid.uuid4()), "dimension": size, "value": value, "who": who}
    answer = page.request.post(
        f"/api/walls/{wall}/readings", data=json.dumps({**body, "instrument": instrument}),
        headers={"Content-Type": "application/json"},
    )  # fmt: skip
    assert answer.ok, answer.text()


def _open_plan(page: Page, job: str) -> None:
    page.goto(f"/plan.html?job={job}")
    page.locator("svg.unfolded").first.wait_for()


def _unfold(form: Locator, title: str) -> None:
    fold = form.locator("details", has=form.page.locator(f"summary:text-is('{title}')")).last
    if fold.get_attribute("open") is None:
        fold.locator("summary").first.click()


def _add_window(form: Locator) -> None:
    back = form.locator("details", has=form.page.locator("summary:text-is('Back wall')")).last
    back.locator("summary").first.click()
    part = back.locator("> details", has_text="Windows and niches")
    part.locator("summary").click()
    part.get_by_role("button", name="Add an opening").click()
    sizes: dict[str, Any] = {
        "Name": "window", "Left side": "-12", "Right side": "12", "Head": "6", "Sill": "36",
        "Depth": "3",
    }  # fmt: skip
    for label, value in sizes.items():
        part.get_by_label(label, exact=True).fill(value)


def _hung(work: JobWork, panel: Locator, who: str, value: str) -> None:
    panel.get_by_text("Tape from the hung back panel").tap()
    panel.get_by_label("Height", exact=True).select_option("40")
    panel.get_by_label("Reading", exact=True).fill(value)
    panel.get_by_label("Taped by").fill(who)
    work.hand.press(panel.get_by_role("button", name="Keep reading"))
    expect(work.page.locator("#notice")).to_contain_text("from the hung back panel is kept")


def _every_paper_is_there(page: Page) -> None:
    links = page.locator("[data-paper]").evaluate_all(
        "all => all.map((a) => [a.dataset.paper, a.href])"
    )
    assert len(links) == 17
    for name, href in links:
        answer = page.request.get(href)
        assert answer.ok, (name, answer.status)
        assert len(answer.body()) > 400, name
