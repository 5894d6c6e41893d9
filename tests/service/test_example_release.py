"""A slip on its way to a released sheet of the example, and what opens it again."""

from __future__ import annotations

from typing import Any

import pytest

from tests.service.example import Example
from tests.service.running import ANY
from tests.support.pdf_reader import page_texts

pytestmark = pytest.mark.example


def test_a_slip_keeps_its_panel_from_the_saw(example: Example) -> None:
    """With the slip of the first taping the back panel is shut, and its release refused."""
    state = example.get("plan").json()["releases"]["back"]

    answer = example.release("back")

    assert state["state"] == "shut"
    assert any("left 40" in why for why in state["why_not"])
    assert (answer.status_code, answer.json()["code"]) == (409, "not-proved")


def test_a_proved_panel_is_released_by_a_person(example: Example) -> None:
    """Taped again the back panel is open; released, its sheet says so and which revision it is."""
    example.retape()
    before = example.get("documents/cutting-sheets.pdf").content
    opened = example.get("plan").json()["releases"]["back"]

    answer = example.release("back").json()["releases"]["back"]

    after = example.get("documents/cutting-sheets.pdf").content
    assert {held["why"] for held in opened["held"]} == {"nothing can check it"}
    assert (opened["state"], answer["state"], answer["revision"]) == ("shut", "released", "A")
    assert answer["who"] == "R. Fitter"
    assert "RELEASED FOR CUTTING" not in words(before)
    assert "RELEASED FOR CUTTING" in words(after)


def test_a_locked_sheet_keeps_what_photos_and_tape_said(example: Example) -> None:
    """Of each size that the sheet is cut by, as the report has it then, with the phone; a reading
    that is taken later changes nothing of it."""
    example.retape()
    report = example.client.get(f"/api/walls/{example.wall('back')['id']}/report").json()
    example.release("back")
    locked = example.locked("back")
    example.retape_again("27 1/2")

    found = {size["name"]: size for size in report["dimensions"]}
    assert set(locked.sizes) >= {"left 40", "right 40", "deck 0"}
    assert "width 40" not in locked.sizes
    assert {photo["phone"] for photo in report["photos"]} == {locked.phone}
    for name, (photo, tape) in locked.sizes.items():
        figures = ("photo_mm", "photo_u_mm", "tape_mm", "tape_u_mm")
        assert [found[name][figure] for figure in figures] == pytest.approx(
            [photo.mm, photo.u_mm, tape.mm, tape.u_mm]
        )
    assert example.locked("back") == locked


def test_a_photo_with_the_tape_in_it_vouches_for_a_size(example: Example) -> None:
    """In place of a second person, one of the job's own photos."""
    photo = example.wall("back")["photos"][0]["id"]
    path = f"/api/jobs/{example.job['id']}/panels/back/looks/hold-down"

    answer = example.client.put(path, json={"value": "3/4 in", "photo": photo})

    looks = {look["what"]: look for look in answer.json()["releases"]["back"]["looks"]}
    assert looks["hold-down"]["counts"]
    assert looks["hold-down"]["photo"] == photo
    assert not looks["agreed top"]["counts"]


def test_a_later_change_reopens_a_sheet(example: Example) -> None:
    """A size that changes after the release reopens the sheet; the next release is B."""
    example.retape()
    example.release("back")
    example.retape_again("27 1/2")

    reopened = example.get("plan").json()["releases"]["back"]
    again = example.release("back").json()

    assert reopened["state"] == "reopened"
    assert "since revision A" in reopened["why_not"][0]
    assert again["releases"]["back"]["revision"] == "B", again


def test_a_change_too_small_to_print_reopens_nothing(example: Example) -> None:
    """A reading that is replaced by one a few hundredths of a millimetre away changes no mark."""
    example.retape()
    example.release("back")
    example.retape_again("700.05 mm")

    assert example.get("plan").json()["releases"]["back"]["state"] == "released"


def test_a_release_is_taken_back(example: Example) -> None:
    """A withdrawn sheet is an estimate again, and another release gets the next letter."""
    example.release("plumbing")
    path = f"/api/jobs/{example.job['id']}/panels/plumbing/release"

    withdrawn = example.client.delete(path).json()["releases"]["plumbing"]
    none_left = example.client.delete(path)
    again = example.release("plumbing").json()["releases"]["plumbing"]

    assert (withdrawn["state"], none_left.status_code) == ("open", 404)
    assert (again["state"], again["revision"]) == ("released", "B")


def words(pdf: bytes) -> str:
    return "\n".join(page_texts(pdf))


def test_a_photo_that_is_taken_off_vouches_for_nothing(example: Example) -> None:
    """The tape in a photo vouches for the hold-down; taken off the wall, it is asked for again, and
    the sheet that was released by it is open."""
    photo = example.wall("far-end")["photos"][-1]["id"]
    path = f"/api/jobs/{example.job['id']}/panels/plumbing/looks/hold-down"
    answer = example.client.put(path, json={"value": "3/4 in", "photo": photo})
    assert answer.status_code == 200, answer.text
    assert example.release("plumbing").status_code == 200
    assert _hold_down(example)["photo"] == photo

    taken_off = example.client.delete(f"/api/photos/{photo}", headers=ANY)

    assert taken_off.status_code == 200, taken_off.text
    assert not _hold_down(example)["counts"]
    assert example.get("plan").json()["releases"]["plumbing"]["state"] == "reopened"


def _hold_down(example: Example) -> dict[str, Any]:
    looks = example.get("plan").json()["releases"]["plumbing"]["looks"]
    return next(dict(look) for look in looks if look["what"] == "hold-down")
