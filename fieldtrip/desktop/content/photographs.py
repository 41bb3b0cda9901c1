"""A picture of a file as the reference photograph of a vantage point, and its words."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from fieldtrip.errors import UserError
from fieldtrip.exchange.photo_exif import read_photo
from fieldtrip.faults import LONGEST_NAME
from fieldtrip.places.photographs import Photograph
from fieldtrip.places.records import VantagePoint
from fieldtrip.reports.sheet_photo import reference_photo, taken_text
from fieldtrip.settings import Settings

SUFFIXES = (".jpg", ".jpeg", ".tif", ".tiff", ".png", ".webp")


def read_photograph(path: Path, vantage: VantagePoint) -> Photograph:
    """A small copy of a picture, without place, name or camera in it.

    What its clock showed is no instant unless it says the offset from UTC; then it
    goes into the caption, for a person to judge.  Raises `UserError` for what is no
    picture, or a damaged one.
    """
    place = read_photo(path).places[0]
    try:
        small = reference_photo(path.read_bytes(), path.name)
    except OSError as error:
        raise UserError(
            f"“{path.name}” could not be read: {error.strerror}."
        ) from error
    clock = place.photo.clock if place.photo is not None else None
    return Photograph(
        location_id=vantage.location_id,
        vantage_point_id=vantage.id,
        caption=_caption(path.stem, None if place.time is not None else clock),
        jpeg=small.jpeg,
        taken=place.time,
    )


def photograph_words(
    photograph: Photograph | None, zone: str, settings: Settings
) -> str:
    """What is said beside a reference photograph, or where there is none."""
    if photograph is None:
        return (
            "None is kept. Choose a picture, or drop one on this card: a small copy "
            "goes on the trip sheet. The file itself is not changed."
        )
    kilobytes = max(1, len(photograph.jpeg) // 1000)
    taken = taken_text(photograph.taken, zone, settings)
    return (
        f"{taken[:1].upper()}{taken[1:]}. "
        f"A small copy of {kilobytes} kB, without the place and the camera's facts; "
        "it goes on the trip sheet."
    )


def _caption(name: str, clock: datetime | None) -> str:
    said = "" if clock is None else f", camera's clock {clock:%d %b %Y %H:%M}"
    kept = "".join(c for c in name if c.isprintable())  # names of files may hold more
    return f"{kept[: LONGEST_NAME - len(said)]}{said}"
