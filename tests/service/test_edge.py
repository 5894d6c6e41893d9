"""What every answer carries, who may ask, and one shape for every error."""

from __future__ import annotations

import errno
import json
import re
from collections.abc import Iterator
from typing import Any

import jsonschema
import pytest
from fastapi.testclient import TestClient

from service.files.api.answers import Problem
from service.routes.edge.problems import TITLES
from tests.rules.test_documents import spoken_codes
from tests.service.running import new_job, send_part, service_on

PATHS = [
    "/",
    "/job.html",
    "/nothing.html",
    "/static/js/api.js",
    "/static/nothing.js",
    "/api/jobs",
    "/api/jobs/none",
    "/api/nothing",
    "/api/cards/3.pdf",
    "/api/openapi.json",
]


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """One service for the file."""
    with service_on(tmp_path_factory.mktemp("edge") / "data") as client:
        yield client


@pytest.fixture(scope="module")
def schema(service: TestClient) -> dict[str, Any]:
    """The OpenAPI document."""
    return dict(service.get("/api/openapi.json").json())


def operations(schema: dict[str, Any]) -> list[tuple[str, str, dict[str, Any]]]:
    return [
        (path, method, operation)
        for path, methods in schema["paths"].items()
        for method, operation in methods.items()
    ]


@pytest.mark.parametrize("path", PATHS)
def test_every_answer_is_guarded(service: TestClient, path: str) -> None:
    """Each answer, errors too, forbids foreign code, framing and guessing of types (OWASP ASVS
    5.0, 3.4.3 to 3.4.6)."""
    headers = service.get(path).headers

    policy = headers["Content-Security-Policy"]
    for part in (
        "default-src 'self'",
        "object-src 'none'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    ):
        assert part in policy
    assert "unsafe" not in policy
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "no-referrer"
    assert headers["Cross-Origin-Resource-Policy"] == "same-origin"
    assert "Cache-Control" in headers


@pytest.mark.parametrize(
    ("host", "status"),
    [
        ("127.0.0.1:8642", 200),
        ("localhost:8642", 200),
        ("[::1]:8642", 200),
        ("rebound.example:8642", 421),
        ("192.0.2.7", 421),
        ("127.0.0.1.example", 421),
        ("", 421),
        ("[::1", 421),
    ],
)
def test_only_names_of_this_machine_are_answered(
    service: TestClient, host: str, status: int
) -> None:
    """A name of another site that was pointed at this machine is refused."""
    assert service.get("/api/version", headers={"Host": host}).status_code == status


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({}, 201),
        ({"Sec-Fetch-Site": "same-origin"}, 201),
        ({"Sec-Fetch-Site": "cross-site"}, 403),
        ({"Sec-Fetch-Site": "same-site"}, 403),
        ({"Origin": "http://127.0.0.1:8642"}, 201),
        ({"Origin": "http://127.0.0.1:9999"}, 403),
        ({"Origin": "https://other.example"}, 403),
        ({"Origin": "null"}, 403),
        ({"Sec-Fetch-Site": "same-origin", "Origin": "https://other.example"}, 201),
    ],
)
def test_another_sites_page_changes_nothing(
    service: TestClient, headers: dict[str, str], status: int
) -> None:
    """A change is taken from this site's pages and from programs, not from another site's page;
    the browser's own word counts before the origin."""
    body = {"name": "A", "plumbing_side": "left"}

    assert service.post("/api/jobs", json=body, headers=headers).status_code == status


@pytest.mark.parametrize(
    ("kind", "body", "status", "code"),
    [
        ("text/plain", b'{"name": "A", "plumbing_side": "left"}', 415, "wrong-type"),
        ("application/x-www-form-urlencoded", b"name=A", 415, "wrong-type"),
        ("application/json", b"{", 400, "bad-json"),
        ("application/json", b"\xff\xfe", 400, "bad-json"),
        ("application/json", b'{"name": "A", "name": "B"}', 422, "invalid"),
        ("application/json", b"[" * 5000, 400, "bad-json"),
        ("application/json", b'"' + b"x" * 1_100_000 + b'"', 413, "too-large"),
    ],
)
def test_a_body_is_json_of_a_bearable_size(
    service: TestClient, kind: str, body: bytes, status: int, code: str
) -> None:
    """Another kind of body, broken JSON, doubled keys, nesting and length are refused by name."""
    answer = service.post("/api/jobs", content=body, headers={"Content-Type": kind})

    assert (answer.status_code, answer.json()["code"]) == (status, code)


@pytest.mark.parametrize(
    ("method", "path", "status", "code"),
    [
        ("GET", "/api/nothing", 404, "not-found"),
        ("GET", "/api/jobs/none", 404, "not-found"),
        ("GET", "/api/walls/none", 404, "not-found"),
        ("GET", "/api/photos/none", 404, "not-found"),
        ("GET", "/api/jobs/a%20b", 422, "invalid"),
        ("PUT", "/api/jobs", 405, "wrong-method"),
        ("DELETE", "/", 405, "wrong-method"),
        ("GET", "/api/jobs/none/documents/x.exe", 422, "invalid"),
        ("GET", "/api/cards/1000.pdf", 422, "invalid"),
        ("GET", "/api/cards/900.pdf", 404, "not-found"),
    ],
)
def test_errors_have_one_shape(
    service: TestClient, method: str, path: str, status: int, code: str
) -> None:
    """What cannot be done is answered as RFC 9457 says, with the code that is documented."""
    answer = service.request(method, path)

    assert answer.status_code == status
    assert answer.headers["Content-Type"] == "application/problem+json"
    problem = Problem.model_validate_json(answer.text)
    assert (problem.code, problem.status) == (code, status)


