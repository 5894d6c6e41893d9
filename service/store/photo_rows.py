"""Photos, and what was seen in their bytes."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from sqlalchemy import and_, delete, insert, select

from service.errors import ServiceError
from service.store.rows import PhotoRow
from service.store.tables import card_photos, looks, photos

if TYPE_CHECKING:
    from sqlalchemy import Connection, RowMapping, Select


class PhotoRows:
    """Photos of one transaction; ``version`` is that of the code that looks at them."""

    def __init__(self, connection: Connection, version: int) -> None:
        self._connection = connection
        self._version = version

    def get(self, photo_id: str) -> PhotoRow:
        """One photo.

        Raises
        ------
        ServiceError
            ``not-found``.
        """
        photo = self.find(photo_id)
        if photo is None:
            raise ServiceError("not-found", f"There is no photo {photo_id!r}.")
        return photo

    def find(self, photo_id: str) -> PhotoRow | None:
        """One photo, or None."""
        query = self._query().where(photos.c.id == photo_id)
        row = self._connection.execute(query).mappings().first()
        return None if row is None else _photo(row)

    def of_wall(self, wall_id: str) -> dict[str, PhotoRow]:
        """Every photo that was ever on the wall, by id; the facts say which are on it now."""
        query = self._query().where(photos.c.wall_id == wall_id)
        return {row["id"]: _photo(row) for row in self._connection.execute(query).mappings()}

    def of_bytes(self, sha256: str) -> list[PhotoRow]:
        """Every photo with these bytes."""
        query = self._query().where(photos.c.sha256 == sha256)
        return [_photo(row) for row in self._connection.execute(query).mappings()]

    def add(self, photo: PhotoRow) -> None:
        """A new photo."""
        self._connection.execute(
            insert(photos).values(
                id=photo.id,
                wall_id=photo.wall_id,
                filename=photo.filename,
                sha256=photo.sha256,
                bytes=photo.bytes,
                kind=photo.kind,
                added_at=photo.added_at,
            )
        )

    def has_look(self, sha256: str) -> bool:
        """Whether this version of the code has looked at these bytes."""
        query = select(looks.c.sha256).where(
            and_(looks.c.sha256 == sha256, looks.c.version == self._version)
        )
        return self._connection.execute(query).first() is not None

    def add_look(
        self, sha256: str, found: Mapping[str, Any], views_sha256: str | None, at: str
    ) -> None:
        """What was seen; once for these bytes and this version, in place of older versions."""
        self._connection.execute(
            delete(looks).where(looks.c.sha256 == sha256, looks.c.version != self._version)
        )
        text = json.dumps(found, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
        self._connection.execute(
            insert(looks).values(
                sha256=sha256,
                version=self._version,
                found=text,
                views_sha256=views_sha256,
                at=at,
            )
        )

    def not_looked_at(self) -> list[str]:
        """Hashes of photos that this version of the code has not looked at."""
        found: dict[str, None] = {}
        for table in (photos, card_photos):
            seen = and_(looks.c.sha256 == table.c.sha256, looks.c.version == self._version)
            query = (
                select(table.c.sha256)
                .distinct()
                .select_from(table.outerjoin(looks, seen))
                .where(looks.c.sha256.is_(None))
            )
            found.update((str(row[0]), None) for row in self._connection.execute(query))
        return list(found)

    def blobs(self) -> set[str]:
        """Hashes of every blob that a row names."""
        named = (photos.c.sha256, card_photos.c.sha256, looks.c.views_sha256)
        rows = (self._connection.execute(select(column)) for column in named)
        return {str(row[0]) for found in rows for row in found if row[0] is not None}

    def _query(self) -> Select[Any]:
        joined = photos.outerjoin(looks, self._same_bytes())
        return (
            select(photos, looks.c.found, looks.c.views_sha256)
            .select_from(joined)
            .order_by(photos.c.added_at, photos.c.id)
        )

    def _same_bytes(self) -> Any:
        return and_(looks.c.sha256 == photos.c.sha256, looks.c.version == self._version)


def _photo(row: RowMapping) -> PhotoRow:
    found = row["found"]
    return PhotoRow(**{**row, "found": None if found is None else json.loads(found)})
