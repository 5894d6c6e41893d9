"""Answers: a model as JSON with its version, and changes that are done once for each key."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from fastapi import Request
from fastapi.responses import Response
from pydantic import BaseModel

from service.errors import ServiceError
from service.routes.edge.asked import Asked
from service.routes.edge.tools import Tools
from service.store.rows import KeptAnswer
from service.store.unit import Unit

JSON: Final = "application/json"


@dataclass(frozen=True)
class Answer:
    """What a request is answered with."""

    model: BaseModel | None
    status: int = 200
    headers: Mapping[str, str] = field(default_factory=dict)


def etag(version: object) -> dict[str, str]:
    """The version as a strong ETag."""
    return {"ETag": f'"{version}"'}


def respond(answer: Answer) -> Response:
    """The answer as a response."""
    return Response(
        _body(answer),
        answer.status,
        dict(answer.headers),
        media_type=None if answer.model is None else JSON,
    )


def perform(tools: Tools, asked: Asked, change: Callable[[Unit], Answer]) -> Response:
    """Do a change and answer it, in one transaction; again under the same key: the same answer.

    Raises
    ------
    ServiceError
        ``key-reused``, and whatever ``change`` raises; nothing is kept of it then.
    """
    with tools.store.write() as unit:
        kept = None if asked.key is None else unit.kept.answer(asked.key)
        if kept is not None:
            return _replayed(kept, asked)
        answer = change(unit)
        if asked.key is not None:
            unit.kept.keep_answer(
                asked.key,
                KeptAnswer(asked.fingerprint, answer.status, answer.headers, _body(answer)),
                asked.acting.at,
            )
    tools.wake()
    return respond(answer)


def bytes_response(
    request: Request, data: bytes, media_type: str, headers: Mapping[str, str] | None = None
) -> Response:
    """Bytes with an ETag of their own, or 304 where the asker has them already."""
    tag = f'"{hashlib.sha256(data).hexdigest()[:32]}"'
    all_headers = {"ETag": tag, "Cache-Control": "no-cache", **(headers or {})}
    if not_modified(request, tag):
        return Response(status_code=304, headers=all_headers)
    return Response(data, headers=all_headers, media_type=media_type)


def not_modified(request: Request, tag: str) -> bool:
    """Whether If-None-Match names this tag."""
    sent = request.headers.get("If-None-Match", "")
    return tag in [part.strip().removeprefix("W/") for part in sent.split(",")]


def model_answer(
    model: type[BaseModel], status: int = 200, text: str = ""
) -> dict[int | str, dict[str, Any]]:
    """The answer of a route, as OpenAPI declares it."""
    return {status: {"model": model, "description": text or (model.__doc__ or "").split("\n")[0]}}


def file_answer(*kinds: str) -> dict[int | str, dict[str, Any]]:
    """The answer of a route that gives a file, as OpenAPI declares it."""
    file = {"schema": {"type": "string", "format": "binary"}}
    return {
        200: {"description": "The file.", "content": dict.fromkeys(kinds, file)},
        304: {"description": "As you have it."},
    }


def _replayed(kept: KeptAnswer, asked: Asked) -> Response:
    if kept.fingerprint != asked.fingerprint:
        raise ServiceError(
            "key-reused",
            "This Idempotency-Key was used for another request.",
            do="Use a new key for a new request.",
        )
    headers = {**kept.headers, "Idempotency-Replayed": "true"}
    media_type = JSON if kept.body else None
    return Response(kept.body, kept.status, headers, media_type=media_type)


def _body(answer: Answer) -> bytes:
    return b"" if answer.model is None else answer.model.model_dump_json(by_alias=True).encode()
