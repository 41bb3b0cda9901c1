"""Makes a library file, or brings one up to the newest tables."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from functools import lru_cache
from pathlib import Path

from sqlalchemy import Connection, Engine

from fieldtrip.errors import UserError
from fieldtrip.files import own_folder
from fieldtrip.store.engine import (
    Mode,
    damaged_text,
    for_writing,
    library_engine,
    sqlite_of,
    way_on,
)
from fieldtrip.store.search_index import make_index, put_away_index

APPLICATION_ID = 0x466C6474  # PRAGMA application_id of our files: "Fldt"


def upgrade(path: Path, mode: Mode = Mode.WRITE) -> None:
    """Run the missing migrations, all or none of them, after a backup.

    Raises `UserError` for a file that a newer fieldtrip has written.
    """
    # SQLite alters a table by copying it, so keys are checked at the end.
    engine = library_engine(path, mode, enforce_keys=False)
    try:
        current = revision_of(engine)
        refuse_newer(current, path)
        if current == newest_revision():
            return
        if current is not None:
            back_up(path, newest_revision())
        # Should another window be doing the same, alembic finds nothing left to do.
        with for_writing(engine).begin() as connection:
            migrate(connection)
            if connection.exec_driver_sql("PRAGMA foreign_key_check").first():
                raise UserError(damaged_text(path))
    finally:
        engine.dispose()


def migrate(connection: Connection) -> None:
    """Bring the tables up to date inside the connection's transaction.

    What a migration cannot carry over, because SQLite drops it with the table
    it copies, is made again here, after the last of them.
    """
    # Only where there is something to do: importing Alembic takes as long as
    # opening a library does, and most libraries are up to date.
    from alembic import command
    from alembic.config import Config

    config = Config()
    folder = str(own_folder("migrations")).replace("%", "%%")
    config.set_main_option("script_location", folder)
    config.set_main_option("path_separator", "os")
    config.attributes["connection"] = connection
    put_away_index(connection)
    command.upgrade(config, "head")
    make_index(connection)
    connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")


@lru_cache(maxsize=1)
def empty_library() -> bytes:
    """A library with all tables and nothing in them, as SQLite would write it."""
    engine = library_engine(None)
    with engine.begin() as connection:
        migrate(connection)
    with engine.connect() as connection:
        content = sqlite_of(connection).serialize()
    engine.dispose()
    return content


def revision_of(engine: Engine) -> str | None:
    """The newest migration a file has seen; None for a file without tables."""
    with engine.connect() as connection:
        if not connection.exec_driver_sql(
            "SELECT 1 FROM sqlite_master WHERE name = 'alembic_version'"
        ).first():
            return None
        row = connection.exec_driver_sql(
            "SELECT version_num FROM alembic_version"
        ).first()
        return None if row is None else str(row[0])


def refuse_newer(revision: str | None, path: Path) -> None:
    """Raise `UserError` for a revision that this version does not know."""
    if revision is not None and revision not in known_revisions():
        raise UserError(
            f"“{path.name}” was made by a newer version of Fieldtrip and was left as "
            f"it is. Install that version, or choose another file. {_older(path)}"
        )


@lru_cache(maxsize=1)
def known_revisions() -> frozenset[str]:
    """All migrations of this version: each file's name starts with its own."""
    folder = own_folder("migrations") / "versions"
    found = frozenset(file.name.split("_")[0] for file in folder.glob("[0-9]*_*.py"))
    if not found:
        raise RuntimeError("the migrations are missing from this installation")
    return found


@lru_cache(maxsize=1)
def newest_revision() -> str:
    """The migration that made the tables as they are now."""
    return max(known_revisions())


def back_up(path: Path, revision: str) -> Path:
    """Copy a library beside itself as ``NAME.before-REVISION``, never over another.

    Made by SQLite itself, which sees the write-ahead log too.  Raises
    `UserError` if it cannot be made, and then nothing else happens.
    """
    target = path.with_name(f"{path.name}.before-{revision}")
    number = 2
    while target.exists():
        target = path.with_name(f"{path.name}.before-{revision}-{number}")
        number += 1
    unfinished = target.with_name(f"{target.name}.unfinished")
    try:
        unfinished.unlink(missing_ok=True)
        with (
            closing(sqlite3.connect(path)) as source,
            closing(sqlite3.connect(unfinished)) as copy,
        ):
            source.backup(copy)
            copy.execute("PRAGMA journal_mode = DELETE")
        unfinished.replace(target)
    except (OSError, sqlite3.Error) as error:
        unfinished.unlink(missing_ok=True)
        raise UserError(
            f"“{path.name}” needs to be brought up to date, but the backup before "
            f"that could not be written ({error}). Nothing was changed."
        ) from error
    return target


def _older(path: Path) -> str:
    text = way_on(path)
    return "" if text.startswith("Choose") else text
