"""JSON bodies, read as strictly as files are and refused in the same words."""

from __future__ import annotations

import json
from typing import Any, Final, TypeVar

from fastapi import Depends, Request
from pydantic import BaseModel

from service.errors import FileError, ServiceError
from service.files.loading import parse_model

_Model = TypeVar("_Model", bound=BaseModel)
TEMPLATE: Final = "#/components/schemas/{model}"
ASKED: Final[dict[str, dict[str, Any]]] = {}
"""Schemas of the bodies by name, for the OpenAPI document."""


def body_of(model: type[_Model]) -> Any:
    """Dependency that gives the request's body as a checked ``model``.

    Raises
    ------
    ServiceError
        ``wrong-type``, ``bad-json`` or ``invalid``.
    """

    async def read(request: Request) -> _Model:
        kind = request.headers.get("Content-Type", "").partition(";")[0].strip().lower()
        if kind != "application/json":
            raise ServiceError("wrong-type", "Expected Content-Type: application/json.")
        return checked(model, await request.body())

    return Depends(read)


def checked(model: type[_Model], body: bytes) -> _Model:
    """The body as a checked ``model``; errors as `body_of`."""
    try:
        text = body.decode("utf-8")
        json.loads(text)
    except (ValueError, RecursionError) as error:
        raise ServiceError("bad-json", f"Expected a JSON object in UTF-8: {error}.") from None
    try:
        return parse_model(text, "body", model)
    except FileError as error:
        detail = f"{error.field}: {error.expected}" if error.field else error.expected
        raise ServiceError("invalid", detail, field=error.field) from None


def takes(model: type[BaseModel], **example: object) -> dict[str, Any]:
    """The body of a route, as OpenAPI declares it."""
    schema = model.model_json_schema(ref_template=TEMPLATE, by_alias=True, mode="validation")
    ASKED.update(schema.pop("$defs", {}))
    ASKED[model.__name__] = schema
    content: dict[str, Any] = {"schema": {"$ref": TEMPLATE.format(model=model.__name__)}}
    if example:
        content["example"] = json.loads(json.dumps(example))
    return {"requestBody": {"required": True, "content": {"application/json": content}}}
