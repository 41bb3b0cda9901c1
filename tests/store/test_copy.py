"""A copy of a library is the whole library, and a failed one costs nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

from fieldtrip.errors import UserError
from fieldtrip.geo import Position
from fieldtrip.places.records import Location
from fieldtrip.store.store import Change, Store

BAY = Location(name="Bay", position=Position(50.0, -5.5), zone="Europe/London")


def test_a_copy_has_what_was_stored_last(tmp_path: Path) -> None:
    store = Store.open(tmp_path / "one.fieldtrip")
    store.apply([Change(None, BAY)])
    store.copy_to(tmp_path / "two.fieldtrip")
    store.close()

    copy = Store.open(tmp_path / "two.fieldtrip")
    assert copy.locations() == [BAY]
    copy.close()


def test_the_open_library_is_not_written_over(tmp_path: Path) -> None:
    store = Store.open(tmp_path / "one.fieldtrip")
    with pytest.raises(UserError, match="Choose another name"):
        store.copy_to(tmp_path / "one.fieldtrip")
    store.close()


def test_a_folder_that_is_not_there_is_said(tmp_path: Path) -> None:
    store = Store.open(tmp_path / "one.fieldtrip")
    with pytest.raises(UserError, match="could not be written"):
        store.copy_to(tmp_path / "nowhere" / "two.fieldtrip")
    store.close()
    assert sorted(p.name for p in tmp_path.iterdir()) == ["one.fieldtrip"]
