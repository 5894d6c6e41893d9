"""Every error in one shape (RFC 9457), with a stable code."""

from __future__ import annotations

import errno
from http import HTTPStatus
from typing import Any, Final

from fastapi import Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import Response
from starlette.exceptions import HTTPException

from service.errors import ServiceError
from service.files.api.answers import Problem

MEDIA_TYPE: Final = "application/problem+json"
TITLES: Final[dict[str, tuple[int, str]]] = {
    "bad-json": (400, "The body cannot be read as JSON"),
    "digest-missing": (400, "The part carries no digest"),
    "cross-site": (403, "Asked for by another site"),
    "not-found": (404, "There is no such thing"),
    "wrong-method": (405, "This cannot be done with it"),
    "already-there": (409, "That id is taken"),
    "has-readings": (409, "Readings depend on it"),
    "nothing-to-undo": (409, "Nothing to take back"),
    "nothing-to-redo": (409, "Nothing to do again"),
    "changed-since": (409, "It has been changed since"),
    "part-differs": (409, "The part is here with other bytes"),
    "parts-missing": (409, "Parts are missing"),
    "looking": (409, "Nobody has looked at the photo yet"),
    "nothing-yet": (409, "There is nothing to measure yet"),
    "cannot-plan": (409, "The panels cannot be planned"),
    "not-proved": (409, "The panel may not be released"),
    "stale": (412, "It has been changed meanwhile"),
    "too-large": (413, "Too large"),
    "wrong-type": (415, "Not the right kind of body"),
    "wrong-host": (421, "Not a name of this machine"),
    "invalid": (422, "A value will not do"),
    "digest-mismatch": (422, "The bytes are not those that were meant"),
    "key-reused": (422, "The idempotency key was used for something else"),
    "no-version": (428, "If-Match is missing"),
    "fault": (500, "A fault of the program"),
    "busy": (503, "Busy"),
    "no-room": (507, "The disk is full"),
}
"""Status and title by code. Any other code is a refusal of the photos or of the wall: 409."""
_REFUSED: Final = (409, "It cannot be measured")
READ: Final = ("invalid", "wrong-host", "busy")
"""Codes that any reading route may answer with."""
WRITE: Final = (
    *READ,
    "bad-json",
    "wrong-type",
    "too-large",
    "cross-site",
    "key-reused",
    "no-room",
)
"""Codes that any changing route may answer with."""
_OF_STATUS: Final = {404: "not-found", 405: "wrong-method", 413: "too-large", 415: "wrong-type"}


def problem_response(error: ServiceError) -> Response:
    """The answer to a request that cannot be done."""
    status, title = TITLES.get(error.code, _REFUSED)
    problem = Problem(
        title=title,
        status=status,
        detail=error.detail,
        code=error.code,
        field=error.field or None,
        do=error.do or None,
        current=_plain(error.current),
    )
    return Response(problem.model_dump_json(exclude_none=True), status, media_type=MEDIA_TYPE)


def on_service_error(_request: Request, error: Exception) -> Response:
    """Handler of `ServiceError`."""
    if not isinstance(error, ServiceError):
        raise error
    return problem_response(error)


def on_http_error(request: Request, error: Exception) -> Response:
    """Handler of what the framework itself refuses."""
    if not isinstance(error, HTTPException):
        raise error
    code = _OF_STATUS.get(error.status_code, "bad-json")
    detail = {
        "not-found": f"There is nothing at {request.url.path}.",
        "wrong-method": f"{request.method} cannot be used on {request.url.path}.",
    }.get(code, HTTPStatus(error.status_code).phrase)
    response = problem_response(ServiceError(code, detail))
    for name, value in (error.headers or {}).items():
        response.headers[name] = value
    return response


def on_invalid(_request: Request, error: Exception) -> Response:
    """Handler of a path, query or header value that will not do."""
    if not isinstance(error, RequestValidationError):
        raise error
    first = error.errors()[0]
    place = ".".join(str(part) for part in first["loc"])
    return problem_response(ServiceError("invalid", f"{place}: {first['msg']}", field=place))


def on_fault(_request: Request, error: Exception) -> Response:
    """Handler of everything else; what happened is in the log, not in the answer."""
    if isinstance(error, OSError) and error.errno == errno.ENOSPC:
        return problem_response(
            ServiceError("no-room", "Nothing was kept: the disk is full.", do="Make room.")
        )
    return problem_response(
        ServiceError("fault", "Something went wrong in the program.", do="Try again.")
    )


def problems(*codes: str) -> dict[int | str, dict[str, Any]]:
    """The error answers of a route, as OpenAPI declares them."""
    by_status: dict[int | str, list[str]] = {}
    for code in codes:
        by_status.setdefault(TITLES.get(code, _REFUSED)[0], []).append(code)
    return {
        status: {
            "model": Problem,
            "description": " / ".join(TITLES.get(code, _REFUSED)[1] for code in found),
            "content": {
                MEDIA_TYPE: {
                    "schema": {"$ref": "#/components/schemas/Problem"},
                    "examples": {code: {"value": _example(code)} for code in found},
                }
            },
        }
        for status, found in by_status.items()
    }


def _example(code: str) -> dict[str, Any]:
    status, title = TITLES.get(code, _REFUSED)
    return {
        "type": "about:blank",
        "title": title,
        "status": status,
        "detail": f"{title}.",
        "code": code,
    }


def _plain(current: object) -> dict[str, Any] | None:
    if current is None:
        return None
    dump = getattr(current, "model_dump", None)
    found: dict[str, Any] = dump(mode="json", by_alias=True) if dump is not None else {}
    return found
