"""The example job as tests find it in a service."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

from fastapi.testclient import TestClient

from service.files.report import Report
from service.measuring.field_truth import Evidence
from service.settings import Settings
from tests.service.running import wall_of

WALLS = ("plumbing", "back", "far-end")


EXAMPLE = Settings().example_folder


RETAPED = json.loads((EXAMPLE / "retape.json").read_text(encoding="utf-8"))


@dataclass(frozen=True)
class Example:
    """A service with the example in it, all its photos looked at."""

    client: TestClient
    job: dict[str, Any]

    def wall(self, name: str) -> dict[str, Any]:
        return wall_of(self.client, self.job, name)

    def report(self, name: str) -> Report:
        answer = self.client.get(f"/api/walls/{self.wall(name)['id']}/report")
        assert answer.status_code == 200, answer.text
        return Report.model_validate_json(answer.text)

    def get(self, path: str) -> Any:
        return self.client.get(f"/api/jobs/{self.job['id']}/{path}")

    def locked(self, panel: str) -> Evidence:
        """What is kept of its last revision."""
        tools = self.client.app.state.tools  # type: ignore[attr-defined]
        with tools.store.read() as unit:
            kept: Evidence = unit.revisions.of_job(self.job["id"], panel)[-1].evidence
        return kept

    def release(self, panel: str) -> Any:
        """Released after a second person has looked at all that asks for it."""
        wanted = self.get("plan").json()["releases"][panel]["looks"]
        looks = [
            {
                "what": look["what"],
                "value": look["value"],
                "first": "R. Fitter",
                "second": "S. Mate",
            }
            for look in wanted
            if not look["counts"]
        ]
        path = f"/api/jobs/{self.job['id']}/panels/{panel}/release"
        return self.client.post(path, json={"who": "R. Fitter", "looks": looks})

    def retape(self) -> None:
        path = f"/api/walls/{self.wall(RETAPED['wall'])['id']}/readings"
        assert self.client.post(path, json=RETAPED["reading"]).status_code == 201

    def retape_again(self, value: str) -> None:
        path = f"/api/walls/{self.wall(RETAPED['wall'])['id']}/readings"
        replaced = RETAPED["reading"]["id"]
        reading = {**RETAPED["reading"], "id": "later", "replaces": replaced, "value": value}
        assert self.client.post(path, json=reading).status_code == 201
