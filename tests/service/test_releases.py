"""Release in the service: second looks, overrides, as-hung widths, locked revisions."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from fastapi.testclient import TestClient

from tests.service.running import service_on, wall_of
from tests.service.taped_job import ANY, PEOPLE, SECOND, Job, taped_job
from tests.support.pdf_reader import page_words


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """One service for the file."""
    with service_on(tmp_path_factory.mktemp("releases") / "data") as client:
        yield client


@pytest.fixture
def job(service: TestClient) -> Job:
    """A new job with the example's readings, each by two people, the slip taken again."""
    return taped_job(service)


def _wanted(job: Job, panel: str) -> list[tuple[str, str]]:
    return [(look["what"], look["value"]) for look in job.panel(panel)["looks"]]


def test_proved_sizes_alone_release_nothing(job: Job) -> None:
    """Every size is proved, but nobody looked at what nothing checks: refused, and told why."""
    answer = job.ask("POST", "panels/back/release", {"who": "R. Fitter"})

    assert {held["what"] for held in job.panel("back")["held"]} == {"hold-down", "agreed top"}
    assert (answer.status_code, answer.json()["code"]) == (409, "not-proved")
    assert "hold-down: nothing can check it" in answer.json()["detail"]
    assert "second person" in answer.json()["do"]


def test_a_release_locks_its_sheet_and_no_other(job: Job) -> None:
    """Looked at and released in one go, the back sheet is revision A with a hash; others wait."""
    back = job.released("back")

    assert (back["state"], back["revision"], len(back["fingerprint"])) == ("released", "A", 64)
    assert job.panel("plumbing")["state"] == "shut"
    text = job.ask("GET", "documents/cutting-sheets.pdf").content
    for page in [page for page in page_words(text) if page.startswith("BACK WALL")]:
        assert f"sheet revision A, hash {back['fingerprint'][:12]}" in page


@pytest.mark.parametrize(
    ("look", "field"),
    [
        ({"first": "R. Fitter", "second": "r. fitter "}, "second"),
        ({"first": "R. Fitter", "second": "FITTER R"}, "second"),
        ({"first": "someone", "second": "S. Mate"}, "first"),
        ({"first": "R. Fitter"}, "second"),
        ({"second": "S. Mate"}, "first"),
        ({"photo": "no-such-photo"}, "photo"),
        ({**PEOPLE, "value": "1 in"}, "value"),
    ],
)
def test_a_look_that_vouches_for_nothing_is_refused(
    job: Job, look: dict[str, str], field: str
) -> None:
    """One person twice, half a pair, no such photo, or another value than the plan has."""
    body = {"value": "3/4 in", **look}

    answer = job.ask("PUT", "panels/back/looks/hold-down", body)

    assert (answer.status_code, answer.json()["field"]) == (422, field)
    assert not job.panel("back")["looks"][0]["counts"]


def test_a_refused_look_leaves_the_sheet_unreleased(job: Job) -> None:
    """A release whose looks will not do changes nothing at all."""
    answer = job.release("back", first="A", second="A")

    assert answer.status_code == 422
    assert job.panel("back")["state"] == "shut"
    assert not any(look["first"] for look in job.panel("back")["looks"])


def test_nobody_releases_a_sheet(job: Job) -> None:
    """All is proved and looked at, but whoever sends it gives no name: not locked."""
    looks = [{"what": look, "value": value, **PEOPLE} for look, value in _wanted(job, "back")]

    answer = job.ask("POST", "panels/back/release", {"looks": looks})

    assert (answer.status_code, answer.json()["field"]) == (422, "who")
    assert job.panel("back")["revision"] is None


def test_a_look_can_be_taken_back(job: Job) -> None:
    """What was looked at is open again; a thing that is not asked for is not found."""
    job.ask("PUT", "panels/back/looks/hold-down", {"value": "3/4 in", **PEOPLE})
    assert job.panel("back")["looks"][0]["counts"]

    job.ask("DELETE", "panels/back/looks/hold-down")

    assert not job.panel("back")["looks"][0]["counts"]
    assert job.ask("DELETE", "panels/back/looks/hold-down").status_code == 404
    asked = job.ask("PUT", "panels/back/looks/hand", {"value": "left hand", **PEOPLE})
    assert asked.status_code == 404


def test_what_is_common_is_looked_at_once(job: Job) -> None:
    """Hold-down and agreed top, vouched for at the back sheet, are asked at no other sheet; hand,
    edge and valve still are, and the value itself still has to be the one that was looked at."""
    job.released("back")

    plumbing = {look["what"]: look for look in job.panel("plumbing")["looks"]}

    assert {what for what, look in plumbing.items() if look["counts"]} == {
        "hold-down", "agreed top"
    }  # fmt: skip
    assert plumbing["hold-down"]["second"] == "S. Mate"
    assert {"hand", "face to valve"} <= {held["what"] for held in job.panel("plumbing")["held"]}


