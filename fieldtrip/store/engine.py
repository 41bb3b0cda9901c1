"""How SQLite is spoken to."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from enum import StrEnum
from pathlib import Path

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.exc import DBAPIError, IntegrityError
from sqlalchemy.pool import StaticPool

from fieldtrip.errors import UserError

BUSY_MS = 3_000  # how long to wait for another program to finish writing
_WRITING = "BEGIN IMMEDIATE"  # takes the lock before reading what it will change


class Mode(StrEnum):
    """What may be done with a file, as SQLite's own URI parameters."""

    NEW = "mode=rwc"
    WRITE = "mode=rw"
    READ = "mode=ro"
    # For a file that says it has a write-ahead log, where there is none and
    # none can be made: SQLite then reads the file as it lies there.
    READ_AS_IT_LIES = "mode=ro&immutable=1"


def library_engine(
    path: Path | None, mode: Mode = Mode.WRITE, *, enforce_keys: bool = True
) -> Engine:
    """Engine with one connection to a library file, or to one in memory for None.

    Python's sqlite3 module would commit before every CREATE or ALTER; with
    its own transactions switched off, a migration that fails leaves no trace.
    """
    target = f"{_uri(path)}?{mode}" if path else ":memory:"

    def connect() -> sqlite3.Connection:
        connection = sqlite3.connect(target, uri=path is not None, isolation_level=None)
        connection.execute(f"PRAGMA busy_timeout = {BUSY_MS}")
        connection.execute(f"PRAGMA foreign_keys = {int(enforce_keys)}")
        connection.execute("PRAGMA synchronous = FULL")
        return connection

    engine = create_engine("sqlite://", creator=connect, poolclass=StaticPool)

    @event.listens_for(engine, "begin")
    def begin(connection: Connection) -> None:
        how = connection.get_execution_options().get("begin", "BEGIN")
        connection.exec_driver_sql(how)

    return engine


def for_writing(engine: Engine) -> Engine:
    """The same engine, whose transactions wait for their turn before they read."""
    return engine.execution_options(begin=_WRITING)


def start_log(engine: Engine) -> None:
    """Write ahead from now on: readers and a writer do not wait for each other."""
    with engine.connect() as connection:
        sqlite_of(connection).execute("PRAGMA journal_mode = WAL")


def end_log(engine: Engine) -> None:
    """Bring everything into the one file; the last window to close succeeds."""
    with engine.connect() as connection:
        raw = sqlite_of(connection)
        raw.execute("PRAGMA busy_timeout = 0")  # another window keeps the log: fine
        try:
            raw.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchall()
            raw.execute("PRAGMA journal_mode = DELETE").fetchall()
        except sqlite3.OperationalError:
            raw.execute("PRAGMA busy_timeout = 0")


@contextmanager
def plain_words(path: Path | None) -> Iterator[None]:
    """Turn what SQLite cannot do into one sentence that helps.

    A broken key passes: only who made the change can say what is in the way.
    """
    try:
        yield
    except IntegrityError:
        raise
    except DBAPIError as error:
        if not isinstance(error.orig, sqlite3.Error):
            raise
        raise UserError(in_words(error.orig, path)) from error
    except sqlite3.Error as error:
        raise UserError(in_words(error, path)) from error


def in_words(error: sqlite3.Error, path: Path | None) -> str:
    """What an error of SQLite means to the person at the desk, and a way on."""
    name = f"“{path.name}”" if path else "The library"
    # Python 3.11 says which error it was; the low byte is its kind.
    match getattr(error, "sqlite_errorcode", 0) & 0xFF:
        case sqlite3.SQLITE_BUSY | sqlite3.SQLITE_LOCKED:
            return (
                f"{name} is in use by another program. "
                "Wait until it has finished, or close it there, and try again."
            )
        case sqlite3.SQLITE_FULL:
            return f"{name} could not be written: the disk is full. Free some space."
        case sqlite3.SQLITE_READONLY:
            return (
                f"{name} cannot be written, so nothing was changed. "
                "Copy it to a folder of your own and open the copy."
            )
        case sqlite3.SQLITE_CANTOPEN | sqlite3.SQLITE_PERM | sqlite3.SQLITE_AUTH:
            return (
                f"{name} cannot be opened. Check that you may read it and write "
                "in its folder, or choose another file."
            )
        case sqlite3.SQLITE_CORRUPT | sqlite3.SQLITE_NOTADB:
            return damaged_text(path)
        case sqlite3.SQLITE_IOERR:
            return (
                f"{name} could not be read or written: the disk or the network "
                "drive reports a fault. Check it and try again."
            )
        case _:
            return f"{name} could not be read or written: {error}."


def damaged_text(path: Path | None) -> str:
    """That a library is damaged, and which backup lies beside it."""
    if path is None:
        return "The library is damaged."
    return f"“{path.name}” is damaged and was left as it is. {way_on(path)}"


def way_on(path: Path) -> str:
    """The newest backup beside a library, or else the advice to choose another file."""
    backups = sorted(
        path.parent.glob(f"{_escaped(path.name)}.before-*"),
        key=lambda backup: backup.stat().st_mtime,
    )
    if not backups:
        return "Choose another file."
    return f"There is a backup beside it: open “{backups[-1].name}”."


def _escaped(name: str) -> str:
    return "".join(f"[{c}]" if c in "*?[" else c for c in name)


def _uri(path: Path) -> str:
    uri = path.absolute().as_uri()
    if uri.startswith("file:///"):
        return uri
    return uri.replace("file://", "file:////", 1)  # a network drive of Windows


def sqlite_of(connection: Connection) -> sqlite3.Connection:
    """Python's own connection under one of SQLAlchemy's."""
    raw = connection.connection.driver_connection
    if not isinstance(raw, sqlite3.Connection):
        raise TypeError("not SQLite")
    return raw
