"""What a sheet's photos and tape said when it was locked, as it is kept with the revision."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import TYPE_CHECKING, Final

from pydantic import Field

from service.files.shape import InputModel, NotNegative
from service.measuring.estimates import Estimate
from service.measuring.field_truth import Evidence

if TYPE_CHECKING:
    from service.files.report import Report, ReportDimension

_UNNAMED: Final = "a phone that does not say its name"


class PhotoAndTape(InputModel):
    """One size, mm; each with its standard uncertainty."""

    photo_mm: float
    photo_u_mm: NotNegative
    tape_mm: float
    tape_u_mm: NotNegative


class EvidenceRow(InputModel):
    """Of a whole sheet; its hash stands in the content, which the fingerprint is made of."""

    phone: str = Field(max_length=1000, description="What took the wall's photos.")
    sizes: dict[str, PhotoAndTape] = Field(
        description="Of what the sheet is cut by, each size that has both; there may be none."
    )

    def evidence(self) -> Evidence:
        """As field truth takes it."""
        return Evidence(
            self.phone,
            {
                name: (Estimate(row.photo_mm, row.photo_u_mm), Estimate(row.tape_mm, row.tape_u_mm))
                for name, row in self.sizes.items()
            },
        )


def evidence_row(evidence: Evidence) -> EvidenceRow:
    """Evidence as it is kept."""
    return EvidenceRow(
        phone=evidence.phone,
        sizes={
            name: PhotoAndTape(
                photo_mm=photo.mm, photo_u_mm=photo.u_mm, tape_mm=tape.mm, tape_u_mm=tape.u_mm
            )
            for name, (photo, tape) in evidence.sizes.items()
        },
    )


def evidence_of(reports: Sequence[Report], sizes: Collection[str]) -> Evidence:
    """What a wall's reports have of the sizes that its sheet is cut by."""
    phones = {
        photo.phone or _UNNAMED for report in reports for photo in report.photos if photo.cards
    }
    found = {
        size.name: _photo_and_tape(size)
        for report in reports
        for size in report.dimensions
        if size.name in sizes
    }
    return Evidence(
        " and ".join(sorted(phones)) or _UNNAMED,
        {name: both for name, both in found.items() if both is not None},
    )


def _photo_and_tape(size: ReportDimension) -> tuple[Estimate, Estimate] | None:
    photo_mm, photo_u, tape_mm, tape_u = (
        size.photo_mm,
        size.photo_u_mm,
        size.tape_mm,
        size.tape_u_mm,
    )
    if photo_mm is None or photo_u is None or tape_mm is None or tape_u is None:
        return None
    return Estimate(photo_mm, photo_u), Estimate(tape_mm, tape_u)
