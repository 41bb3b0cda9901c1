"""Asks the store what the list of places is searched for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any
from uuid import UUID

from fieldtrip.desktop.content.found_places import Found
from fieldtrip.desktop.content.sieve import KINDS, Sieve
from fieldtrip.places.records import Location
from fieldtrip.store.naming import KINDS as KIND_WORDS
from fieldtrip.store.store import Hit, Store
from fieldtrip.trips.records import Stop, Tick, Trip

MOST_ROWS = 60  # in the list; nobody reads more


def find_places(
    store: Store,
    locations: Mapping[UUID, Location],
    *,
    query: str,
    sieve: Sieve,
    today: date,
) -> list[Found]:
    """The records that hold the words and pass the sieve, one more than is shown."""
    among = None if sieve.is_open else sieve.among(today)
    hits = store.search(query, MOST_ROWS + 1, among)
    records = {**locations, **_records(store, hits)}
    trips = store.some(
        Trip, {r.trip_id for r in records.values() if isinstance(r, (Stop, Tick))}
    )
    found = []
    for hit in hits:
        record, within = records.get(hit.record_id), ""
        match record:
            case Stop(trip_id=trip_id):
                record, within = trips.get(trip_id), "what a stop is for"
            case Tick(trip_id=trip_id):
                record, within = trips.get(trip_id), "a reason given"
            case _ if hit.kind not in KINDS:  # it has no line of its own
                record, within = locations.get(hit.location_id), _a_kind(hit.kind)
        if record is not None:
            snippet = hit.snippet or (hit.name if within else "")
            found.append(
                Found(
                    record=record,
                    location_id=hit.location_id,
                    snippet=snippet,
                    within=within,
                )
            )
    return found


def _a_kind(kind: type[Any]) -> str:
    word = KIND_WORDS[kind]
    return f"{'an' if word[0] in 'aeiou' else 'a'} {word}"


def _records(store: Store, hits: Sequence[Hit]) -> dict[UUID, Any]:
    ids: dict[type[Any], list[UUID]] = {}
    for hit in hits:
        if hit.kind is Location:
            continue  # all of them are known
        ids.setdefault(hit.kind, []).append(hit.record_id)
    records: dict[UUID, Any] = {}
    for kind, of_kind in ids.items():
        records |= store.some(kind, of_kind)
    return records
