"""What a photograph says of itself: where it was taken, which way, and when.

Source: CIPA DC-008-2019, Exif 2.32, sections 4.6.5 to 4.6.6.  The file is opened for
reading only, and never changed.
"""

from __future__ import annotations

import io
import math
import warnings
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import Any

from PIL import ExifTags, Image, UnidentifiedImageError

from fieldtrip.errors import UserError
from fieldtrip.exchange.found import (
    LARGEST_PHOTO_BYTES,
    Found,
    FoundPlace,
    Part,
    Photo,
    Source,
    position_of,
)
from fieldtrip.geo import Position
from fieldtrip.places.records import Shape

THUMBNAIL_PX = 256  # of the longer side
_GPS, _EXIF = ExifTags.GPS, ExifTags.Base
# No others: some are read by calling other programs.
_FORMATS = ("JPEG", "TIFF", "PNG", "WEBP")
_DIRECTIONS = {"T": True, "M": False}


def read_photo(path: Path) -> Found:
    """Read a JPEG, TIFF, PNG or WebP picture.

    Without a usable position it is a place without parts.  Raises `UserError` for a
    file that is no picture, is cut off, or whose position is none.
    """
    name = path.name
    try:
        if path.stat().st_size > LARGEST_PHOTO_BYTES:
            raise UserError(
                f"“{name}” has more than {LARGEST_PHOTO_BYTES / 1e6:.0f} MB, "
                "which is too large for a photograph here."
            )
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # about odd tags, which are left out
            with Image.open(path, formats=_FORMATS) as picture:
                return _found(picture, name)
    except UnidentifiedImageError as error:
        raise UserError(
            f"“{name}” is no picture that can be read; JPEG, TIFF, PNG and WebP can."
        ) from error
    except Image.DecompressionBombError as error:
        raise UserError(f"“{name}” has too many pixels to be a photograph.") from error
    except FileNotFoundError as error:
        raise UserError(f"There is no file “{name}” there.") from error
    except (OSError, SyntaxError, ValueError, EOFError) as error:
        raise UserError(
            f"“{name}” is cut off or damaged, so nothing was taken from it."
        ) from error


def _found(picture: Image.Image, name: str) -> Found:
    exif = picture.getexif()
    gps = exif.get_ifd(ExifTags.IFD.GPSInfo)
    own = exif.get_ifd(ExifTags.IFD.Exif)
    remarks = []
    position = _position(gps, name)
    if position is None:
        remarks.append(f"“{name}” does not say where it was taken.")
    clock, instant = _time(own)
    direction = _number(gps.get(_GPS.GPSImgDirection))
    if direction is not None and not 0.0 <= direction <= 360.0:
        direction = None
    place = FoundPlace(
        shape=Shape.POINT,
        parts=(Part((position,)),) if position else (),
        name=Path(name).stem,
        time=instant,
        position_error_m=_error_m(gps),
        photo=Photo(
            clock=clock,
            direction_deg=None if direction is None else direction % 360.0,
            direction_is_true=_DIRECTIONS.get(_letter(gps, _GPS.GPSImgDirectionRef)),
            thumbnail=_thumbnail(picture),
        ),
    )
    return Found(
        source=Source.PHOTO, file_name=name, places=(place,), remarks=tuple(remarks)
    )


def _position(gps: Mapping[int, Any], name: str) -> Position | None:
    """The position, or None where it is missing or divides by zero."""
    lat_deg = _angle(gps.get(_GPS.GPSLatitude), _letter(gps, _GPS.GPSLatitudeRef), "NS")
    lon_deg = _angle(
        gps.get(_GPS.GPSLongitude), _letter(gps, _GPS.GPSLongitudeRef), "EW"
    )
    if lat_deg is None or lon_deg is None:
        return None
    if lat_deg == lon_deg == 0.0:  # what devices write while they have no fix
        return None
    return position_of(lat_deg, lon_deg, f"“{name}”")


def _angle(values: Any, letter: str, letters: str) -> float | None:
    """Degrees, minutes and seconds as degrees; without its letter it has no side."""
    if not isinstance(values, tuple) or len(values) != 3 or not letter:
        return None
    if letter not in letters:
        return None
    numbers = [_number(value) for value in values]
    if any(number is None or number < 0.0 for number in numbers):
        return None
    degrees, minutes, seconds = (number or 0.0 for number in numbers)
    angle = degrees + minutes / 60.0 + seconds / 3600.0
    return angle if letter == letters[0] else -angle


def _number(value: Any) -> float | None:
    """A rational as a number; None for one that divides by zero."""
    try:
        number = float(value)
    except (TypeError, ValueError, ZeroDivisionError, OverflowError):
        return None
    return number if math.isfinite(number) else None


def _letter(gps: Mapping[int, Any], tag: int) -> str:
    value = gps.get(tag)
    text = value.decode("ascii", "ignore") if isinstance(value, bytes) else value
    return text.strip("\0 ").upper()[:1] if isinstance(text, str) else ""


def _error_m(gps: Mapping[int, Any]) -> float | None:
    error_m = _number(gps.get(_GPS.GPSHPositioningError))
    return error_m if error_m is not None and 0.0 <= error_m <= 10_000.0 else None


def _time(own: Mapping[int, Any]) -> tuple[datetime | None, datetime | None]:
    """What its clock showed, and the instant where it says its offset from UTC."""
    text = own.get(_EXIF.DateTimeOriginal)
    try:
        clock = datetime.strptime(str(text).strip("\0 "), "%Y:%m:%d %H:%M:%S")  # noqa: DTZ007
    except ValueError:
        return None, None
    offset = _offset(str(own.get(_EXIF.OffsetTimeOriginal, "")).strip("\0 "))
    if offset is None:
        return clock, None
    try:
        return clock, clock.replace(tzinfo=timezone(offset)).astimezone(UTC)
    except OverflowError:
        return clock, None


def _offset(text: str) -> timedelta | None:
    """An offset such as +01:00, or None."""
    if len(text) != 6 or text[0] not in "+-" or text[3] != ":":
        return None
    if not (text[1:3] + text[4:]).isdecimal():
        return None
    length = timedelta(hours=int(text[1:3]), minutes=int(text[4:]))
    if length > timedelta(hours=14):
        return None
    return -length if text[0] == "-" else length


def _thumbnail(picture: Image.Image) -> bytes:
    """A small JPEG, the right way up; decoding also shows that the file is whole."""
    picture.draft("RGB", (THUMBNAIL_PX, THUMBNAIL_PX))  # JPEG: at an eighth, quickly
    orientation = picture.getexif().get(_EXIF.Orientation)
    picture.thumbnail((THUMBNAIL_PX, THUMBNAIL_PX))
    turned = _TURNS.get(orientation or 1)
    small = picture.transpose(turned) if turned is not None else picture
    written = io.BytesIO()
    small.convert("RGB").save(written, "JPEG", quality=80)
    return written.getvalue()


_TURN = Image.Transpose
_TURNS = {
    2: _TURN.FLIP_LEFT_RIGHT,
    3: _TURN.ROTATE_180,
    4: _TURN.FLIP_TOP_BOTTOM,
    5: _TURN.TRANSPOSE,
    6: _TURN.ROTATE_270,
    7: _TURN.TRANSVERSE,
    8: _TURN.ROTATE_90,
}
