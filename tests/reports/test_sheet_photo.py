"""Tests for photographs in a sheet: small, upright, and nothing told besides."""

from __future__ import annotations

import io
from random import Random

import pytest
from PIL import Image

from fieldtrip.errors import UserError
from fieldtrip.places.photographs import LARGEST_BYTES
from fieldtrip.reports.sheet_photo import reference_photo

ORIENTATION, GPS, MAKER = 0x0112, 0x8825, 0x010F  # Source: Exif 2.32, tables 4 and 6.


def picture(size: tuple[int, int], kind: str = "JPEG", turned: int = 1) -> bytes:
    """Noise, which compresses worst, with an orientation, a place and a maker."""
    noise = Image.frombytes("RGB", size, Random(1).randbytes(size[0] * size[1] * 3))
    exif = Image.Exif()
    exif[ORIENTATION], exif[MAKER] = turned, "An invented maker"
    exif.get_ifd(GPS)[1] = "N"
    written = io.BytesIO()
    noise.save(written, kind, exif=exif)
    return written.getvalue()


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_a_picture_of_any_kind_becomes_a_small_jpeg(kind: str) -> None:
    photo = reference_photo(picture((1600, 1200), kind), "Taken in May")

    made = Image.open(io.BytesIO(photo.jpeg))
    assert made.format == "JPEG"
    assert len(photo.jpeg) <= LARGEST_BYTES
    assert max(made.size) <= 1000
    assert made.width / made.height == pytest.approx(4 / 3, abs=0.01)
    assert photo.caption == "Taken in May"


def test_it_stands_upright_and_tells_nothing_else() -> None:
    # Source: Exif 2.32, tag Orientation: 6 is turned by a quarter.
    photo = reference_photo(picture((400, 200), turned=6), "Ledge")

    made = Image.open(io.BytesIO(photo.jpeg))
    assert made.size == (200, 400)
    assert dict(made.getexif()) == {}
    assert b"invented" not in photo.jpeg


@pytest.mark.parametrize(
    "data", [b"", b"no picture", picture((64, 64))[:200], picture((64, 64), "PNG")[:90]]
)
def test_what_is_no_picture_is_refused_in_a_sentence(data: bytes) -> None:
    with pytest.raises(UserError, match="“Ledge” is no picture"):
        reference_photo(data, "Ledge")
