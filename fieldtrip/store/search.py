"""Finds words in the names and notes of every kind of record."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
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


@dataclass(frozen=True, slots=True)
class Hit:
    """A record that holds the words, and where in its notes they stand."""

    kind: type[Any]
    record_id: UUID
    location_id: UUID
    name: str
    snippet: str = ""  # words of its notes; empty where only the name holds them


def search(
    connection: Connection, text: str, limit: int, kinds: Collection[type[Any]] = ()
) -> list[Hit]:
    """The records that hold every word of `text`, best first, of some kinds or all.

    Case and accents do not count, and the last word may be unfinished.  Without
    a word, all records of the kinds, by name; without kinds either, none.
    """
    wanted = match_of(text)
    tables = [ROW_OF[kind].__tablename__ for kind in kinds]
    among = f"e.kind IN ({', '.join('?' * len(tables))})" if tables else "1"
    if wanted:
        # The words around are cut out only for what is shown.
        sql = (
            "SELECT e.kind, e.record_id, e.location_id, s.name, "
            "snippet(search_text, 1, ?, ?, '…', ?) "
            "FROM search_text AS s JOIN search_entry AS e ON e.number = s.rowid "
            "JOIN (SELECT t.rowid AS number, bm25(search_text, ?, 1.0) AS place "
            "FROM search_text AS t JOIN search_entry AS e ON e.number = t.rowid "
            f"WHERE search_text MATCH ? AND {among} "
            "ORDER BY place, number LIMIT ?) AS best ON best.number = s.rowid "
            "WHERE s.search_text MATCH ? ORDER BY best.place, best.number"
        )
        values = (
            _OPEN, _CLOSE, _WORDS_AROUND, _NAME_WEIGHT, wanted, *tables, limit, wanted
        )  # fmt: skip
    elif tables:
        sql = (
            "SELECT e.kind, e.record_id, e.location_id, s.name, '' "
            "FROM search_entry AS e JOIN search_text AS s ON s.rowid = e.number "
            f"WHERE {among} ORDER BY s.name COLLATE NOCASE, e.record_id LIMIT ?"
        )
        values = (*tables, limit)
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
