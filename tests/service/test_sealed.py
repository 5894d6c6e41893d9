"""What a locked revision is sealed against: changes made behind the program's back."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from service.measuring.release.revision import fingerprint
from service.measuring.release.sealed import cut_lines
from tests.service.running import service_on
from tests.service.taped_job import SECOND, Job, taped_job

NOT_INTACT = ["revision A is not what its hash was made of: release the sheet again"]
Row = dict[str, Any]


@pytest.fixture
def job(tmp_path: Path) -> Iterator[Job]:
    """A job in a service of its own, for its database is opened from outside."""
    with service_on(tmp_path / "data") as client:
        yield taped_job(client)


@pytest.fixture
def database(tmp_path: Path) -> Path:
    """Where that service keeps it."""
    return tmp_path / "data" / "tapeproof.sqlite3"


def altered(path: Path, **columns: Callable[[Any], Any]) -> Row:
    """The last revision's row, after these columns were changed behind the program's back."""
    with closing(sqlite3.connect(path)) as file:
        file.row_factory = sqlite3.Row
        file.execute("DROP TRIGGER IF EXISTS revisions_no_update")
        row = dict(file.execute("SELECT * FROM revisions ORDER BY place DESC").fetchone())
        for name, change in columns.items():
            row[name] = change(row[name])
            where = f"UPDATE revisions SET {name} = ? WHERE place = ?"
            file.execute(where, (row[name], row["place"]))
        file.commit()
    return row


def facts_altered(path: Path, table: str, old: str, new: str) -> None:
    """A fact of the job or of its walls, put otherwise in the text that the database keeps."""
    column = {"jobs": "document", "walls": "facts"}[table]
    with closing(sqlite3.connect(path)) as file:
        found = file.execute(f"UPDATE {table} SET {column} = replace({column}, ?, ?)", (old, new))
        assert found.rowcount
        file.commit()


def in_json(**changes: Any) -> Callable[[str], str]:
    """A column's JSON with these keys otherwise."""
    return lambda text: json.dumps(json.loads(text) | changes)


def test_a_locked_revision_cannot_be_changed(job: Job, database: Path) -> None:
    """The database itself refuses to change or drop a revision."""
    job.released("back")
    with closing(sqlite3.connect(database)) as file:
        for verb in ("UPDATE revisions SET letter = 'B'", "DELETE FROM revisions"):
            with pytest.raises(sqlite3.IntegrityError, match="never changed"):
                file.execute(verb)


@pytest.mark.parametrize(
    ("column", "change"),
    [
        ("content", in_json(hand="left")),
        ("content", in_json(**{"taped: far end deck 0": "by the boss"})),
        ("content", in_json(**{"looked at: hand": "T. Helper and U. Mate"})),
        ("sizes", in_json(**{"far end deck 0": 1600.0})),
        ("evidence", in_json(phone="Phone Two")),
        ("evidence", lambda _: None),
        ("evidence", lambda _: "{}"),
        ("who", lambda _: "T. Helper"),
        ("at", lambda _: "2026-11-25T00:00:00.000Z"),
    ],
)
def test_a_revision_that_was_altered_releases_nothing(
    job: Job, database: Path, column: str, change: Callable[[Any], Any]
) -> None:
    """What it is cut by, who taped, looked and released, when, and what photos and tape said: with
    any of it altered the sheet is for no cutting, says so, and is released anew as B."""
    job.released("far-end")
    altered(database, **{column: change})

    found = job.panel("far-end")

    assert (found["state"], found["changes"]) == ("reopened", NOT_INTACT)
    rows = job.ask("GET", "panels/far-end/revisions").json()["revisions"]
    assert [row["intact"] for row in rows] == [False]
    assert job.released("far-end")["revision"] == "B"


def test_a_revision_made_up_anew_is_not_the_one_that_was_released(job: Job, database: Path) -> None:
    """Altered together with a fingerprint that fits: the job's own note of the release does not."""
    job.released("back")
    row = altered(database)
    content = json.loads(row["content"]) | {"looked at: hold-down": "T. Helper and U. Mate"}
    mark = fingerprint("back", "A", content)
    altered(database, content=lambda _: json.dumps(content), fingerprint=lambda _: mark)

    found = job.panel("back")

    assert (found["state"], found["changes"]) == ("reopened", NOT_INTACT)


@pytest.mark.parametrize(
    ("table", "old", "new", "told"),
    [
        ("walls", '"who":"S. Mate"', '"who":"T. Helper"', "taped: back deck -14: was "),
        (
            "jobs",
            '"second":"S. Mate"',
            '"second":"T. Helper"',
            "looked at: hold-down: was R. Fitter and S. Mate, now R. Fitter and T. Helper",
        ),
    ],
)
def test_who_answers_for_a_sheet_cannot_be_exchanged(
    job: Job, database: Path, table: str, old: str, new: str, told: str
) -> None:
    """Takers of its readings, and who looked, put otherwise in the facts themselves: every value is
    the same, and the sheet is open again and says whose word is gone."""
    job.released("back")
    facts_altered(database, table, old, new)

    found = job.panel("back")

    assert found["state"] == "reopened"
    assert any(change.startswith(told) for change in found["changes"]), found["changes"]


