"""What stands before every route: who may ask at all, how much, and what every answer carries.

There is no sign-in, so only this machine may ask. A page of another site that is open in the same
browser is on this machine too: it is told by the browser's own word (Sec-Fetch-Site, else Origin),
and a name of another site that was pointed at this machine by the Host it asks for.
"""

from __future__ import annotations

import re
from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any, Final, TypeAlias
from urllib.parse import urlsplit

from service.errors import ServiceError
from service.loopback import is_loopback
from service.routes.edge.problems import problem_response

Scope: TypeAlias = MutableMapping[str, Any]
Message: TypeAlias = MutableMapping[str, Any]
Receive: TypeAlias = Callable[[], Awaitable[Message]]
Send: TypeAlias = Callable[[Message], Awaitable[None]]
App: TypeAlias = Callable[[Scope, Receive, Send], Awaitable[None]]

MOST_JSON: Final = 1024 * 1024
MOST_PART: Final = 4 * 1024 * 1024
_PART: Final = re.compile(r"^/api/uploads/[^/]+/parts/[^/]+$")
_SAFE: Final = frozenset({"GET", "HEAD", "OPTIONS"})
_HEADERS: Final = {
    b"content-security-policy": b"default-src 'self'; img-src 'self' blob: data:; "
    b"object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'",
    b"x-content-type-options": b"nosniff",
    b"referrer-policy": b"no-referrer",
    b"cross-origin-resource-policy": b"same-origin",
    b"cross-origin-opener-policy": b"same-origin",
    b"permissions-policy": b"geolocation=(), microphone=(), camera=(self)",
}


class Guard:
    """Middleware round the whole application."""

    def __init__(self, app: App) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, or refuse it."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        sent = _Sent(send)
        try:
            headers = {name.lower(): value for name, value in scope["headers"]}
            _check_host(headers)
            _check_site(scope["method"], headers)
            limit = MOST_PART if _PART.match(scope["path"]) else MOST_JSON
            _check_length(headers, limit)
            await self._app(scope, _Counted(receive, limit), sent)
        except ServiceError as error:
            if sent.started:
                raise
            await problem_response(error)(scope, receive, sent)


class _Sent:
    """Adds what every answer carries; what an answer sets itself stays."""

    def __init__(self, send: Send) -> None:
        self._send = send
        self.started = False

    async def __call__(self, message: Message) -> None:
        if message["type"] == "http.response.start":
            self.started = True
            own = {name.lower() for name, _ in message["headers"]}
            added = [(name, value) for name, value in _HEADERS.items() if name not in own]
            if b"cache-control" not in own:
                added.append((b"cache-control", b"no-store"))
            message = {**message, "headers": [*message["headers"], *added]}
        await self._send(message)


class _Counted:
    """Ends a body that is longer than its limit, whatever its length was said to be."""

    def __init__(self, receive: Receive, limit: int) -> None:
        self._receive = receive
        self._limit = limit
        self._seen = 0

    async def __call__(self) -> Message:
        message = await self._receive()
        if message["type"] == "http.request":
            self._seen += len(message.get("body", b""))
            if self._seen > self._limit:
                raise _too_large(self._limit)
        return message


def _check_host(headers: dict[bytes, bytes]) -> None:
    host = headers.get(b"host", b"").decode("latin-1")
    if not is_loopback(_host_name(f"//{host}")):
        raise ServiceError(
            "wrong-host",
            f"Asked for as {host[:100]!r}; expected a name of this machine.",
            do="Open http://127.0.0.1 with the port that the service printed.",
        )


def _check_site(method: str, headers: dict[bytes, bytes]) -> None:
    if method in _SAFE:
        return
    site = headers.get(b"sec-fetch-site")
    origin = headers.get(b"origin")
    if site is not None and site not in (b"same-origin", b"none"):
        raise _cross_site()
    if origin is not None and site is None:
        host = headers.get(b"host", b"").decode("latin-1")
        if urlsplit(origin.decode("latin-1")).netloc != host:
            raise _cross_site()


def _check_length(headers: dict[bytes, bytes], limit: int) -> None:
    length = headers.get(b"content-length", b"0")
    if length.isdigit() and int(length) > limit:
        raise _too_large(limit)


def _host_name(url: str) -> str:
    try:
        return urlsplit(url).hostname or ""
    except ValueError:
        return ""


def _cross_site() -> ServiceError:
    return ServiceError("cross-site", "A page of another site may change nothing here.")


def _too_large(limit: int) -> ServiceError:
    return ServiceError(
        "too-large", f"Expected a body of at most {limit} bytes.", do="Send it in smaller parts."
    )