def test_a_common_look_is_taken_back_wherever_it_is_shown(job: Job) -> None:
    """Taken back at the plumbing sheet, the top that was looked at for the back sheet is open for
    both: the back sheet is not for cutting any more, and says why."""
    job.released("back")

    answer = job.ask("DELETE", "panels/plumbing/looks/agreed-top")

    assert answer.status_code == 200, answer.text
    assert job.panel("back")["state"] == "reopened"
    for panel in ("back", "plumbing"):
        assert "agreed top" in {held["what"] for held in job.panel(panel)["held"]}


def test_another_top_reopens_every_sheet_and_asks_to_be_looked_at(job: Job) -> None:
    """The look was at 3/4 in; the top is at 1 1/4 in now."""
    job.released("back")
    plan = job.ask("GET", "plan-settings").json()["plan"]
    walls = [{**wall, "hold_down": None} for wall in plan["walls"]]
    job.set_plan(top={**plan["top"], "above_line": "1 1/4"}, walls=walls)

    back = job.panel("back")

    assert back["state"] == "reopened"
    assert any(c.startswith("hold-down: was 3/4 in, now 1 1/4 in") for c in back["changes"])
    held = {one["what"]: one["why"] for one in back["held"]}
    assert held["hold-down"] == "confirmed as 3/4 in, and now it is 1 1/4 in"
    assert job.released("back")["revision"] == "B"


def test_a_change_reopens_only_the_sheet_it_touches(job: Job) -> None:
    """A size of the far end wall is taped again: its sheet is open, the back sheet is not."""
    job.released("back")
    job.released("far-end")
    for who, more in (("R", {}), ("S", {"instrument": SECOND, "who": "S. Mate"})):
        old = job.reading_of("far-end", "deck plumb", who)
        job.read("far-end", "deck plumb", "66 5/16", f"again-{who}", replaces=old, **more)

    far_end, back = job.panel("far-end"), job.panel("back")

    assert (back["state"], back["changes"]) == ("released", [])
    assert far_end["state"] == "reopened"
    assert far_end["changes"][0].startswith("size far end deck 0 (deck plumb): was ")
    assert ', now 66 21/64"' in far_end["changes"][0]


def test_a_conflict_is_let_stand_by_another_person_and_told_on_every_page(
    service: TestClient,
) -> None:
    """The slip holds the back sheet; its taper may not override it, the office may, and the reason
    stands on every later page of the back panel and on none of another."""
    job = taped_job(service, slip=True)
    reading = job.reading_of("back", "left 40", "R")
    path = "panels/back/overrides/left 40"
    reason = "offset checked by hand on site"
    assert job.release("back").json()["code"] == "not-proved"

    own = job.ask("PUT", path, {"reading": reading, "who": "R. Fitter", "reason": reason})
    other = job.ask("PUT", path, {"reading": reading, "who": "C. Office", "reason": reason})
    wrong = job.ask("PUT", path, {"reading": "none", "who": "C. Office", "reason": reason})
    later = {"id": "later", "replaces": job.reading_of("back", "left 40", "S"), "who": "S. Mate"}
    job.read("back", "left 40", "26 9/16", later.pop("id"), **later)
    old = {"reading": later["replaces"], "who": "C. Office", "reason": reason}
    replaced = job.ask("PUT", path, old)

    assert (own.status_code, own.json()["field"]) == (422, "who")
    for who, why, field in (
        ("fitter,  R", reason, "who"),
        ("Rob Fitter", reason, "who"),
        ("someone", reason, "who"),
        ("C. Office", "-", "reason"),
    ):
        cheat = job.ask("PUT", path, {"reading": reading, "who": who, "reason": why})
        assert (cheat.status_code, cheat.json()["field"]) == (422, field), who
    assert (wrong.status_code, wrong.json()["field"]) == (422, "reading")
    assert (replaced.status_code, replaced.json()["field"]) == (422, "reading")
    assert "no longer stands" in replaced.json()["detail"]
    assert other.status_code == 200, other.text
    assert job.panel("back")["overrides"][0]["who"] == "C. Office"
    assert not any("left 40" in held["what"] for held in job.panel("back")["held"])
    told = f"override by C. Office: {reason}"
    for name in ("cutting-sheets.pdf", "templates.pdf"):
        for page in page_words(job.ask("GET", f"documents/{name}").content):
            assert (told in page) is ("BACK WALL" in page.upper()), (name, page[:80])
    for name in ("estimate.pdf", "install.pdf", "order.pdf", "elevation.pdf"):
        for page in page_words(job.ask("GET", f"documents/{name}").content):
            assert told in page, (name, page[:80])
    for name in ("back.svg", "back.dxf", "elevation.svg", "order.csv", "panels.json"):
        assert told in job.ask("GET", f"documents/{name}").text, name
    assert told not in job.ask("GET", "documents/far-end.svg").text
    stands = f"let stand by C. Office: {reason}"
    assert stands in job.ask("GET", "check/check.csv").text
    assert reason in job.ask("GET", "check/check.json").text
    for page in page_words(job.ask("GET", "check/check.pdf").content):
        assert f"left 40, by C. Office: {reason}" in page

    job.ask("DELETE", path)
    assert stands not in job.ask("GET", "check/check.csv").text
    assert any("left 40" in held["what"] for held in job.panel("back")["held"])


