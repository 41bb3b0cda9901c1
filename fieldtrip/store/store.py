"""Keeps records in one SQLite file.

The store hands out and takes in frozen records only.  Sessions and rows stay
inside this package, so a record may cross threads, sit in the undo stack or be
compared with ``==`` without a thought for the database.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from contextlib import closing, contextmanager
from dataclasses import fields
from itertools import groupby
from pathlib import Path
from typing import Any, TypeVar
from uuid import UUID

from sqlalchemy import Engine, delete, select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from fieldtrip.errors import UserError
from fieldtrip.places.records import Location
from fieldtrip.store.changes import Change, Record, undoing
from fieldtrip.store.engine import (
    end_log,
    for_writing,
    library_engine,
    plain_words,
    sqlite_of,
)
from fieldtrip.store.naming import called, counted, unkeepable
from fieldtrip.store.opening import open_file, open_to_read
from fieldtrip.store.reading import by_name, by_trip_day, read_dossier
from fieldtrip.store.removal import removal, users_of
from fieldtrip.store.search import Among, Condition, Hit, search
from fieldtrip.store.tables import ROW_OF, DraftRow, RecordRow, record_of, row_of
from fieldtrip.store.upgrade import empty_library
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import Trip

__all__ = ["Change", "Condition", "Hit", "Record", "Store", "undoing"]

R = TypeVar("R", bound=Record)
_IDS_PER_QUERY = 500  # SQLite takes 999 or more, depending on how it was built


class Store:
    """One open library file, to be used by one thread."""

    def __init__(
        self, engine: Engine, path: Path | None = None, *, is_read_only: bool = False
    ) -> None:
        self._engine = engine
        self.path = path  # None: in memory
        self.is_read_only = is_read_only
        self._is_closed = False

    @classmethod
    def open(cls, path: Path) -> Store:
        """Open a library file, making it or bringing it up to date if need be.

        Before an existing file is brought up to date it is copied beside itself.
        Raises `UserError` for a file that is none of ours, damaged, newer or
        locked; such a file is left as it is.
        """
        engine, is_read_only = open_file(path)
        return cls(engine, path, is_read_only=is_read_only)

    @classmethod
    def open_to_read(cls, path: Path) -> Store:
        """Open a library file without changing a byte of it.

        Raises `UserError` for a file that is missing, none of ours, damaged, newer
        or older.
        """
        return cls(open_to_read(path), path, is_read_only=True)

    @classmethod
    def in_memory(cls) -> Store:
        """Open an empty library that is lost when closed."""
        engine = library_engine(None)
        with engine.connect() as connection:
            sqlite_of(connection).deserialize(empty_library())
        return cls(engine)

    def close(self) -> None:
        """Let go of the file, which is then the whole library; once is enough."""
        if self._is_closed:
            return
        self._is_closed = True
        if self.path is not None and not self.is_read_only:
            end_log(self._engine)
        self._engine.dispose()

    def copy_to(self, path: Path) -> None:
        """Write the whole library as it is now to another file.

        The copy is made beside its place and then put there, so that a disk that
        fills up costs neither an older file of that name nor half a copy.
        """
        if self.path is not None and path.resolve() == self.path.resolve():
            raise UserError("That is the library that is open. Choose another name.")
        part = path.with_name(f"{path.name}.part")
        try:
            with closing(sqlite3.connect(part)) as copy, self._engine.connect() as own:
                sqlite_of(own).backup(copy)
            part.replace(path)
        except (OSError, sqlite3.Error) as error:
            raise UserError(
                f"The copy could not be written to {path}: {error}."
            ) from error
        finally:
            part.unlink(missing_ok=True)

    def apply(self, changes: Iterable[Change]) -> None:
        """Make all changes in the order given, or none of them.

        Raises `UserError` for a record with faults, for one that is no longer
        as the change says it was, and for one that something else still uses.
        """
        changes = list(changes)
        for change in changes:
            if change.after is not None:
                for fault in (*unkeepable(change.record), *change.after.faults()):
                    raise UserError(fault)
        try:
            with self._writing() as session:
                for _, same_sort in groupby(changes, _sort):
                    _apply(session, list(same_sort))
                    session.flush()  # in the order given, which foreign keys need
        except IntegrityError as error:
            raise UserError(self._what_is_in_the_way(changes)) from error

    def all(self, kind: type[R]) -> list[R]:
        """Every record of one kind, in no particular order."""
        with self._reading() as session:
            return [record_of(row) for row in session.scalars(select(ROW_OF[kind]))]

    def get(self, kind: type[R], record_id: UUID) -> R | None:
        """One record, or None where there is none of that id."""
        with self._reading() as session:
            row = session.get(ROW_OF[kind], record_id)
            return record_of(row) if row else None

    def some(self, kind: type[R], ids: Iterable[UUID]) -> dict[UUID, R]:
        """Records of one kind by their ids; those that are gone are left out."""
        with self._reading() as session:
            rows = _rows_of_ids(session, ROW_OF[kind], ids)
            return {row_id: record_of(row) for row_id, row in rows.items()}

    def search(
        self, text: str, limit: int = 200, among: Among | None = None
    ) -> list[Hit]:
        """The records whose name or notes hold every word of a text, best first.

        Case and accents do not count, and the last word may be unfinished.
        `among` names the kinds to look through, each with what its records must
        be; without a word, all of those, by name.
        """
        with self._reading() as session:
            return search(session.connection(), text, limit, among)

    def dossier(self, location_id: UUID) -> Dossier:
        """Everything kept about one location; `UserError` if it is not there."""
        with self._reading() as session:
            return read_dossier(session, location_id)

    def locations(self) -> list[Location]:
        """All locations, by name."""
        return sorted(self.all(Location), key=by_name)

    def trips(self) -> list[Trip]:
        """The trips of all locations, by day."""
        return sorted(self.all(Trip), key=by_trip_day)

    def removal_of(self, record: Record) -> list[Change]:
        """The changes that remove a record and all that cannot be without it."""
        with self._reading() as session:
            return removal(session, record)

    def find_trip(self, text: str) -> Trip:
        """The trip of an id, or the only one of a name; `UserError` otherwise."""
        trips = self.trips()
        wanted = text.strip().casefold()
        named = [t for t in trips if wanted in (str(t.id), t.name.strip().casefold())]
        if len(named) == 1:
            return named[0]
        if named:
            listed = ", ".join(f"{trip.day} is {trip.id}" for trip in named)
            raise UserError(f"Several trips are called “{text}”; give an id: {listed}.")
        if not trips:
            raise UserError("There are no trips in this library.")
        listed = ", ".join(dict.fromkeys(f"“{trip.name}”" for trip in trips[-10:]))
        raise UserError(f"No trip is called “{text}”. There is {listed}.")

    def keep_draft(self, record_id: UUID, field: str, text: str) -> None:
        """Save what is being typed into a field; it is no edit, and not undone."""
        clean = text.encode("utf-8", "replace").decode()  # halves of symbols become ?
        with self._writing() as session:
            session.merge(DraftRow(record_id=record_id, field=field, text=clean))

    def drafts(self) -> dict[tuple[UUID, str], str]:
        """What was being typed, by record and field."""
        with self._reading() as session:
            rows = session.scalars(select(DraftRow))
            return {(row.record_id, row.field): row.text for row in rows}

    def drop_draft(self, record_id: UUID, field: str) -> None:
        """Forget what was being typed into a field, if anything was."""
        with self._writing() as session:
            session.execute(
                delete(DraftRow).where(
                    DraftRow.record_id == record_id, DraftRow.field == field
                )
            )

    @contextmanager
    def _reading(self) -> Iterator[Session]:
        self._refuse_closed()
        with plain_words(self.path), Session(self._engine) as session:
            try:
                yield session
            except ValueError as error:  # a value that no program of ours wrote
                raise UserError(
                    f"Something in the library cannot be read ({error}). It was "
                    "written by another program, or the file is damaged."
                ) from error

    @contextmanager
    def _writing(self) -> Iterator[Session]:
        self._refuse_closed()
        if self.is_read_only and self.path is not None:
            raise UserError(
                f"“{self.path.name}” is open for reading only, so nothing was changed. "
                "Copy it to a folder of your own and open the copy."
            )
        engine = for_writing(self._engine)
        with plain_words(self.path), Session(engine) as session, session.begin():
            yield session

    def _refuse_closed(self) -> None:
        """SQLAlchemy would open the file again, and nobody would close it."""
        if self._is_closed:
            raise RuntimeError("the library is closed")

    def _what_is_in_the_way(self, changes: Sequence[Change]) -> str:
        """Why the keys of the tables refused some changes, in words."""
        removed = {change.record.id for change in changes if change.after is None}
        with self._reading() as session:
            for change in changes:
                if change.after is not None:
                    continue
                record = change.record
                users: dict[type[Any], int] = {}
                for user, _ in users_of(session, type(record), record.id):
                    if user.id not in removed:
                        users[type(user)] = users.get(type(user), 0) + 1
                if users:
                    listed = " and ".join(counted(n, kind) for kind, n in users.items())
                    use = "uses" if list(users.values()) == [1] else "use"
                    return (
                        f"{called(record)} cannot be removed: {listed} still {use} it."
                    )
        return (
            "Something that this refers to is no longer in the library, so nothing "
            "was changed."
        )


def _sort(change: Change) -> tuple[type, bool, bool]:
    return type(change.record), change.before is None, change.after is None


def _apply(session: Session, changes: list[Change]) -> None:
    """Make changes of one sort: additions, removals or edits of one kind."""
    row_type = ROW_OF[type(changes[0].record)]
    if changes[0].before is None:
        _refuse_existing(session, row_type, changes)
        session.add_all(row_of(change.record) for change in changes)
        return
    rows = _rows(session, row_type, changes)
    for change in changes:
        row = rows.get(change.record.id)
        if row is None or record_of(row) != change.before:
            raise UserError(_changed_elsewhere(change.before))
        if change.after is None:
            session.delete(rows.pop(row.id))
            continue
        for f in fields(row.record):
            value = getattr(change.after, f.name)
            if getattr(row, f.name) != value:
                setattr(row, f.name, value)


def _refuse_existing(
    session: Session, row_type: type[RecordRow], changes: Sequence[Change]
) -> None:
    """What is added must not be there, and only be added once."""
    seen = set(_rows(session, row_type, changes))
    for change in changes:
        if change.record.id in seen:
            raise UserError(_changed_elsewhere(change.record))
        seen.add(change.record.id)


def _rows(
    session: Session, row_type: type[RecordRow], changes: Sequence[Change]
) -> dict[UUID, RecordRow]:
    """The rows of changed records that are there."""
    return _rows_of_ids(session, row_type, {change.record.id for change in changes})


def _rows_of_ids(
    session: Session, row_type: type[RecordRow], wanted: Iterable[UUID]
) -> dict[UUID, RecordRow]:
    """The rows of some ids that are there, in a few queries."""
    ids = list(wanted)
    found: dict[UUID, RecordRow] = {}
    for start in range(0, len(ids), _IDS_PER_QUERY):
        some = ids[start : start + _IDS_PER_QUERY]
        query = select(row_type).where(row_type.id.in_(some))
        found |= {row.id: row for row in session.scalars(query)}
    return found


def _changed_elsewhere(record: Record | None) -> str:
    return (
        f"{called(record)} was changed elsewhere, perhaps in another window, so "
        "nothing was overwritten. Look at it as it is now, then change it again."
    )