@pytest.mark.parametrize("path", ["/nope", "/nope.html", "/job/1/wall"])
def test_a_mistyped_address_is_answered_with_a_page(service: TestClient, path: str) -> None:
    """A person gets a way back to the jobs; whoever asks for no page gets the problem."""
    answer = service.get(path, headers={"Accept": "text/html,*/*;q=0.8"})
    assert (answer.status_code, answer.headers["Content-Type"]) == (404, "text/html; charset=utf-8")
    assert 'href="/"' in answer.text
    assert "Content-Security-Policy" in answer.headers
    assert service.get(path).json()["code"] == "not-found"
    of_the_api = service.get("/api" + path, headers={"Accept": "text/html"})
    assert of_the_api.json()["code"] == "not-found"


def test_a_fault_says_nothing_of_the_inside(
    service: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A fault of the program is answered without its trace (OWASP ASVS 5.0, 16.5.1)."""
    monkeypatch.setattr("service.routes.jobs.list_jobs", lambda *_, **__: 1 / 0)

    answer = service.get("/api/jobs")

    assert (answer.status_code, answer.json()["code"]) == (500, "fault")
    assert "ZeroDivision" not in answer.text
    assert "Content-Security-Policy" in answer.headers


def test_a_full_disk_is_said_as_such(service: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the disk is full the sender learns that nothing was kept, and why."""

    def full(_handle: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    answer = send_part(service, "full", 0, b"bytes")
    monkeypatch.undo()

    assert (answer.status_code, answer.json()["code"]) == (507, "no-room")
    assert service.get("/api/uploads/full").json()["parts"] == []


@pytest.mark.parametrize("header", ["Tapeproof-Who", "Idempotency-Key", "If-Match"])
def test_bad_headers_are_refused(service: TestClient, header: str) -> None:
    """A header that will not do is refused and does no harm."""
    job = new_job(service)

    answer = service.patch(f"/api/jobs/{job['id']}", json={"name": "B"}, headers={header: "%00"})

    assert answer.status_code in (412, 422)


def test_every_route_declares_its_errors(schema: dict[str, Any]) -> None:
    """Each route declares the errors that the guard and its own values give, as problems."""
    for path, method, operation in operations(schema):
        declared = operation["responses"]
        place = f"{method} {path}"
        assert "421" in declared, place
        if method != "get":
            assert {"400", "403", "413", "415", "422"} <= set(declared), place
        for status, answer in declared.items():
            if status.isdigit() and int(status) >= 400:
                content = answer["content"]
                assert "application/problem+json" in content, f"{place} {status}"


def test_every_route_is_told_in_words(schema: dict[str, Any]) -> None:
    """Each route has a sentence, a tag and an answer with a schema or a kind of file."""
    for path, method, operation in operations(schema):
        place = f"{method} {path}"
        assert operation.get("description"), place
        assert operation.get("tags"), place
        good = [status for status in operation["responses"] if status.startswith("2")]
        assert good, place


def test_every_body_has_a_valid_example(schema: dict[str, Any]) -> None:
    """Each JSON body comes with an example, which is right by the body's own schema."""
    for path, method, operation in operations(schema):
        content = operation.get("requestBody", {}).get("content", {})
        if "application/json" not in content:
            continue
        assert "example" in content["application/json"], f"{method} {path}"
        body = {**content["application/json"]["schema"], "components": schema["components"]}
        jsonschema.validate(content["application/json"]["example"], body)


def test_no_reference_leads_nowhere(schema: dict[str, Any]) -> None:
    """Every schema that is named is there."""
    named = set(re.findall(r'"#/components/schemas/([^"]+)"', json.dumps(schema)))

    assert named <= set(schema["components"]["schemas"])


def test_documented_codes_are_the_known_ones(schema: dict[str, Any]) -> None:
    """A code that a route declares has a title, or is a refusal that the program can speak."""
    declared = set(re.findall(r'"code": "([a-z-]+)"', json.dumps(schema["paths"])))
    refusals = declared - set(TITLES)

    assert {"no-card", "not-observable", "lens-not-determined"} <= refusals
    assert refusals <= spoken_codes().keys()


def test_pages_are_asked_for_again_only_when_they_changed(service: TestClient) -> None:
    """A page is checked each time and sent only if it is another one."""
    page = service.get("/static/js/api.js")

    again = service.get("/static/js/api.js", headers={"If-None-Match": page.headers["ETag"]})

    assert page.headers["Content-Type"].startswith("text/javascript")
    assert page.headers["Cache-Control"] == "no-cache"
    assert (again.status_code, again.content) == (304, b"")


@pytest.mark.parametrize(
    "path",
    [
        "/static/../pyproject.toml",
        "/static/%2e%2e/pyproject.toml",
        "/static/..%2fpyproject.toml",
        "/static//etc/passwd",
        "/static/js",
        "/static/a%00b.js",
        "/static/" + "a" * 5000 + ".js",
        "/pyproject.html",
    ],
)
def test_nothing_outside_the_web_folder_is_given(service: TestClient, path: str) -> None:
    """No way leads out of the folder of the pages."""
    assert service.get(path).status_code == 404