def test_as_hung_widths_take_the_place_of_build_up(job: Job) -> None:
    """Taped from the hung face by two people, the sheet is cut by that: a bed 1/4 in thicker than
    its nominal makes it 1/4 in narrower there; and its revision is open again."""
    job.released("far-end")
    before = _width_at(job, "far-end", "40")
    inner = _value(job, "far-end", "inner 40")
    hung = f"{inner - 25.4 / 4 - 25.4 / 4:.2f} mm"

    first = {"id": "hung-1", "down": "40", "value": hung, "who": "R. Fitter"}
    one = job.ask("POST", "panels/far-end/as-hung", first)
    alone = job.panel("far-end")
    again = job.ask("POST", "panels/far-end/as-hung", first)
    job.ask("POST", "panels/far-end/as-hung", {**first, "id": "hung-2", "who": "S. Mate"})

    assert (one.status_code, again.status_code) == (200, 200), one.text
    assert any("left 40" in held["what"] for held in alone["held"])
    found = job.panel("far-end")
    assert not any("left 40" in held["what"] for held in found["held"])
    assert found["state"] == "reopened"
    assert _width_at(job, "far-end", "40") == pytest.approx(before - 25.4 / 4, abs=0.3)
    assert any("taped by R. Fitter and S. Mate" in change for change in found["changes"])


def test_what_to_tape_next_is_what_the_plan_cuts_by(job: Job) -> None:
    """An offset that nobody has taped yet is wanted for what a sheet is usually cut by; once the
    settings are kept, which cut by no such offset, it holds nothing and is not on the list."""
    wall = wall_of(job.client, job.client.get(f"/api/jobs/{job.id}").json(), "far-end")
    body = {"from": "a", "to": "b", "role": "offset", "side": "outer", "down": "30"}
    path = f"/api/walls/{wall['id']}/dimensions/outer 30"
    assert job.client.put(path, json=body, headers=ANY).status_code == 200

    def wanted() -> list[str]:
        walls = job.ask("GET", "check").json()["walls"]
        found = next(row for row in walls if row["name"] == "far-end")
        return [row["size"] for row in found["tape_next"]]

    before = wanted()
    job.set_plan()

    assert before == ["outer 30"]
    assert wanted() == []
    assert job.released("far-end")["state"] == "released"


@pytest.mark.parametrize(
    ("station", "told"),
    [
        ({"down": "40", "dimension": "left 16"}, "it was taken 16 in below the level line"),
        ({"down": "40", "dimension": "right 40"}, "it was taken on the right"),
        ({"down": "40", "dimension": "width 40"}, "it is told to be of another kind: width"),
    ],
)
def test_a_sheet_is_not_cut_by_a_size_that_was_taken_elsewhere(
    job: Job, station: dict[str, str], told: str
) -> None:
    """Each is proved by two people; but not for the left side at 40 in. The sheet that was locked
    is open again, and cannot be locked so."""
    job.released("back")
    walls = job.ask("GET", "plan-settings").json()["plan"]["walls"]
    for wall in walls:
        if wall["wall"] == "back":
            wall["left"] = [station if one["down"] == "40" else one for one in wall["left"]]
    job.set_plan(walls=walls)

    back = job.panel("back")

    assert back["state"] == "reopened"
    assert any(told in held["why"] for held in back["held"]), back["held"]
    assert job.release("back").json()["code"] == "not-proved"


def test_the_back_sheet_has_no_hung_widths(job: Job) -> None:
    """Only an end sheet meets the hung back panel; a length that is none is refused by name."""
    body = {"id": "hung-1", "down": "40", "value": "27"}
    assert job.ask("POST", "panels/back/as-hung", body).status_code == 422
    bad = job.ask("POST", "panels/far-end/as-hung", {**body, "down": "deep"})
    assert (bad.status_code, bad.json()["field"]) == (422, "down")


