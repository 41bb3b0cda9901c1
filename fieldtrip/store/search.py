"""Finds words in the names and notes of every kind of record."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Any
from uuid import UUID

from sqlalchemy import Connection

from fieldtrip.store.search_index import KIND_OF
from fieldtrip.store.tables import ROW_OF

_MOST_WORDS = 16  # as many as anybody types
_LONGEST_WORD = 60
_OPEN, _CLOSE = "\x02", "\x03"  # round a word found
_WORDS_AROUND = 10
_NAME_WEIGHT = 8.0  # a word in a name counts so much more than one in the notes


@dataclass(frozen=True, slots=True, kw_only=True)
class Condition:
    """What a field of a record must be: one of these, or not known, or earlier."""

    field: str
    values: tuple[bool | StrEnum, ...] = ()
    or_not_known: bool = False
    or_before: date | None = None


Among = Mapping[type[Any], Sequence[Condition]]  # all conditions of a kind must hold


@dataclass(frozen=True, slots=True)
class Hit:
    """A record that holds the words, and where in its notes they stand."""

    kind: type[Any]
    record_id: UUID
    location_id: UUID
    name: str
    snippet: str = ""  # words of its notes; empty where only the name holds them


def search(
    connection: Connection, text: str, limit: int, among: Among | None = None
) -> list[Hit]:
    """The records that hold every word of `text`, best first, of all kinds or some.

    Case and accents do not count, and the last word may be unfinished.  Without
    a word, all records of the kinds, by name; without kinds either, none.
    """
    wanted = match_of(text)
    where, such = ("1", ()) if among is None else _among(among)
    if wanted:
        # The words around are cut out only for what is shown.
        sql = (
            "SELECT e.kind, e.record_id, e.location_id, s.name, "
            "snippet(search_text, 1, ?, ?, '…', ?) "
            "FROM search_text AS s JOIN search_entry AS e ON e.number = s.rowid "
            "JOIN (SELECT t.rowid AS number, bm25(search_text, ?, 1.0) AS place "
            "FROM search_text AS t JOIN search_entry AS e ON e.number = t.rowid "
            f"WHERE search_text MATCH ? AND {where} "
            "ORDER BY place, number LIMIT ?) AS best ON best.number = s.rowid "
            "WHERE s.search_text MATCH ? ORDER BY best.place, best.number"
        )
        values = (
            _OPEN, _CLOSE, _WORDS_AROUND, _NAME_WEIGHT, wanted, *such, limit, wanted
        )  # fmt: skip
    elif among is not None:
        sql = (
            "SELECT e.kind, e.record_id, e.location_id, s.name, '' "
            "FROM search_entry AS e JOIN search_text AS s ON s.rowid = e.number "
            f"WHERE {where} ORDER BY s.name COLLATE NOCASE, e.record_id LIMIT ?"
        )
        values = (*such, limit)
    else:
        return []
    return [_hit(*row) for row in connection.exec_driver_sql(sql, values)]


def match_of(text: str) -> str:
    """A typed text as a question for the index; empty where it holds no word.

    Every word is quoted, so that nothing typed is taken for an operator.
    """
    clean = text.replace("\0", " ").encode("utf-8", "replace").decode()
    words = [word for word in clean.split() if any(c.isalnum() for c in word)]
    quoted = [
        '"' + word[:_LONGEST_WORD].replace('"', '""') + '"'
        for word in words[:_MOST_WORDS]
    ]
    return " ".join(quoted) + "*" if quoted else ""


def _among(among: Among) -> tuple[str, tuple[object, ...]]:
    """That an entry is of one of the kinds, and what its record must be."""
    parts, values = ["0"], list[object]()
    for kind, conditions in among.items():
        row = ROW_OF[kind]
        tests = []
        for condition in conditions:
            test, of_test = _test(
                row.__table__.columns[condition.field].name, condition
            )
            tests.append(test)
            values += of_test
        inside = f"SELECT id FROM {row.__tablename__} WHERE {' AND '.join(tests)}"
        such = f" AND e.record_id IN ({inside})" if tests else ""
        parts.append(f"(e.kind = '{row.__tablename__}'{such})")
    return f"({' OR '.join(parts)})", tuple(values)


def _test(column: str, condition: Condition) -> tuple[str, list[object]]:
    values: list[object] = [
        int(value) if isinstance(value, bool) else str(value)
        for value in condition.values
    ]
    tests = [f"{column} IN ({', '.join('?' * len(values))})"]
    if condition.or_not_known:
        tests.append(f"{column} IS NULL")
    if condition.or_before is not None:
        tests.append(f"{column} < ?")
        values.append(condition.or_before.isoformat())
    return f"({' OR '.join(tests)})", values


def _hit(kind: str, record_id: str, location_id: str, name: str, around: str) -> Hit:
    is_in_notes = _OPEN in around
    snippet = around.replace(_OPEN, "").replace(_CLOSE, "") if is_in_notes else ""
    return Hit(
        KIND_OF[kind],
        UUID(record_id),
        UUID(location_id),
        name,
        " ".join(snippet.split()),
    )
