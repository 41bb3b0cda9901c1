"""What photographs say: written by tag numbers, read back by meaning.

Source of the tags: CIPA DC-008-2019 (Exif 2.32), section 4.6.5 (DateTimeOriginal
0x9003, OffsetTimeOriginal 0x9011) and 4.6.6 (GPSLatitudeRef 1, GPSLatitude 2,
GPSLongitudeRef 3, GPSLongitude 4, GPSImgDirectionRef 16, GPSImgDirection 17,
GPSHPositioningError 31); orientation 0x0112 in section 4.6.4.  Numbers and sections
from memory: to be held against the document.
"""

from __future__ import annotations

import hashlib
import io
from datetime import UTC, datetime
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from PIL.TiffImagePlugin import IFDRational

from fieldtrip.errors import UserError
from fieldtrip.exchange.found import FoundPlace, Source
from fieldtrip.exchange.photo_exif import THUMBNAIL_PX, read_photo
from fieldtrip.geo import Position
from fieldtrip.places.records import Shape
from tests.exchange.photos import GPS, TIMES, photo


def place(path: Path) -> FoundPlace:
    (only,) = read_photo(path).places
    return only


def test_position_direction_and_instant_are_read(tmp_path: Path) -> None:
    found = read_photo(photo(tmp_path / "IMG_0042.jpg"))

    (seen,) = found.places
    assert found.source is Source.PHOTO
    assert (seen.shape, seen.name) == (Shape.POINT, "IMG_0042")
    (position,) = seen.positions
    assert position.lat_deg == pytest.approx(
        float(Fraction("49") + Fraction("36.204") / 60)
    )
    assert position.lon_deg == pytest.approx(-(8 + 24 / 60 + 4.32 / 3600))
    assert seen.time == datetime(2026, 8, 15, 19, 14, 5, tzinfo=UTC)
    assert seen.position_error_m == 3.5
    assert seen.photo is not None
    assert (seen.photo.direction_deg, seen.photo.direction_is_true) == (285.5, True)
    assert found.remarks == ()


@pytest.mark.parametrize("letters", [("N", "E"), ("S", "W"), ("S", "E")])
def test_the_letters_say_the_side(tmp_path: Path, letters: tuple[str, str]) -> None:
    gps = GPS | {1: letters[0], 3: letters[1]}

    (position,) = place(photo(tmp_path / "a.jpg", gps)).positions

    assert (position.lat_deg > 0.0) is (letters[0] == "N")
    assert (position.lon_deg > 0.0) is (letters[1] == "E")


@pytest.mark.parametrize(
    ("ref", "is_true"), [("T", True), ("M", False), ("", None), ("X", None)]
)
def test_true_and_magnetic_directions_are_told_apart(
    tmp_path: Path, ref: str, is_true: bool | None
) -> None:
    seen = place(photo(tmp_path / "a.jpg", GPS | {16: ref})).photo

    assert seen is not None
    assert seen.direction_is_true is is_true


@pytest.mark.parametrize(
    "missing",
    [
        {2: (IFDRational(49, 0), IFDRational(36), IFDRational(0))},
        {2: (IFDRational(0, 0), IFDRational(0, 0), IFDRational(0, 0))},
        {4: (IFDRational(8), IFDRational(24, 0), IFDRational(0))},
        {1: ""},
        {3: "Q"},
        {2: (IFDRational(49), IFDRational(36))},
        # what a device without a fix writes
        {2: (IFDRational(0),) * 3, 4: (IFDRational(0),) * 3},
    ],
)
def test_a_position_that_is_none_is_not_known(
    tmp_path: Path, missing: dict[int, Any]
) -> None:
    found = read_photo(photo(tmp_path / "a.jpg", GPS | missing))

    assert found.places[0].parts == ()
    assert found.remarks == ("“a.jpg” does not say where it was taken.",)


def test_a_direction_and_an_error_that_divide_by_zero_are_not_known(
    tmp_path: Path,
) -> None:
    gps = GPS | {17: IFDRational(5, 0), 31: IFDRational(0, 0)}

    seen = place(photo(tmp_path / "a.jpg", gps))

    assert seen.photo is not None
    assert seen.photo.direction_deg is None
    assert seen.position_error_m is None
    assert seen.parts != ()


def test_a_latitude_that_cannot_be_is_refused(tmp_path: Path) -> None:
    gps = GPS | {2: (IFDRational(999), IFDRational(0), IFDRational(0))}

    with pytest.raises(UserError, match=r"“a\.jpg”: 999 is no latitude"):
        read_photo(photo(tmp_path / "a.jpg", gps))


