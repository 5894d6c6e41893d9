"""A job of which every size is taped by two people, ready to be looked at and released."""

from __future__ import annotations

import json
import uuid
from dataclasses import dataclass
from typing import Any

from fastapi.testclient import TestClient

from service.settings import Settings
from service.store.changes import change_wall
from service.store.new_job import add_job
from service.store.rows import Acting
from tests.service.running import wall_of

ANY = {"If-Match": "*"}
HANDS = Settings().example_folder / "seed-1"
RETAPED = json.loads((HANDS.parent / "retape.json").read_text(encoding="utf-8"))
SECOND = {"kind": "rod", "method": "rod"}
PEOPLE = {"first": "R. Fitter", "second": "S. Mate"}


@dataclass(frozen=True)
class Job:
    """A job of which every size was taped by two people, without a photo."""

    client: TestClient
    id: str

    def panel(self, name: str) -> dict[str, Any]:
        answer = self.client.get(f"/api/jobs/{self.id}/plan")
        assert answer.status_code == 200, answer.text
        return dict(answer.json()["releases"][name])

    def ask(self, method: str, path: str, body: Any = None, **headers: str) -> Any:
        return self.client.request(
            method, f"/api/jobs/{self.id}/{path}", json=body, headers=headers or None
        )

    def release(self, panel: str, **people: str) -> Any:
        wanted = self.panel(panel)["looks"]
        looks = [
            {"what": look["what"], "value": look["value"], **(people or PEOPLE)} for look in wanted
        ]
        return self.ask("POST", f"panels/{panel}/release", {"who": "R. Fitter", "looks": looks})

    def released(self, panel: str) -> dict[str, Any]:
        answer = self.release(panel)
        assert answer.status_code == 200, answer.text
        return dict(answer.json()["releases"][panel])

    def set_plan(self, **changes: Any) -> None:
        settings = self.ask("GET", "plan-settings").json()
        body = {key: settings[key] for key in ("plan", "practice", "prices")}
        body["plan"] |= changes
        answer = self.ask("PUT", "plan-settings", body, **ANY)
        assert answer.status_code == 200, answer.text

    def read(self, wall: str, size: str, value: str, reading: str, **more: Any) -> None:
        """One reading; a standing one is replaced."""
        job = self.client.get(f"/api/jobs/{self.id}").json()
        found = wall_of(self.client, job, wall)
        body = {"id": reading, "dimension": size, "value": value, "who": "R. Fitter", **more}
        answer = self.client.post(f"/api/walls/{found['id']}/readings", json=body)
        assert answer.status_code == 201, answer.text

    def readings(self, wall: str) -> list[dict[str, Any]]:
        """Of a wall, the oldest first."""
        found = self.client.get(f"/api/jobs/{self.id}").json()
        return list(wall_of(self.client, found, wall)["readings"])

    def reading_of(self, wall: str, size: str, who: str) -> str:
        """Id of the last one of a size by whoever's name begins so."""
        rows = self.readings(wall)
        own = [row for row in rows if row["dimension"] == size and row["who"][0] == who]
        return str(own[-1]["id"])


def taped_job(service: TestClient, *, slip: bool = False) -> Job:
    """The example's readings, each by two people, the slip taken again or not; all written down at
    once, for what is tried begins when everything is taped."""
    acting = Acting("R. Fitter", "2026-11-24T09:30:00Z")
    app: Any = service.app
    with app.state.tools.store.write() as unit:
        job = add_job(
            unit,
            acting,
            job_id=str(uuid.uuid4()),
            name="Hall bath",
            plumbing_side="left",
            bare_unit="in",
            scope="over tile",
        )
        for wall in unit.jobs.walls(job.id):
            readings = _readings_by_two(wall.name, slip=slip)
            change_wall(unit, acting, wall, ["readings"], readings, "example", "readings")
    return Job(service, job.id)


def _readings_by_two(wall: str, *, slip: bool) -> dict[str, Any]:
    rows = json.loads((HANDS / f"{wall}.json").read_text(encoding="utf-8"))["readings"]
    found = {}
    for row in rows:
        value = row["value"]
        if row["id"] == RETAPED["reading"]["replaces"] and not slip:
            value = RETAPED["reading"]["value"]
        for who, more in (("R. Fitter", {}), ("S. Mate", {"instrument": SECOND})):
            one = {"id": f"{row['id']}-{who[0]}", "dimension": row["dimension"]}
            found[one["id"]] = {**one, "value": value, "who": who, "at": row["at"], **more}
    return found