def test_revisions_are_kept_and_say_what_changed(job: Job) -> None:
    """A, taken back, then B after a change: both are there, whole, with what B has otherwise."""
    job.released("back")
    job.ask("DELETE", "panels/back/release")
    assert job.panel("back")["state"] == "open"
    job.set_plan(
        stock=[{"name": "one size", "size": ["96", "96"], "finished": ["top", "left", "right"]}]
    )
    job.released("back")

    rows = job.ask("GET", "panels/back/revisions").json()["revisions"]

    assert [(row["letter"], row["intact"]) for row in rows] == [("A", True), ("B", True)]
    assert any(change.startswith("sheet: was ") for change in rows[1]["changes"])
    assert "size back left 16" in rows[0]["content"]


def test_a_release_is_taken_back_where_no_plan_can_be_made(job: Job) -> None:
    """The settings name a size that no wall has: the sheet is withdrawn all the same, the answer
    says why there is no plan, and once there is one the sheet is not for cutting."""
    job.released("back")
    kept = job.ask("GET", "plan-settings").json()["plan"]["walls"]
    left = [{"down": "16", "dimension": "no such size"}]
    job.set_plan(walls=[{**w, "left": left} if w["wall"] == "back" else w for w in kept])
    assert job.ask("GET", "plan").json()["code"] == "cannot-plan"
    assert job.ask("GET", "").json()["released"] == {"back": "A"}

    answer = job.ask("DELETE", "panels/back/release")

    assert answer.status_code == 200, answer.text
    assert answer.json()["plan"] is None
    assert "no such size" in answer.json()["cannot_plan"]["text"]
    assert job.ask("GET", "").json()["released"] == {}
    job.set_plan(walls=kept)
    assert job.panel("back")["state"] == "open"


def test_a_sheet_that_was_never_locked_has_no_revision(job: Job) -> None:
    """Asked for before the first release, the list is empty."""
    answer = job.ask("GET", "panels/back/revisions")

    assert (answer.status_code, answer.json()) == (200, {"revisions": []})


def test_a_release_is_done_once_for_a_key(job: Job) -> None:
    """Sent again under its key, or again at all, a release is still revision A."""
    looks = [{**look, **PEOPLE} for look in _asked(job, "back")]
    body = {"who": "R. Fitter", "looks": looks}
    key = {"Idempotency-Key": "release-once-1"}

    one = job.ask("POST", "panels/back/release", body, **key)
    two = job.ask("POST", "panels/back/release", body, **key)
    three = job.ask("POST", "panels/back/release", body)

    assert two.headers["Idempotency-Replayed"] == "true"
    assert {a.json()["releases"]["back"]["revision"] for a in (one, two, three)} == {"A"}
    assert len(job.ask("GET", "panels/back/revisions").json()["revisions"]) == 1


def test_every_step_is_in_the_history(job: Job) -> None:
    """Looks, the release and its withdrawal are events, each by who did it."""
    job.released("back")
    job.ask("DELETE", "panels/back/release")

    kinds = [event["kind"] for event in job.ask("GET", "events").json()["events"]]

    assert kinds.count("look") == 2
    assert kinds.count("release") == 2


def _asked(job: Job, panel: str) -> list[dict[str, str]]:
    return [{"what": look["what"], "value": look["value"]} for look in job.panel(panel)["looks"]]


def _value(job: Job, wall: str, size: str) -> float:
    row = next(r for r in job.readings(wall) if r["dimension"] == size)
    return float(row["echo"].partition("= ")[2].removesuffix(" mm"))


def _width_at(job: Job, wall: str, down: str) -> float:
    plan = job.ask("GET", "plan").json()["plan"]
    panel = next(p for p in plan["panels"] if p["wall"] == wall.replace("-", " "))
    marks = [m for m in panel["marks"] if m["edge"] == "inner"]
    wanted = float(down) * 25.4 + panel["level_y_mm"]
    near = min(marks, key=lambda mark: abs(mark["station_mm"] - wanted))
    return float(near["value_mm"])


def test_the_history_calls_a_wall_as_people_do(job: Job) -> None:
    """Looked at, released and taken back: of the far end, which the service keeps as far-end."""
    job.released("far-end")
    assert job.ask("DELETE", "panels/far-end/release").status_code == 200

    told = " ".join(row["what"] for row in job.ask("GET", "events").json()["events"])
    assert "looked at the far end panel's hand" in told
    assert "of the far end panel's sheet" in told
    assert "far-end" not in told
