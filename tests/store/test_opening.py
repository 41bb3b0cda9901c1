"""A library file is made, found again, or refused in one sentence and left alone."""

from __future__ import annotations

import os
import sqlite3
import sys
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import replace
from pathlib import Path

import pytest

from fieldtrip.errors import UserError
from fieldtrip.places.records import AccessNote, Location
from fieldtrip.store import engine as engine_module
from fieldtrip.store.store import Change, Store
from fieldtrip.store.upgrade import newest_revision
from tests.store.stories import BAY, COAST, NOTE, added

POSIX = pytest.mark.skipif(sys.platform == "win32", reason="permissions are POSIX")
# Source: W3C, PNG Specification, third edition, 5.2: the first eight bytes.
PNG = bytes([137, 80, 78, 71, 13, 10, 26, 10]) + b"\0" * 200


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where a library with the whole coast lies, closed."""
    path = tmp_path / "100 % of my coast? [#1].fieldtrip"
    store = Store.open(path)
    store.apply(added(*COAST))
    store.close()
    return path


def refusal(path: Path) -> str:
    """Why a file is refused; what lies in its folder is the same before and after."""
    before = contents(path.parent)
    with pytest.raises(UserError) as caught:
        Store.open(path)
    assert contents(path.parent) == before
    assert "\n" not in str(caught.value)
    return str(caught.value)


def contents(folder: Path) -> dict[str, bytes]:
    """All files of a folder."""
    if not folder.is_dir():
        return {}
    return {p.name: p.read_bytes() for p in folder.iterdir() if p.is_file()}


def test_a_closed_library_is_one_file_with_everything_in_it(path: Path) -> None:
    assert [p.name for p in path.parent.iterdir()] == [path.name]

    store = Store.open(path)

    assert store.path == path
    assert not store.is_read_only
    for record in COAST:
        assert store.get(type(record), record.id) == record
    store.close()


def test_a_closed_library_stays_closed(path: Path) -> None:
    store = Store.open(path)
    store.close()
    store.close()

    with pytest.raises(RuntimeError, match="closed"):
        store.locations()

    assert [p.name for p in path.parent.iterdir()] == [path.name]


def test_while_it_is_open_everything_is_written_ahead_and_synced(path: Path) -> None:
    store = Store.open(path)
    with store._engine.connect() as connection:
        journal = connection.exec_driver_sql("PRAGMA journal_mode").scalar()
        synchronous = connection.exec_driver_sql("PRAGMA synchronous").scalar()
        keys = connection.exec_driver_sql("PRAGMA foreign_keys").scalar()
    store.close()

    # Source: SQLite, "PRAGMA Statements": synchronous FULL is 2.
    assert (journal, synchronous, keys) == ("wal", 2, 1)


def test_opening_and_closing_changes_nothing(path: Path) -> None:
    before = path.read_bytes()

    Store.open(path).close()

    # The header counts changes of the file (bytes 24 to 27 and 92 to 95) and
    # journal modes (18, 19): Source: SQLite, "Database File Format", 1.3.
    after = path.read_bytes()
    assert before[100:] == after[100:]
    assert before[:24] == after[:24]


def test_an_empty_file_that_never_held_anything_becomes_a_library(
    tmp_path: Path,
) -> None:
    path = tmp_path / "new.fieldtrip"
    path.touch()

    store = Store.open(path)
    store.apply(added(BAY))

    assert store.locations() == [BAY]
    store.close()


@pytest.mark.parametrize(
    "content", [PNG, b"notes of a day out\n", b"\0", bytes(range(256)) * 20]
)
def test_what_is_no_library_is_refused(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "picture.png"
    path.write_bytes(content)

    assert refusal(path) == (
        "“picture.png” is not a Fieldtrip library and was left as it is. "
        "Choose another file."
    )


def test_a_database_of_another_program_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "other.db"
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("CREATE TABLE location (name TEXT)")

    assert "database of another program" in refusal(path)


def test_a_library_of_a_newer_version_is_refused(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")

    assert "made by a newer version" in refusal(path)


@pytest.mark.parametrize("kept", [0.0, 0.001, 0.02, 0.3, 0.9, 0.999])
def test_a_library_that_was_cut_off_is_refused(path: Path, kept: float) -> None:
    content = path.read_bytes()
    path.write_bytes(content[: int(len(content) * kept)])
    backup = path.with_name(f"{path.name}.before-0002")
    backup.write_bytes(content)

    said = refusal(path)

    assert "is damaged" in said or "is empty" in said
    assert f"There is a backup beside it: open “{backup.name}”." in said


def test_a_library_with_a_spoilt_page_is_refused(path: Path) -> None:
    content = bytearray(path.read_bytes())
    page = int.from_bytes(content[16:18], "big")  # Source: the same, 1.3
    content[page * 3 : page * 4] = b"\xff" * page
    path.write_bytes(content)

    assert "is damaged and was left as it is. Choose another file." in refusal(path)


def test_a_folder_is_refused(tmp_path: Path) -> None:
    assert "is a folder" in refusal(tmp_path)


def test_a_folder_that_is_not_there_is_refused(tmp_path: Path) -> None:
    assert "does not exist" in refusal(tmp_path / "gone" / "coast.fieldtrip")


@POSIX
def test_a_pipe_is_refused(tmp_path: Path) -> None:
    if sys.platform != "win32":
        os.mkfifo(tmp_path / "pipe")

    with pytest.raises(UserError, match="is no file"):
        Store.open(tmp_path / "pipe")


def test_a_library_that_another_program_has_locked_is_refused(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(engine_module, "BUSY_MS", 20)
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN EXCLUSIVE")
        assert "is in use by another program" in refusal(path)

    Store.open(path).close()


def test_an_edit_while_another_program_writes_is_refused(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(engine_module, "BUSY_MS", 20)
    store = Store.open(path)
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(UserError, match="in use by another program"):
            store.apply([Change(NOTE, replace(NOTE, text="Mended."))])

    assert store.all(AccessNote) == [NOTE]
    store.close()


def test_two_windows_see_each_other_and_overwrite_nothing(path: Path) -> None:
    first, second = Store.open(path), Store.open(path)
    renamed = replace(BAY, name="Cove")

    first.apply([Change(BAY, renamed)])

    assert second.locations() == [renamed]
    with pytest.raises(UserError, match="changed elsewhere"):
        second.apply([Change(BAY, replace(BAY, name="Inlet"))])
    first.close()
    second.apply([Change(renamed, BAY)])
    second.close()
    assert [p.name for p in path.parent.iterdir()] == [path.name]


def test_a_full_disk_is_told_and_loses_nothing(path: Path) -> None:
    store = Store.open(path)
    with store._engine.connect() as connection:
        pages = connection.exec_driver_sql("PRAGMA page_count").scalar()
        connection.exec_driver_sql(f"PRAGMA max_page_count = {pages}")

    with pytest.raises(UserError, match="disk is full"):
        store.apply([Change(BAY, replace(BAY, notes="x" * 1_000_000))])

    assert store.locations() == [BAY]
    store.close()


@contextmanager
def without(permission: Callable[[], None], *paths: Path) -> Iterator[None]:
    """Take permissions away, and a superuser's with them; then give them back."""
    if sys.platform == "win32":
        raise AssertionError("POSIX only")
    modes = {path: path.stat().st_mode for path in paths}
    folders = [paths[-1], *paths[-1].parents]
    opened = {p: p.stat().st_mode for p in folders if p.stat().st_uid == os.geteuid()}
    nobody = 65534
    is_root = os.geteuid() == 0
    if is_root:  # pytest's own folders are closed to others
        for folder, mode in opened.items():
            folder.chmod(mode | 0o055)
    try:
        permission()
        if is_root:
            os.seteuid(nobody)
        yield
    finally:
        if is_root:
            os.seteuid(0)
        for path, mode in (opened | modes).items():
            path.chmod(mode)


