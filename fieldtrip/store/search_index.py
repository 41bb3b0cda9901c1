"""The full-text index: what of each kind of record is looked through.

Two tables beside those of the records: `search_entry` says whose text a row of
the full-text table `search_text` is.  Triggers keep both in step with every
change, so that undo and redo need not think of them.  None of it is a table of
the program: SQLite drops triggers with the table that a migration copies, so
`migrate` puts all of it away first and makes it anew at the end.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection

from fieldtrip.places.records import (
    AccessNote,
    AccessRoute,
    Closure,
    CrossingObservation,
    Hazard,
    Leg,
    Location,
    Permit,
    Refuge,
    StartPlace,
    Subject,
    VantagePoint,
)
from fieldtrip.store.tables import ROW_OF
from fieldtrip.tides.records import TideTable
from fieldtrip.trips.records import DateSearch, Gate, Stop, Tick, Trip
from fieldtrip.weather.records import Forecast

PREFIX = "search_"  # of everything here, tables and triggers
_HERE = "{row}.location_id"
_OF_ROUTE = "(SELECT location_id FROM access_route WHERE id = {row}.route_id)"
_OF_LEG = (
    "(SELECT access_route.location_id FROM leg JOIN access_route "
    "ON access_route.id = leg.route_id WHERE leg.id = {row}.leg_id)"
)
_OF_TRIP = "(SELECT location_id FROM trip WHERE id = {row}.trip_id)"


@dataclass(frozen=True, slots=True)
class Indexed:
    """A kind of record, and its columns that hold words."""

    kind: type[Any]
    name: str | None
    notes: tuple[str, ...]
    location: str = _HERE

    @property
    def table(self) -> str:
        """The table in which its records are kept."""
        return str(ROW_OF[self.kind].__tablename__)

    def name_of(self, row: str) -> str:
        """Its name, as an expression."""
        return f"{row}.{self.name}" if self.name else "''"

    def notes_of(self, row: str) -> str:
        """All its other words, as an expression."""
        if not self.notes:
            return "''"
        joined = " || char(10) || ".join(f"{row}.{column}" for column in self.notes)
        return f"trim({joined}, char(10))"


INDEXED: tuple[Indexed, ...] = (
    Indexed(Location, "name", ("notes", "emergency", "nearest_road"), "{row}.id"),
    Indexed(VantagePoint, "name", ("notes",)),
    Indexed(Subject, "name", ("notes",)),
    Indexed(AccessRoute, "name", ("notes",)),
    Indexed(Leg, "name", (), _OF_ROUTE),
    Indexed(CrossingObservation, None, ("remark",), _OF_LEG),
    Indexed(Refuge, "name", ("notes",)),
    Indexed(StartPlace, "name", ("notes", "kind")),
    Indexed(Hazard, "name", ("applies", "notes", "kind")),
    Indexed(AccessNote, None, ("text", "kind")),
    Indexed(Permit, "name", ("owner", "allows", "notes")),
    Indexed(Closure, "name", ("source", "notes", "kind")),
    Indexed(TideTable, "port", ("source",)),
    Indexed(Forecast, None, ("source",)),
    Indexed(
        Trip, "name", ("notes", "contact", "emergency", "car", "alarm_with", "kit")
    ),
    Indexed(Stop, None, ("wanted",), _OF_TRIP),
    Indexed(Gate, "name", ("must_see", "fallback"), _OF_TRIP),
    Indexed(DateSearch, "name", ()),
    Indexed(Tick, None, ("reason",), _OF_TRIP),
)
KIND_OF = {entry.table: entry.kind for entry in INDEXED}


def is_index_table(name: str | None) -> bool:
    """Whether a table belongs to the index, and not to the program's own."""
    return name is not None and name.startswith(PREFIX)


def put_away_index(connection: Connection) -> None:
    """Drop the index with its triggers, whichever version made them."""
    names = connection.exec_driver_sql(
        "SELECT name FROM sqlite_master WHERE type = 'trigger' AND substr(name, 1, ?) "
        "= ?",
        (len(PREFIX), PREFIX),
    ).scalars()
    for name in list(names):
        connection.exec_driver_sql(f'DROP TRIGGER "{name}"')
    for table in ("search_text", "search_entry"):
        connection.exec_driver_sql(f"DROP TABLE IF EXISTS {table}")


def make_index(connection: Connection) -> None:
    """Make the index and fill it with what the library holds."""
    run = connection.exec_driver_sql
    run(
        "CREATE TABLE search_entry (number INTEGER PRIMARY KEY, kind TEXT NOT NULL, "
        "record_id CHAR(32) NOT NULL UNIQUE, location_id CHAR(32) NOT NULL)"
    )
    run("CREATE INDEX search_entry_kind ON search_entry (kind)")
    # Folds case and diacritics; the prefixes make the first letters quick.
    run(
        "CREATE VIRTUAL TABLE search_text USING fts5(name, notes, "
        "tokenize = 'unicode61 remove_diacritics 2', prefix = '1 2 3')"
    )
    for entry in INDEXED:
        run(
            f"INSERT INTO search_entry (kind, record_id, location_id) "
            f"SELECT '{entry.table}', r.id, {entry.location.format(row='r')} "
            f"FROM {entry.table} AS r"
        )
        run(
            f"INSERT INTO search_text (rowid, name, notes) "
            f"SELECT e.number, {entry.name_of('r')}, {entry.notes_of('r')} "
            f"FROM {entry.table} AS r JOIN search_entry AS e ON e.record_id = r.id"
        )
        for trigger in _triggers(entry):
            run(trigger)


def _triggers(entry: Indexed) -> tuple[str, str, str]:
    number = "(SELECT number FROM search_entry WHERE record_id = {row}.id)"
    new, old = number.format(row="new"), number.format(row="old")
    on = f"ON {entry.table} BEGIN"
    location = entry.location.format(row="new")
    return (
        f"CREATE TRIGGER search_{entry.table}_added AFTER INSERT {on} "
        f"INSERT INTO search_entry (kind, record_id, location_id) "
        f"VALUES ('{entry.table}', new.id, {location}); "
        f"INSERT INTO search_text (rowid, name, notes) "
        f"VALUES ({new}, {entry.name_of('new')}, {entry.notes_of('new')}); END",
        f"CREATE TRIGGER search_{entry.table}_edited AFTER UPDATE {on} "
        f"UPDATE search_entry SET location_id = {location} WHERE number = {old}; "
        f"UPDATE search_text SET name = {entry.name_of('new')}, "
        f"notes = {entry.notes_of('new')} WHERE rowid = {old}; END",
        f"CREATE TRIGGER search_{entry.table}_removed AFTER DELETE {on} "
        f"DELETE FROM search_text WHERE rowid = {old}; "
        f"DELETE FROM search_entry WHERE record_id = old.id; END",
    )
