"""What has to go, and in which order, when one record goes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any
from uuid import UUID

from sqlalchemy import Column, select
from sqlalchemy.orm import Session

from fieldtrip.store.changes import Change, Record
from fieldtrip.store.tables import ROW_OF, RecordRow, record_of

Key = tuple[type[Any], UUID]


def removal(session: Session, record: Record) -> list[Change]:
    """Everything that cannot be without a record, then the record itself.

    A table's keys say which: what *must* name the record goes with it, what
    *may* name it stays and forgets it.  Edits first, then removals, each after
    whatever depends on it.
    """
    doomed: dict[Key, Record] = {}
    _doom(session, record, doomed)
    edited: dict[Key, tuple[Record, Any]] = {}
    doomed_users: dict[Key, list[Key]] = {key: [] for key in doomed}
    for kind, record_id in doomed:
        for user, column in users_of(session, kind, record_id):
            key = (type(user), user.id)
            if key in doomed:
                doomed_users[kind, record_id].append(key)
            else:
                before, after = edited.get(key, (user, user))
                edited[key] = before, replace(after, **{column.name: None})
    forgotten = [Change(before, after) for before, after in edited.values()]
    going = [Change(doomed[key], None) for key in _users_first(doomed_users)]
    return [*forgotten, *going]


def users_of(
    session: Session, kind: type[Any], record_id: UUID
) -> Iterator[tuple[Any, Column[Any]]]:
    """Every record that names another by its id, and the column in which it does."""
    for row, column in _references(ROW_OF[kind]):
        for user in session.scalars(select(row).where(column == record_id)):
            yield record_of(user), column


def _doom(session: Session, record: Record, doomed: dict[Key, Record]) -> None:
    key = (type(record), record.id)
    if key in doomed:
        return
    for user, column in users_of(session, *key):
        if not column.nullable:
            _doom(session, user, doomed)
    doomed[key] = record


def _users_first(users: dict[Key, list[Key]]) -> list[Key]:
    """Every key, each after those that name it, whether they must or may."""
    found: dict[Key, None] = {}
    on_the_way: set[Key] = set()

    def visit(key: Key) -> None:
        if key in found or key in on_the_way:
            return
        on_the_way.add(key)
        for user in users[key]:
            visit(user)
        found[key] = None

    for key in users:
        visit(key)
    return list(found)


def _references(
    target: type[RecordRow],
) -> Iterator[tuple[type[RecordRow], Column[Any]]]:
    for row in ROW_OF.values():
        for column in row.metadata.tables[row.__tablename__].columns:
            for key in column.foreign_keys:
                if key.column.table is target.__table__:
                    yield row, column