@POSIX
def test_a_library_in_a_read_only_folder_opens_for_reading(path: Path) -> None:
    def close() -> None:
        path.chmod(0o444)
        path.parent.chmod(0o555)

    with without(close, path, path.parent):
        store = Store.open(path)
        assert store.is_read_only
        assert store.locations() == [BAY]
        with pytest.raises(UserError, match="reading only, so nothing was changed"):
            store.apply([Change(BAY, replace(BAY, name="Cove"))])
        with pytest.raises(UserError, match="reading only"):
            store.keep_draft(BAY.id, "notes", "The")
        store.close()

    assert [p.name for p in path.parent.iterdir()] == [path.name]


@POSIX
def test_a_library_left_open_is_not_read_without_its_log(path: Path) -> None:
    store = Store.open(path)
    store.apply([Change(BAY, replace(BAY, name="Cove"))])
    copies = path.parent / "copies"
    copies.mkdir()
    copy = copies / "copy.fieldtrip"
    copy.write_bytes(path.read_bytes())
    log = copies / "copy.fieldtrip-wal"
    log.write_bytes(path.with_name(f"{path.name}-wal").read_bytes())
    store.close()

    def close() -> None:
        log.chmod(0o444)
        copy.chmod(0o444)
        copies.chmod(0o555)

    with without(close, log, copy, copies):
        assert "was not closed properly" in refusal(copy)
    log.unlink()
    with without(close_without(copy, copies), copy, copies):
        store = Store.open(copy)
        assert store.is_read_only
        assert len(store.locations()) == 1
        store.close()


def close_without(copy: Path, folder: Path) -> Callable[[], None]:
    """Make a copy and its folder unwritable."""

    def close() -> None:
        copy.chmod(0o444)
        folder.chmod(0o555)

    return close


@POSIX
def test_an_older_library_is_not_brought_up_to_date_where_it_cannot_be_written(
    path: Path,
) -> None:
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("DELETE FROM alembic_version")

    with without(close_without(path, path.parent), path, path.parent):
        assert "made by an older version" in refusal(path)


@POSIX
def test_a_library_that_may_not_be_read_is_refused(path: Path) -> None:
    with (
        without(lambda: path.chmod(0), path, path.parent),
        pytest.raises(UserError, match="no permission to read"),
    ):
        Store.open(path)


@POSIX
def test_no_library_is_made_where_nothing_may_be_written(tmp_path: Path) -> None:
    with without(lambda: tmp_path.chmod(0o555), tmp_path):
        assert "no permission to write there" in refusal(tmp_path / "new.fieldtrip")


def test_the_program_knows_its_own_newest_tables(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        (revision,) = connection.execute("SELECT * FROM alembic_version").fetchone()

    assert revision == newest_revision()


def test_a_location_survives_closing_in_any_language(tmp_path: Path) -> None:
    path = tmp_path / "Ōtautahi 海岸.fieldtrip"
    cove = Location(name="Anse du \U0001f99e", position=BAY.position, zone="UTC")
    store = Store.open(path)
    store.apply(added(cove))
    store.close()

    store = Store.open(path)

    assert store.locations() == [cove]
    store.close()
