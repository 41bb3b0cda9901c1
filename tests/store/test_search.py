"""Words are found in every record, whatever is typed and whatever was undone."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fieldtrip.places.photographs import Photograph
from fieldtrip.places.records import Hazard, HazardKind, Location, VantagePoint
from fieldtrip.store.changes import Change, undoing
from fieldtrip.store.search_index import INDEXED
from fieldtrip.store.store import Condition, Store
from fieldtrip.store.tables import ROW_OF
from fieldtrip.terrain.records import ElevationFile
from fieldtrip.tides.stations import Station
from fieldtrip.trips.records import CheckRun, Walk
from tests.store.stories import (
    BAR,
    BAY,
    CLOSURE,
    COAST,
    EDGE,
    EVENING,
    HERE,
    NOTE,
    OUTLOOK,
    PERMIT,
    ROCK,
    STAY,
    TABLE,
    TOLD,
    TOWER,
    added,
    any_record,
)

CAFE = Location(
    name="Café Cove", position=HERE, zone="Europe/Dublin", notes="Å tern ÉCOLE."
)


def found(store: Store, text: str) -> list[object]:
    """The ids of what is found."""
    return [hit.record_id for hit in store.search(text)]


def test_every_kind_with_words_is_looked_through() -> None:
    # The second holds the program's own sentences, the last two are of no one place.
    # A photograph is no place of its own; its caption stands on its vantage point.
    wordless = {Walk, CheckRun, Station, ElevationFile, Photograph}

    assert {entry.kind for entry in INDEXED} == set(ROW_OF) - wordless


def test_names_and_notes_of_every_kind_are_found(store: Store) -> None:
    store.apply(
        added(
            *(
                replace(record, notes="Old lobster pots.")
                if hasattr(record, "notes")
                else record
                for record in COAST
            )
        )
    )

    with_notes = {record.id for record in COAST if hasattr(record, "notes")}
    assert set(found(store, "lobster")) == with_notes
    assert found(store, "rock") == [ROCK.id]
    assert found(store, "stile") == [NOTE.id]
    assert found(store, "estate") == [PERMIT.id]
    assert found(store, "notice colony") == [CLOSURE.id]
    assert found(store, "quay") == [TABLE.id]
    assert set(found(store, "typed")) == {TABLE.id, OUTLOOK.id}
    assert found(store, "cliff edge") == [EDGE.id]


def test_what_belongs_to_a_route_or_a_trip_is_at_its_location(store: Store) -> None:
    wanted = replace(STAY, wanted="Glow on the tower")
    told = replace(TOLD, reason="Spoke by radio")
    store.apply(added(*(record for record in COAST if record.id != STAY.id)))
    store.apply([Change(None, wanted), Change(TOLD, told)])

    hits = [*store.search("bar"), *store.search("glow"), *store.search("radio")]

    assert {hit.record_id for hit in hits} >= {BAR.id, STAY.id, TOLD.id}
    assert {hit.location_id for hit in hits} == {BAY.id}


def test_case_accents_and_an_unfinished_last_word_do_not_matter(store: Store) -> None:
    store.apply(added(CAFE))

    for text in ("café", "CAFE", "cafe\u0301 co", "a tern", "école", "ecol", "cove c"):
        assert found(store, text) == [CAFE.id], text
    for text in ("ca cove", "afe", "cove d"):
        assert found(store, text) == [], text


def test_the_words_around_a_find_are_told(store: Store) -> None:
    long = "One. " * 60 + "The stile is broken\nat the second gate. " + "Two. " * 60
    store.apply(added(BAY, replace(ROCK, notes=long)))

    (hit,) = store.search("stile")

    assert hit.kind is VantagePoint
    assert hit.name == "Rock"
    assert "The stile is broken at the second gate" in hit.snippet
    assert hit.snippet.startswith("…")
    assert len(hit.snippet) < 120
    assert store.search("rock")[0].snippet == ""


def test_a_find_in_a_name_comes_first(store: Store) -> None:
    named = replace(TOWER, name="Stile")
    store.apply(added(BAY, replace(ROCK, notes="stile stile stile"), named))

    assert found(store, "stile") == [named.id, ROCK.id]


def test_finds_can_be_of_some_kinds_only_and_few(store: Store) -> None:
    store.apply(added(*COAST))

    hazards = store.search("", among={Hazard: ()})
    assert [hit.record_id for hit in hazards] == [EDGE.id]
    assert store.search("edge", among={VantagePoint: ()}) == []
    assert len(store.search("t", limit=2)) == 2
    assert store.search("") == []


def test_finds_can_be_narrowed_down_to_what_a_field_says(store: Store) -> None:
    hazards = [
        replace(EDGE, id=uuid4(), last_confirmed=day, is_fenced=is_fenced)
        for day, is_fenced in (
            (None, None), (date(2025, 1, 1), False), (date(2026, 1, 1), True)
        )
    ]  # fmt: skip
    never, stale, fresh = hazards
    store.apply(added(BAY, *hazards))

    def found_where(*conditions: Condition) -> set[object]:
        hits = store.search("edge", among={Hazard: conditions})
        listed = store.search("", among={Hazard: conditions})
        ids = {hit.record_id for hit in hits}
        assert {hit.record_id for hit in listed} == ids
        return set(ids)

    day = date(2025, 11, 25)
    assert found_where() == {never.id, stale.id, fresh.id}
    assert found_where(Condition(field="is_fenced", values=(False,))) == {stale.id}
    unfenced = Condition(field="is_fenced", values=(False,), or_not_known=True)
    assert found_where(unfenced) == {never.id, stale.id}
    old = Condition(field="last_confirmed", or_before=day)
    assert found_where(old) == {stale.id}
    old_or_never = replace(old, or_not_known=True)
    assert found_where(old_or_never) == {never.id, stale.id}
    assert found_where(unfenced, old) == {stale.id}
    edges = Condition(field="kind", values=(HazardKind.CLIFF_EDGE,))
    assert len(found_where(edges)) == 3
    assert found_where(replace(edges, values=(HazardKind.TIDE,))) == set()
    assert store.search("edge", among={}) == []


def test_undo_and_redo_are_followed(store: Store) -> None:
    store.apply(added(*COAST))
    renamed = [Change(ROCK, replace(ROCK, name="Skerry", notes="Kelp"))]
    removed = store.removal_of(BAY)

    store.apply(renamed)
    assert found(store, "skerry kelp") == [ROCK.id]
    assert found(store, "rock") == []
    store.apply(undoing(renamed))
    assert found(store, "rock") == [ROCK.id]
    store.apply(removed)
    for text in ("bay", "rock", "stile", "evening", "tern"):
        assert found(store, text) == [], text
    store.apply(undoing(removed))
    for text in ("bay", "rock", "stile", "evening", "tern"):
        assert len(found(store, text)) == 1, text
    store.apply(removed)
    assert found(store, "rock") == []


def test_a_refused_change_leaves_the_index_alone(store: Store) -> None:
    store.apply(added(BAY, ROCK))
    edited = Change(ROCK, replace(ROCK, name="Skerry"))

    with pytest.raises(Exception, match="changed elsewhere"):
        store.apply([edited, Change(TOWER, replace(TOWER, name="Spire"))])

    assert found(store, "skerry") == []
    assert found(store, "rock") == [ROCK.id]


@pytest.mark.parametrize(
    "text",
    [
        '"', '""', '"rock', "rock*", "*", "-rock", "^rock", "name:rock", "NEAR(a, 2)",
        "rock AND", "OR", "NOT rock", "rock + bay", "(", ")", "{name}: rock", "'; --",
        "rock\0", "\0", "\ud800", "\x02rock\x03", ":", "a" * 10_000, "ro " * 5_000,
        "%", "_", "\u0301", "\u200d", "日本語", "हिन्दी", "👩‍🚀", "rock’s", ".,;",
    ],
)  # fmt: skip
def test_nothing_typed_is_taken_for_an_operator(store: Store, text: str) -> None:
    store.apply(added(BAY, ROCK))

    for hit in store.search(text):
        assert hit.record_id in (ROCK.id, BAY.id)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=200)
@given(text=st.text())
def test_no_text_at_all_raises(store: Store, text: str) -> None:
    store.search(text)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60)
@given(record=any_record())
def test_any_record_is_found_by_its_name_and_gone_with_it(
    store: Store, record: Any
) -> None:
    if isinstance(record, Station | ElevationFile) or not hasattr(record, "name"):
        return
    marked = replace(record, name=f"{record.name[:150]} zyzzyva")
    if store.get(Location, BAY.id) is None:
        store.apply(added(*COAST))

    store.apply([Change(None, marked)])

    assert found(store, "zyzzyva") == [marked.id]
    store.apply([Change(marked, None)])
    assert found(store, "zyzzyva") == []


def test_a_library_on_disk_is_searched_for_reading_only(tmp_path: Path) -> None:
    path = tmp_path / "coast.fieldtrip"
    writing = Store.open(path)
    writing.apply(added(*COAST))
    writing.close()

    reading = Store.open_to_read(path)

    assert found(reading, "rock") == [ROCK.id]
    reading.close()


def test_a_hazard_is_found_by_when_it_applies(store: Store) -> None:
    hazard = Hazard(
        location_id=BAY.id,
        name="Burn",
        kind=HazardKind.RIVER,
        shape=EDGE.shape,
        line=EDGE.line,
        applies="after two days of rain",
        last_confirmed=date(2026, 1, 1),
    )
    store.apply(added(BAY, hazard))

    assert found(store, "days rain") == [hazard.id]
    assert store.search("rain")[0].snippet.startswith("after two days of rain")


def test_a_trip_is_found_by_whom_it_names(store: Store) -> None:
    store.apply(added(BAY, replace(EVENING, contact="Warden at the quay")))

    assert found(store, "warden") == [EVENING.id]
