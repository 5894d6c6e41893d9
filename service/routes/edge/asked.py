"""Who asks, on which version, and under which key."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Annotated, Final
from urllib.parse import unquote

from fastapi import Depends, Header, Path, Request

from service.errors import ServiceError
from service.measuring.release.facts import NOBODY
from service.store.rows import Acting

_LONGEST_NAME: Final = 200
_KEY: Final = re.compile(r"^[\x21-\x7e]{8,200}$")
_TAG: Final = re.compile(r'^\s*"(\d{1,9})(?:\.\d{1,9})?"\s*$')

IdPath = Annotated[str, Path(pattern=r"^[A-Za-z0-9_-]{1,64}$")]
NamePath = Annotated[str, Path(min_length=1, max_length=200)]


@dataclass(frozen=True)
class Asked:
    """A request to change something.

    Attributes
    ----------
    fingerprint
        Of method, path and body: what an idempotency key stands for.
    if_match
        The version that the change was made on, as sent.
    """

    acting: Acting
    key: str | None
    fingerprint: str
    if_match: str | None

    def require(self, revision: int, current: Callable[[], object]) -> None:
        """Refuse a change that was made on another version.

        Raises
        ------
        ServiceError
            ``no-version`` without If-Match, ``stale`` with the document as it is now.
        """
        if self.if_match is None:
            raise ServiceError(
                "no-version",
                "Expected If-Match with the version that is changed.",
                do="Read it, and send its ETag as If-Match.",
            )
        if self.if_match.strip() == "*":
            return
        tags = [_TAG.match(tag) for tag in self.if_match.split(",")]
        if revision not in [int(tag[1]) for tag in tags if tag]:
            raise ServiceError(
                "stale",
                f"Expected a change of version {revision}; If-Match says {self.if_match[:80]}.",
                do="Look at what is there now, and make the change again.",
                current=current(),
            )


def now_text() -> str:
    """Now, UTC, ISO 8601."""
    return datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


async def _asked(
    request: Request,
    tapeproof_who: Annotated[
        str, Header(description="Name of the person, percent-encoded UTF-8.", max_length=1000)
    ] = NOBODY,
    idempotency_key: Annotated[
        str | None,
        Header(description="The same key and body again: the same answer, nothing done twice."),
    ] = None,
    if_match: Annotated[
        str | None, Header(description="ETag of the version that is changed.", max_length=400)
    ] = None,
    user_agent: Annotated[str, Header(include_in_schema=False)] = "",
) -> Asked:
    if idempotency_key is not None and not _KEY.match(idempotency_key):
        raise ServiceError(
            "invalid",
            "Idempotency-Key: expected 8 to 200 visible ASCII characters.",
            field="Idempotency-Key",
        )
    body = await request.body()
    target = f"{request.method} {request.url.path}?{request.url.query}\n"
    fingerprint = hashlib.sha256(target.encode() + body).hexdigest()
    acting = Acting(_name(tapeproof_who), now_text(), user_agent[:_LONGEST_NAME])
    return Asked(acting, idempotency_key, fingerprint, if_match)


def _name(header: str) -> str:
    name = unquote(header, errors="replace").strip()
    if not name or len(name) > _LONGEST_NAME or not name.isprintable():
        raise ServiceError(
            "invalid",
            f"Tapeproof-Who: expected a name of 1 to {_LONGEST_NAME} printable characters, "
            "percent-encoded.",
            field="Tapeproof-Who",
        )
    return name


AskedDep = Annotated[Asked, Depends(_asked)]
