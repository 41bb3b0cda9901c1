"""A photograph made small enough to travel in a sheet, with nothing else in it."""

from __future__ import annotations

import io
import warnings
from datetime import datetime

from PIL import Image, ImageOps

from fieldtrip.errors import UserError
from fieldtrip.places.photographs import LARGEST_BYTES, Photograph
from fieldtrip.reports.sheet import NOT_KNOWN, Photo
from fieldtrip.settings import Settings
from fieldtrip.times import local_date
from fieldtrip.wording import clock_text, zone_text

# No others: some are read by calling other programs.
_FORMATS = ("JPEG", "TIFF", "PNG", "WEBP")
_WIDEST = 1000  # pixels
_QUALITIES = (80, 65, 50, 35)


def reference_photo(data: bytes, caption: str) -> Photo:
    """A picture as a small JPEG, upright, without place, name or camera in it.

    Raises `UserError` for what is no picture, or a damaged one.
    """
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(data), formats=_FORMATS) as opened:
                opened.draft("RGB", (2 * _WIDEST, 2 * _WIDEST))  # a JPEG's own sizes
                picture = ImageOps.exif_transpose(opened).convert("RGB")
    except (
        OSError,
        ValueError,
        SyntaxError,  # Pillow's word for a broken PNG
        Image.DecompressionBombError,
        Image.DecompressionBombWarning,
    ) as error:
        raise UserError(
            f"“{caption}” is no picture that can be read, or is damaged."
        ) from error
    width = _WIDEST
    while True:
        small = picture.copy()
        small.thumbnail((width, width))
        for quality in _QUALITIES:
            written = io.BytesIO()
            small.save(written, "JPEG", quality=quality, optimize=True)
            if written.tell() <= LARGEST_BYTES:
                return Photo(written.getvalue(), caption)
        width = width * 2 // 3  # noise does not compress


def kept_photo(photograph: Photograph, zone: str, settings: Settings) -> Photo:
    """A photograph of the library as a sheet shows it: its caption says when."""
    taken = taken_text(photograph.taken, zone, settings)
    said = "; ".join(text for text in (photograph.caption.strip(), taken) if text)
    return Photo(photograph.jpeg, f"{said}.")


def taken_text(taken: datetime | None, zone: str, settings: Settings) -> str:
    """When a picture was taken, by the clock of its place."""
    if taken is None:
        return f"when it was taken is {NOT_KNOWN}"
    day = local_date(taken, zone)
    clock = clock_text(taken, zone, settings)
    return f"taken {day.day} {day:%B %Y} {clock} {zone_text(taken, zone)}"
