"""Photos of cards, and the lens profiles made from them."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from sqlalchemy import and_, delete, insert, select

from service.errors import ServiceError
from service.store.rows import CardPhotoRow, LensProfileRow
from service.store.tables import card_photos, lens_profiles, looks

if TYPE_CHECKING:
    from sqlalchemy import Connection


class LensRows:
    """Card photos and profiles of one transaction."""

    def __init__(self, connection: Connection, version: int) -> None:
        self._connection = connection
        self._version = version

    def add_photo(self, photo: CardPhotoRow) -> None:
        """A new photo of a card."""
        names = [column.name for column in card_photos.columns]
        values = {name: getattr(photo, name) for name in names}
        self._connection.execute(insert(card_photos).values(**values))

    def photos_of(self, job_id: str) -> list[CardPhotoRow]:
        """The job's photos of cards, in the order in which they came."""
        seen = and_(looks.c.sha256 == card_photos.c.sha256, looks.c.version == self._version)
        query = (
            select(card_photos, looks.c.found)
            .select_from(card_photos.outerjoin(looks, seen))
            .where(card_photos.c.job_id == job_id)
            .order_by(card_photos.c.added_at, card_photos.c.id)
        )
        rows = []
        for row in self._connection.execute(query).mappings():
            found = row["found"]
            rows.append(
                CardPhotoRow(**{**row, "found": None if found is None else json.loads(found)})
            )
        return rows

    def find_photo(self, photo_id: str) -> CardPhotoRow | None:
        """One photo of a card, without what was seen in it."""
        query = select(card_photos).where(card_photos.c.id == photo_id)
        row = self._connection.execute(query).mappings().first()
        return None if row is None else CardPhotoRow(**row)

    def drop_photo(self, photo_id: str) -> None:
        """Forget a photo of a card; its bytes go when nothing else needs them."""
        self._connection.execute(delete(card_photos).where(card_photos.c.id == photo_id))

    def add_profile(self, profile: LensProfileRow) -> None:
        """Keep a profile; the same one again stays as it is."""
        if self.find_profile(profile.id) is not None:
            return
        names = [column.name for column in lens_profiles.columns]
        values = {name: getattr(profile, name) for name in names}
        self._connection.execute(insert(lens_profiles).values(**values))

    def find_profile(self, profile_id: str) -> LensProfileRow | None:
        """The profile with this id."""
        query = select(lens_profiles).where(lens_profiles.c.id == profile_id)
        row = self._connection.execute(query).mappings().first()
        return None if row is None else LensProfileRow(**row)

    def by_file(self, file: str) -> LensProfileRow:
        """The profile of this name.

        Raises
        ------
        ServiceError
            ``not-found``.
        """
        found = next((row for row in self.profiles() if row.file == file), None)
        if found is None:
            raise ServiceError("not-found", f"There is no lens profile {file!r}.")
        return found

    def profiles(self) -> list[LensProfileRow]:
        """All profiles, the newest first."""
        query = select(lens_profiles).order_by(lens_profiles.c.at.desc(), lens_profiles.c.id)
        return [LensProfileRow(**row) for row in self._connection.execute(query).mappings()]