@pytest.mark.parametrize("offset", [None, "", "   :  ", "+1:00", "+25:00", "Z"])
def test_a_clock_without_a_zone_is_no_instant(
    tmp_path: Path, offset: str | None
) -> None:
    times = {0x9003: TIMES[0x9003]} | ({} if offset is None else {0x9011: offset})

    seen = place(photo(tmp_path / "a.jpg", times=times))

    assert seen.time is None
    assert seen.photo is not None
    assert seen.photo.clock == datetime(2026, 8, 15, 20, 14, 5)  # noqa: DTZ001


@pytest.mark.parametrize("text", ["0000:00:00 00:00:00", "    :  :     :  :  ", "soon"])
def test_a_clock_that_was_never_set_is_not_known(tmp_path: Path, text: str) -> None:
    seen = place(photo(tmp_path / "a.jpg", times={0x9003: text}))

    assert seen.time is None
    assert seen.photo is not None
    assert seen.photo.clock is None


def test_a_picture_that_says_nothing_is_still_one(tmp_path: Path) -> None:
    Image.new("RGB", (20, 10)).save(tmp_path / "plain.png")

    found = read_photo(tmp_path / "plain.png")

    assert found.places[0].parts == ()
    assert len(found.remarks) == 1


@pytest.mark.parametrize("suffix", ["jpg", "tif", "png", "webp"])
def test_each_format_that_carries_exif_is_read(suffix: str, tmp_path: Path) -> None:
    seen = place(photo(tmp_path / f"a.{suffix}"))

    assert len(seen.positions) == 1
    assert seen.time == datetime(2026, 8, 15, 19, 14, 5, tzinfo=UTC)


def test_a_picture_with_a_second_one_in_its_file_is_read(tmp_path: Path) -> None:
    # Source: CIPA DC-007, Multi-Picture Format: a JPEG file with a second picture;
    # from memory.
    with Image.open(photo(tmp_path / "a.jpg")) as first:
        second = Image.new("RGB", (64, 48))
        path = tmp_path / "b.jpg"
        first.save(
            path, "MPO", save_all=True, append_images=[second], exif=first.getexif()
        )

    assert len(place(path).positions) == 1


def test_the_thumbnail_is_small_and_the_right_way_up(tmp_path: Path) -> None:
    seen = place(photo(tmp_path / "a.jpg", size=(1200, 600), orientation=6)).photo

    assert seen is not None
    with Image.open(io.BytesIO(seen.thumbnail)) as small:
        assert small.format == "JPEG"
        assert small.size == (THUMBNAIL_PX // 2, THUMBNAIL_PX)


def test_the_file_is_not_changed(tmp_path: Path) -> None:
    path = photo(tmp_path / "a.jpg")
    path.chmod(0o444)
    before = hashlib.sha256(path.read_bytes()).hexdigest(), path.stat().st_mtime_ns

    read_photo(path)

    assert before == (
        hashlib.sha256(path.read_bytes()).hexdigest(),
        path.stat().st_mtime_ns,
    )
    assert [file.name for file in tmp_path.iterdir()] == ["a.jpg"]


@pytest.mark.parametrize("share", [0.02, 0.2, 0.6, 0.95])
def test_a_truncated_picture_is_refused_whole(tmp_path: Path, share: float) -> None:
    whole = photo(tmp_path / "a.jpg").read_bytes()
    (tmp_path / "a.jpg").write_bytes(whole[: int(len(whole) * share)])

    with pytest.raises(UserError, match=r"“a\.jpg” is (cut off|no picture)"):
        read_photo(tmp_path / "a.jpg")


def test_what_is_no_picture_is_refused(tmp_path: Path) -> None:
    (tmp_path / "a.jpg").write_bytes(b"\xff\xd8\xff" + b"no picture" * 99)

    with pytest.raises(UserError, match="is no picture that can be read"):
        read_photo(tmp_path / "a.jpg")
    with pytest.raises(UserError, match=r"There is no file “b\.jpg” there"):
        read_photo(tmp_path / "b.jpg")


def test_a_position_equals_the_one_typed_by_hand(tmp_path: Path) -> None:
    gps = GPS | {
        2: (IFDRational(496034, 10000), IFDRational(0), IFDRational(0)),
        4: (IFDRational(84012, 10000), IFDRational(0), IFDRational(0)),
    }

    assert place(photo(tmp_path / "a.jpg", gps)).positions == (
        Position(49.6034, -8.4012),
    )