def test_who_comes_to_it_later_reopens_nothing(job: Job) -> None:
    """A third person tapes a size to the same figure, takes one again to the same, and two others
    look at the top for another sheet: the back sheet's own people still answer for it."""
    job.released("back")
    rod = {"instrument": SECOND}
    job.read("back", "left 16", "29 9/16", "third", who="T. Helper")
    again = job.reading_of("back", "left 16", "S")
    job.read("back", "left 16", "29 9/16", "again", who="S. Mate", replaces=again, **rod)
    top = next(one for one in job.panel("plumbing")["looks"] if one["what"] == "agreed top")
    others = {"value": top["value"], "first": "T. Helper", "second": "U. Mate"}
    answer = job.ask("PUT", "panels/plumbing/looks/agreed-top", others)

    assert answer.status_code == 200, answer.text
    assert job.panel("back")["changes"] == []
    assert job.panel("back")["state"] == "released"


def test_only_the_sheet_that_was_looked_at_is_released(job: Job) -> None:
    """Somebody turns the pattern on while another looks at the plain sheet: its release is refused,
    whether it waits or somebody has released it as it is now, until it is looked at anew."""
    plain = job.panel("back")["shown"]
    job.release("back")
    job.ask("DELETE", "panels/back/release")
    job.set_plan(pattern={"tile": ["12", "12"], "joint": "1/8", "course": "stacked"})
    path = "panels/back/release"

    waiting = job.ask("POST", path, {"who": "R. Fitter", "shown": plain})
    now = job.panel("back")["shown"]
    seen = job.ask("POST", path, {"who": "S. Mate", "shown": now})
    released = job.ask("POST", path, {"who": "R. Fitter", "shown": plain})

    for answer in (waiting, released):
        assert (answer.status_code, answer.json()["code"]) == (412, "stale")
    assert seen.status_code == 200, seen.text
    rows = job.ask("GET", "panels/back/revisions").json()["revisions"]
    assert [(row["letter"], row["who"]) for row in rows] == [("A", "R. Fitter"), ("B", "S. Mate")]


def test_other_eyes_in_place_of_those_that_looked_reopen_it(job: Job) -> None:
    """The look is put anew by two others: whoever answered for the sheet does not any more, and the
    next revision says so."""
    job.released("far-end")
    value = next(one["value"] for one in job.panel("far-end")["looks"] if one["what"] == "hand")
    others = {"value": value, "first": "T. Helper", "second": "U. Mate"}
    job.ask("PUT", "panels/far-end/looks/hand", others)

    found = job.panel("far-end")
    job.ask("POST", "panels/far-end/release", {"who": "R. Fitter"})

    told = "looked at: hand: was R. Fitter and S. Mate, now T. Helper and U. Mate"
    assert (found["state"], found["changes"]) == ("reopened", [told])
    rows = job.ask("GET", "panels/far-end/revisions").json()["revisions"]
    assert [(row["letter"], row["changes"]) for row in rows] == [("A", []), ("B", [told])]


def test_an_override_that_changes_or_goes_reopens_its_sheet(job: Job) -> None:
    """Another reason, another person, none at all: each is told, and none leaves the sheet for
    cutting; put again as it was, the sheet is what was released. Nobody who taped the size stands
    in for who let it stand, though the reading is another's."""
    job = taped_job(job.client, slip=True)
    path = "panels/back/overrides/left 40"
    given = {
        "reading": job.reading_of("back", "left 40", "R"),
        "who": "C. Office",
        "reason": "seen",
    }
    assert job.ask("PUT", path, given).status_code == 200
    job.released("back")

    states = []
    for change in ({"reason": "seen again"}, {"who": "D. Boss"}, {}):
        job.ask("PUT", path, given | change)
        states.append(job.panel("back")["state"])
    job.ask("DELETE", path)
    without = job.panel("back")
    cross = {"reading": job.reading_of("back", "left 40", "S"), "who": "R. Fitter"}
    answer = job.ask("PUT", path, given | cross)

    assert states == ["reopened", "reopened", "released"]
    assert without["state"] == "reopened"
    assert "override by C. Office: seen, does not count any more" in without["changes"][0]
    assert (answer.status_code, answer.json()["field"]) == (422, "who")


def test_a_revision_of_an_earlier_version_still_holds(job: Job, database: Path) -> None:
    """It was locked without who answers for it and without evidence: it is intact, its sheet stays
    released whoever taped it, and what it is cut by is still watched."""
    job.released("back")
    row = altered(database)
    kept = json.loads(row["content"])
    content = cut_lines(kept)
    mark = fingerprint("back", "A", content)
    earlier = {"content": json.dumps(content), "fingerprint": mark, "evidence": None}
    altered(database, **{name: _always(value) for name, value in earlier.items()})
    facts_altered(database, "jobs", row["fingerprint"], mark)
    facts_altered(database, "walls", '"who":"S. Mate"', '"who":"T. Helper"')

    before = job.panel("back")["state"]
    intact = job.ask("GET", "panels/back/revisions").json()["revisions"][0]["intact"]
    job.set_plan(stock=[{"name": "one size", "size": ["96", "96"], "finished": ["top"]}])

    assert len(content) < len(kept)
    assert (before, intact) == ("released", True)
    assert job.panel("back")["state"] == "reopened"


def _always(value: Any) -> Callable[[Any], Any]:
    return lambda _: value
