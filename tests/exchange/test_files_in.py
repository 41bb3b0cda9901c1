"""Any file is told apart by what is in it, and refused before it can do harm."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from fieldtrip.errors import UserError
from fieldtrip.exchange.files_in import read_file
from fieldtrip.exchange.found import Source
from fieldtrip.exchange.outgoing import place_bytes, write_whole
from tests.exchange.photos import photo
from tests.exchange.story import whole_coast


def refused(path: Path) -> str:
    with pytest.raises(UserError) as caught:
        read_file(path)
    assert "\n" not in str(caught.value)
    return str(caught.value)


@pytest.mark.parametrize(
    ("file_format", "source"),
    [("gpx", Source.GPX), ("geojson", Source.GEOJSON), ("kml", Source.KML)],
)
@pytest.mark.parametrize("name", ["places.txt", "places", "places.jpg"])
def test_content_decides_and_not_the_name(
    file_format: str, source: Source, name: str, tmp_path: Path
) -> None:
    path = tmp_path / name
    path.write_bytes(place_bytes(whole_coast(), file_format))

    assert read_file(path).source is source


def test_a_photograph_is_one_under_any_name(tmp_path: Path) -> None:
    path = photo(tmp_path / "a.jpg").rename(tmp_path / "a.gpx")

    assert read_file(path).source is Source.PHOTO


@pytest.mark.parametrize(
    ("head", "reason"),
    [
        (b"<gpx", "files of up to 64 MB are read"),
        (b"{", "files of up to 64 MB are read"),
        (b"\xff\xd8\xff", "too large for a photograph"),
    ],
)
def test_half_a_gigabyte_is_refused_before_it_is_read(
    head: bytes, reason: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "huge.gpx"
    with path.open("wb") as file:
        file.write(head)
        file.truncate(500_000_000)  # sparse: it takes no room
    monkeypatch.setattr(Path, "read_bytes", lambda _: pytest.fail("it was read"))

    assert reason in refused(path)


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (b"", "is empty"),
        (b"\0\0\0\x18ftypheic", "save it as JPEG first"),
        (b"name;lat;lon", "is none of GPX, GeoJSON, KML and photograph"),
        (b"\x7fELF" + bytes(100), "is none of GPX"),
        (b"<svg/>", "is no GPX"),
    ],
)
def test_other_files_are_refused(data: bytes, reason: str, tmp_path: Path) -> None:
    path = tmp_path / "what"
    path.write_bytes(data)

    assert reason in refused(path)


def test_what_cannot_be_opened_is_said(tmp_path: Path) -> None:
    assert "is a folder" in refused(tmp_path)
    assert "There is no file “a.gpx” there" in refused(tmp_path / "a.gpx")


@pytest.mark.skipif(os.name != "posix", reason="permissions of POSIX")
def test_what_cannot_be_written_is_said_and_leaves_nothing(tmp_path: Path) -> None:
    with pytest.raises(UserError, match="could not be written"):
        write_whole(tmp_path / "no such folder" / "a.gpx", b"x")

    assert list(tmp_path.iterdir()) == []


def test_a_file_system_that_takes_no_writing_at_all_gets_its_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(*_: object, **__: object) -> None:
        raise OSError(errno.EROFS, "Read-only file system")

    # There even the removal of what was never written is refused.
    monkeypatch.setattr(Path, "write_bytes", refused)
    monkeypatch.setattr(Path, "unlink", refused)

    with pytest.raises(UserError, match="Read-only file system"):
        write_whole(tmp_path / "a.gpx", b"x")
