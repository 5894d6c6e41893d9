"""The pages: files of the web folder, as they are."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from functools import lru_cache
from http import HTTPStatus
from pathlib import Path
from typing import Annotated, Final

from fastapi import APIRouter, Request
from fastapi import Path as InPath
from fastapi.responses import Response

from service.errors import ServiceError
from service.routes.edge.answers import not_modified
from service.routes.edge.tools import Tools, ToolsDep

router = APIRouter(include_in_schema=False)
_MEDIA_TYPES: Final = {
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".mjs": "text/javascript; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".json": "application/json",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".jpg": "image/jpeg",
    ".ico": "image/x-icon",
    ".woff2": "font/woff2",
    ".txt": "text/plain; charset=utf-8",
    ".webmanifest": "application/manifest+json",
}


@router.get("/")
def get_index(request: Request, tools: ToolsDep) -> Response:
    """The jobs list."""
    return _file(request, tools, "index.html")


@router.get("/favicon.ico")
def get_icon(request: Request, tools: ToolsDep) -> Response:
    """The icon that browsers ask for by themselves."""
    return _file(request, tools, "icon.svg")


@router.get("/{page}.html")
def get_page(
    request: Request,
    tools: ToolsDep,
    page: Annotated[str, InPath(pattern=r"^[a-z0-9-]{1,40}$")],
) -> Response:
    """One page."""
    return _file(request, tools, f"{page}.html")


@router.get("/static/{path:path}")
def get_static(request: Request, tools: ToolsDep, path: str) -> Response:
    """What the pages are made of."""
    return _file(request, tools, path)


Handler = Callable[[Request, Exception], Response]


def or_missing_page(handler: Handler) -> Handler:
    """A handler that answers a person who mistyped an address with a page, and a program as it
    did."""

    def answered(request: Request, error: Exception) -> Response:
        response = handler(request, error)
        if response.status_code != HTTPStatus.NOT_FOUND or not _is_for_a_person(request):
            return response
        page = request.app.state.tools.web_folder / "missing.html"
        return Response(page.read_bytes(), response.status_code, media_type=_MEDIA_TYPES[".html"])

    return answered


def _is_for_a_person(request: Request) -> bool:
    page = not request.url.path.startswith(("/api/", "/static/"))
    return page and request.method == "GET" and "text/html" in request.headers.get("Accept", "")


def _file(request: Request, tools: Tools, name: str) -> Response:
    folder = tools.web_folder.resolve()
    media_type = _MEDIA_TYPES.get(Path(name).suffix.lower())
    try:
        path = (folder / name).resolve()
        known = media_type is not None and path.is_relative_to(folder) and path.is_file()
    except (OSError, ValueError):
        known = False
    if not known:
        raise ServiceError("not-found", f"There is no page or file {name[:200]!r}.")
    tag = _tag(str(path), path.stat().st_mtime_ns, path.stat().st_size)
    headers = {"ETag": tag, "Cache-Control": "no-cache"}
    if not_modified(request, tag):
        return Response(status_code=304, headers=headers)
    return Response(path.read_bytes(), headers=headers, media_type=media_type)


@lru_cache(maxsize=1024)
def _tag(path: str, _changed_ns: int, _size: int) -> str:
    return f'"{hashlib.sha256(Path(path).read_bytes()).hexdigest()[:32]}"'
