"""The history: appended only, chained, and enough to make the facts anew."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from service.routes.jobs import changes_after
from service.store.engine import open_engine
from service.store.sql_store import SqlStore
from service.store.wall_document import empty_facts, with_value
from tests.service.running import (
    new_job,
    plain_jpeg,
    send_photo,
    service_on,
    wall_of,
)

ANY = {"If-Match": "*"}


def worked_on(client: TestClient) -> tuple[dict[str, Any], dict[str, Any]]:
    """A job and its back wall after changes of every kind."""
    job = new_job(client)
    wall = wall_of(client, job)
    path = f"/api/walls/{wall['id']}"
    send_photo(client, wall["id"], plain_jpeg())
    for name in ("left 16", "right 16"):
        client.put(f"/api/photos/photo-1/marks/{name}", json={"at": [9.0, 9.0]}, headers=ANY)
    client.delete("/api/photos/photo-1/marks/left 16", headers=ANY)
    client.post(f"{path}/undo")
    client.put(f"{path}/cards/3", json={"print_job": "A"}, headers=ANY)
    client.delete(f"{path}/dimensions/width 40", headers=ANY)
    client.patch(path, json={"level": None, "datum_card": 3}, headers=ANY)
    reading = {"id": "r1", "dimension": "width 16", "value": "58 1/2"}
    client.post(f"{path}/readings", json=reading)
    return job, wall_of(client, job)


def opened(folder: Path) -> SqlStore:
    return SqlStore(open_engine(folder / "data" / "tapeproof.sqlite3"), look_version=1)


@pytest.fixture
def closed(tmp_path: Path) -> tuple[Path, dict[str, Any]]:
    """The folder of a service that has worked and ended, and the wall it worked on."""
    with service_on(tmp_path / "data") as client:
        _, wall = worked_on(client)
    return tmp_path, wall


def test_the_facts_can_be_made_anew(closed: tuple[Path, dict[str, Any]]) -> None:
    """The events of a wall, one after another, lead to the facts that are kept."""
    folder, wall = closed
    store = opened(folder)
    with store.read() as unit:
        events = unit.events.of_wall(wall["id"])
        kept = unit.jobs.wall(wall["id"])
    store.close()

    facts = empty_facts()
    for event in events:
        if event.kind == "wall":
            facts = event.after
        elif event.kind != "look":
            facts = with_value(facts, event.path, event.after)

    assert facts == kept.facts
    assert {event.kind for event in events} >= {"mark", "photo", "lines", "reading", "card"}


def test_the_chain_is_whole(closed: tuple[Path, dict[str, Any]]) -> None:
    """Every event follows from the one before it."""
    store = opened(closed[0])
    with store.read() as unit:
        assert unit.events.first_broken() is None
    store.close()


def test_a_change_behind_the_programs_back_shows(closed: tuple[Path, dict[str, Any]]) -> None:
    """An event that was altered in the file, the triggers taken off, breaks the chain there."""
    folder, _ = closed
    with closing(sqlite3.connect(folder / "data" / "tapeproof.sqlite3")) as file:
        file.execute("DROP TRIGGER events_no_update")
        file.execute("UPDATE events SET who = 'another' WHERE seq = 5")
        file.commit()
    store = opened(folder)
    with store.read() as unit:
        assert unit.events.first_broken() == 5
    store.close()


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE events SET who = 'another'",
        "DELETE FROM events",
        "INSERT OR REPLACE INTO events SELECT * FROM events WHERE seq = 1",
    ],
)
def test_the_history_is_only_appended_to(
    closed: tuple[Path, dict[str, Any]], statement: str
) -> None:
    """Neither a change nor a deletion nor a replacement of an event gets through."""
    engine = open_engine(closed[0] / "data" / "tapeproof.sqlite3")
    with (
        pytest.raises(Exception, match="appended to, never changed"),
        engine.begin() as connection,
    ):
        connection.exec_driver_sql(statement)
    engine.dispose()


def test_changes_are_streamed(closed: tuple[Path, dict[str, Any]]) -> None:
    """What `stream` sends is each event after the given number, with the wall's version."""
    folder, wall = closed
    store = opened(folder)
    with store.read() as unit:
        events = unit.events.of_job(wall["job"])
        found = changes_after(unit, wall["job"], events[-3].seq)
    store.close()

    assert [message.id for _, message in found] == [str(event.seq) for event in events[-2:]]
    assert found[-1][1].data == {
        "seq": events[-1].seq,
        "wall": wall["id"],
        "revision": wall["revision"],
        "kind": "reading",
    }
