"""Looks at a file before it is opened as a library, and refuses it in plain words.

Whatever is refused is left exactly as it was.
"""

from __future__ import annotations

import tempfile
from pathlib import Path

from sqlalchemy import Engine

from fieldtrip.errors import UserError
from fieldtrip.store.engine import (
    Mode,
    damaged_text,
    library_engine,
    plain_words,
    start_log,
    way_on,
)
from fieldtrip.store.upgrade import (
    APPLICATION_ID,
    newest_revision,
    refuse_newer,
    revision_of,
    upgrade,
)

_MAGIC = b"SQLite format 3\0"  # Source: SQLite, "Database File Format", 1.3.1
_HEADER_LENGTH = 100  # the same, 1.3


def open_file(path: Path) -> tuple[Engine, bool]:
    """An engine on a library file, made or brought up to date; and if it is read-only.

    Raises `UserError` for whatever cannot be opened.
    """
    mode = _look(path)
    with plain_words(path):
        if mode is not Mode.NEW:
            _refuse_damaged(path, mode)
        is_read_only = mode in (Mode.READ, Mode.READ_AS_IT_LIES)
        if not is_read_only:
            upgrade(path, mode)
        engine = library_engine(path, mode if is_read_only else Mode.WRITE)
        try:
            if is_read_only:
                _refuse_older(engine, path)
            else:
                start_log(engine)
        except BaseException:
            engine.dispose()
            raise
        return engine, is_read_only


def open_to_read(path: Path) -> Engine:
    """An engine that cannot write, on a library file that is there and up to date.

    Raises `UserError` for whatever cannot be opened.
    """
    mode = _look(path)
    if mode is Mode.NEW:
        raise UserError(f"There is no library “{path}”.")
    mode = Mode.READ if mode is Mode.WRITE else mode
    with plain_words(path):
        _refuse_damaged(path, mode)
        engine = library_engine(path, mode)
        if revision_of(engine) != newest_revision():
            engine.dispose()
            raise UserError(
                f"“{path.name}” was made by an older version of Fieldtrip. Open it in "
                "the window once, which brings it up to date and keeps a backup."
            )
    return engine


def _look(path: Path) -> Mode:
    """How the file may be opened, from what lies on the disk."""
    try:
        if path.is_dir():
            raise UserError(f"“{path}” is a folder. Choose a library file in it.")
        if not path.parent.is_dir():
            raise UserError(
                f"The folder “{path.parent}” does not exist. "
                "Make it first, or choose another one."
            )
        if not path.exists() or _is_unused(path):
            return _look_for_room(path)
        if not path.is_file():
            raise UserError(f"“{path}” is no file. Choose another one.")
        with path.open("rb") as file:
            header = file.read(_HEADER_LENGTH)
    except PermissionError as error:
        raise UserError(
            f"You have no permission to read “{path}”. Ask for it, or choose "
            "another file."
        ) from error
    except OSError as error:
        raise UserError(
            f"“{path}” cannot be read ({error.strerror}). Choose another file."
        ) from error
    _refuse_foreign(path, header)
    return Mode.WRITE if _is_writable(path) else _mode_for_reading(path, header)


def _is_unused(path: Path) -> bool:
    """Whether it is an empty file that never held a library: one may be made in it."""
    return (
        path.is_file()
        and path.stat().st_size == 0
        and not _beside(path, "-wal").exists()
        and way_on(path).startswith("Choose")
    )


def _look_for_room(path: Path) -> Mode:
    if _is_writable(path.parent):
        return Mode.NEW
    raise UserError(
        f"No library can be made in “{path.parent}”: you have no permission to "
        "write there. Choose another folder."
    )


def _refuse_foreign(path: Path, header: bytes) -> None:
    if not header:
        raise UserError(f"“{path.name}” is empty. {way_on(path)}")
    if not header.startswith(_MAGIC[: len(header)]):
        raise UserError(
            f"“{path.name}” is not a Fieldtrip library and was left as it is. "
            f"{way_on(path)}"
        )
    if len(header) < _HEADER_LENGTH:
        raise UserError(damaged_text(path))
    # Source: SQLite, "Database File Format", 1.3: big-endian, at byte 68.
    if int.from_bytes(header[68:72], "big") != APPLICATION_ID:
        raise UserError(
            f"“{path.name}” is a database of another program, not a Fieldtrip "
            f"library, and was left as it is. {way_on(path)}"
        )


def _is_writable(path: Path) -> bool:
    """Whether a file and its folder, or a folder, can be written; found by trying."""
    try:
        folder = path
        if path.is_file():
            path.open("r+b").close()
            folder = path.parent
        # SQLite keeps its log beside the file.
        tempfile.TemporaryFile(dir=folder).close()
    except OSError:
        return False
    return True


def _mode_for_reading(path: Path, header: bytes) -> Mode:
    if header[18] != 2:  # the file is whole without a write-ahead log
        return Mode.READ
    if not _beside(path, "-wal").exists():
        return Mode.READ_AS_IT_LIES
    if _beside(path, "-shm").exists():
        return Mode.READ  # another window has it open
    raise UserError(
        f"“{path.name}” was not closed properly, and its folder cannot be written. "
        f"Copy it together with “{path.name}-wal” to a folder of your own and open "
        "the copy."
    )


def _refuse_damaged(path: Path, mode: Mode) -> None:
    """Have SQLite look through the file: pages, rows, and nothing cut off."""
    engine = library_engine(path, mode)
    try:
        with engine.connect() as connection:
            answer = connection.exec_driver_sql("PRAGMA quick_check(1)").scalar()
        if answer != "ok":
            raise UserError(damaged_text(path))
        refuse_newer(revision_of(engine), path)
    finally:
        engine.dispose()


def _refuse_older(engine: Engine, path: Path) -> None:
    if revision_of(engine) != newest_revision():
        raise UserError(
            f"“{path.name}” was made by an older version of Fieldtrip and cannot be "
            "brought up to date where it is, because it cannot be written there. "
            "Copy it to a folder of your own and open the copy."
        )


def _beside(path: Path, ending: str) -> Path:
    return path.with_name(path.name + ending)
