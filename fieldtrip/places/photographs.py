"""The reference photograph of a vantage point: how it looked from there before."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from uuid import UUID, uuid4

from fieldtrip.faults import LONGEST_NAME

LARGEST_BYTES = 100_000  # twelve of them leave a sheet's page below 2 MB
_JPEG_START = b"\xff\xd8\xff"  # Source: ISO/IEC 10918-1, B.1.1.3, SOI and a marker


@dataclass(frozen=True, slots=True, kw_only=True)
class Photograph:
    """A small picture taken from a vantage point."""

    location_id: UUID
    vantage_point_id: UUID
    caption: str
    jpeg: bytes = field(repr=False)
    taken: datetime | None = None  # None: not known
    id: UUID = field(default_factory=uuid4)

    def faults(self) -> list[str]:
        """Say what is wrong with it, in plain sentences."""
        found = []
        if len(self.caption) > LONGEST_NAME:
            found.append(f"A caption has at most {LONGEST_NAME} characters.")
        if not self.jpeg.startswith(_JPEG_START):
            found.append("A reference photograph is kept as JPEG; this is none.")
        if len(self.jpeg) > LARGEST_BYTES:
            found.append(
                f"A reference photograph has at most {LARGEST_BYTES // 1000} kB."
            )
        if self.taken is not None and self.taken.tzinfo is None:
            found.append("The time of a photograph must say its zone.")
        return found
