"""What is put into a library comes out again, and nothing else gets in."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from hypothesis import given

from fieldtrip.errors import UserError
from fieldtrip.places.records import Hazard, Leg, Location, Subject, VantagePoint
from fieldtrip.store.naming import KINDS
from fieldtrip.store.store import Change, Store, undoing
from fieldtrip.store.tables import ROW_OF
from fieldtrip.tides.secondary import HighAndLowOffsets, Offset
from fieldtrip.tides.stations import Station, StationKind
from fieldtrip.trips.records import Stop, Tick, Trip
from tests.store.stories import (
    BAR,
    BAY,
    CAR_PARK,
    COAST,
    CROSSING,
    EDGE,
    EVENING,
    HERE,
    LEDGE,
    NOON,
    NOTE,
    OUTLOOK,
    PORT,
    ROCK,
    RUN,
    SEEN,
    SPRINGS,
    STAY,
    STEP,
    TABLE,
    TILES,
    TOLD,
    TOWER,
    VIEW,
    WAY,
    added,
    any_record,
)


@pytest.fixture
def coast(store: Store) -> Store:
    store.apply(added(*COAST))
    return store


@pytest.fixture(scope="module")
def shared() -> Iterator[Store]:
    """One library for all the examples of a property; each leaves it as it was."""
    store = Store.in_memory()
    store.apply(added(*COAST))
    yield store
    store.close()


def test_every_kind_of_record_has_a_table_a_word_and_an_example() -> None:
    kinds = {type(record) for record in COAST}

    assert kinds == set(ROW_OF) == set(KINDS)


def test_every_kind_comes_back_equal(coast: Store) -> None:
    for record in COAST:
        assert coast.get(type(record), record.id) == record
        assert coast.all(type(record)) == [record]


@given(record=any_record())
def test_any_record_comes_back_equal(shared: Store, record: Any) -> None:
    assert record.faults() == []

    shared.apply(added(record))
    back = shared.get(type(record), record.id)
    shared.apply([Change(record, None)])

    assert back == record
    assert shared.get(type(record), record.id) is None


def test_a_megabyte_of_notes_is_kept(store: Store) -> None:
    diary = replace(BAY, notes="Sea like a mirror \U0001f30a\n" * 60_000)

    store.apply(added(diary))

    assert len(diary.notes) > 1_000_000
    assert store.get(Location, BAY.id) == diary


@pytest.mark.parametrize("text", ["nothing\0here", "half a symbol \ud83c"])
def test_a_text_that_is_none_is_refused(store: Store, text: str) -> None:
    with pytest.raises(UserError, match="“Bay” holds a character that is no text"):
        store.apply(added(replace(BAY, notes=text)))

    assert store.locations() == []


def test_a_count_beyond_all_counting_is_refused(store: Store) -> None:
    store.apply(added(BAY, WAY, LEDGE))

    with pytest.raises(UserError, match="number that is too large"):
        store.apply(added(replace(BAR, number=10**30)))


def test_instants_come_back_in_utc_to_the_microsecond(coast: Store) -> None:
    kathmandu = timezone(timedelta(hours=5, minutes=45))
    odd = datetime(2026, 8, 15, 23, 59, 59, 123457, tzinfo=kathmandu)
    tick = replace(TOLD, id=uuid4(), at=odd)

    coast.apply(added(tick))
    back = coast.get(Tick, tick.id)

    assert back is not None
    assert back.at == odd
    assert back.at.tzinfo is UTC
    assert back.at.isoformat() == "2026-08-15T18:14:59.123457+00:00"


def test_an_instant_without_zone_is_a_fault_of_the_program(coast: Store) -> None:
    naive = NOON.replace(tzinfo=None)

    with pytest.raises(Exception, match="says no zone"):
        coast.apply(added(replace(TOLD, id=uuid4(), at=naive)))


def test_a_record_with_faults_is_refused_with_its_first_fault(store: Store) -> None:
    nameless = replace(BAY, name=" ", zone="Nowhere")

    with pytest.raises(UserError, match="A location needs a name"):
        store.apply(added(nameless))


@pytest.mark.parametrize("value", [float("nan"), float("inf"), -1.0])
def test_a_number_that_cannot_be_is_refused(coast: Store, value: float) -> None:
    with pytest.raises(UserError, match="The camera height must be a number"):
        coast.apply([Change(ROCK, replace(ROCK, eye_height_m=value))])

    assert coast.get(VantagePoint, ROCK.id) == ROCK


def test_undoing_leaves_nothing(coast: Store) -> None:
    coast.apply(undoing(added(*COAST)))

    for kind in ROW_OF:
        assert coast.all(kind) == []


def test_redoing_brings_back_the_very_same(coast: Store) -> None:
    changes = coast.removal_of(BAY)

    coast.apply(changes)
    coast.apply(undoing(changes))

    for record in COAST:
        assert coast.all(type(record)) == [record]


def test_of_refused_changes_none_is_made(coast: Store) -> None:
    renamed = replace(BAY, name="Cove")

    with pytest.raises(UserError, match="still use"):
        coast.apply([Change(BAY, renamed), Change(renamed, None)])

    assert coast.locations() == [BAY]


def test_what_is_still_used_says_by_what(coast: Store) -> None:
    with pytest.raises(
        UserError, match=r"“Rock” .* 1 reference photograph and 1 stop and 1 search"
    ):
        coast.apply([Change(ROCK, None)])
    with pytest.raises(
        UserError, match=r"“Evening” .* 1 stop and 1 walk and 1 gate and 1 tick"
    ):
        coast.apply([Change(EVENING, None)])


def test_what_refers_to_nothing_is_refused(coast: Store) -> None:
    lost = replace(STAY, id=uuid4(), vantage_point_id=uuid4())

    with pytest.raises(UserError, match="no longer in the library"):
        coast.apply(added(lost))

    assert coast.all(Stop) == [STAY]


def test_an_edit_of_what_was_changed_meanwhile_is_refused(coast: Store) -> None:
    mine, theirs = replace(TOWER, name="Beacon"), replace(TOWER, height_m=12.0)
    coast.apply([Change(TOWER, theirs)])

    for change in (Change(TOWER, mine), Change(TOWER, None)):
        with pytest.raises(UserError, match="“Tower” was changed elsewhere"):
            coast.apply([change])

    assert coast.all(Subject) == [theirs]


def test_what_is_there_cannot_be_added_nor_what_is_gone_be_changed(
    coast: Store,
) -> None:
    gone = replace(EDGE, id=uuid4())

    for change in (Change(None, EDGE), Change(gone, None), Change(gone, gone)):
        with pytest.raises(UserError, match="“Edge” was changed elsewhere"):
            coast.apply([change])
    with pytest.raises(UserError, match="changed elsewhere"):
        coast.apply(added(gone, gone))

    assert coast.all(Hazard) == [EDGE]


def test_one_step_may_change_a_record_twice(coast: Store) -> None:
    first, second = replace(BAY, name="Cove"), replace(BAY, name="Inlet")

    coast.apply([Change(BAY, first), Change(first, second)])

    assert coast.locations() == [second]


def test_a_change_of_nothing_or_into_another_record_is_a_fault(store: Store) -> None:
    for change in (Change(None, None), Change(BAY, ROCK), Change(EDGE, WAY)):
        with pytest.raises(ValueError, match="a change of"):
            store.apply([change])


@pytest.mark.parametrize(
    ("record", "gone", "kept"),
    [
        (BAY, tuple(each for each in COAST if each not in (PORT, TILES)), ()),
        (PORT, (PORT,), ()),
        (ROCK, (VIEW, STAY, ROCK), (replace(SPRINGS, vantage_point_id=None),)),
        (
            TOWER,
            (TOWER,),
            (replace(STAY, subject_id=None), replace(SPRINGS, subject_id=None)),
        ),
        (WAY, (CROSSING, SEEN, BAR, WAY), (replace(STEP, leg_id=None),)),
        (BAR, (CROSSING, SEEN, BAR), (replace(STEP, leg_id=None),)),
        (CAR_PARK, (CAR_PARK,), ()),
        (LEDGE, (LEDGE,), (replace(BAR, refuge_id=None),)),
        (EVENING, (STAY, CROSSING, STEP, TOLD, RUN, EVENING), ()),
        (EDGE, (EDGE,), ()),
        (NOTE, (NOTE,), ()),
        (TABLE, (TABLE,), ()),
        (OUTLOOK, (OUTLOOK,), ()),
        (STAY, (STAY,), ()),
    ],
)
def test_removal_takes_what_cannot_stay_and_keeps_the_rest(
    coast: Store, record: Any, gone: tuple[Any, ...], kept: tuple[Any, ...]
) -> None:
    changes = coast.removal_of(record)
    coast.apply(changes)

    assert {c.before for c in changes if c.after is None} == set(gone)
    assert tuple(c.after for c in changes if c.after is not None) == kept
    for other in COAST:
        expected = next((k for k in kept if k.id == other.id), other)
        there = coast.get(type(other), other.id)
        assert there == (None if other in gone else expected)


def test_a_station_that_goes_is_forgotten_by_places_and_secondary_ports(
    coast: Store,
) -> None:
    later = Offset(timedelta(minutes=20))
    creek = Station(
        name="Creek",
        kind=StationKind.SECONDARY,
        datum="chart datum",
        standard_id=PORT.id,
        differences=HighAndLowOffsets(later, later),
        source="typed",
    )
    here = replace(BAY, station_id=creek.id)
    coast.apply([Change(None, creek), Change(BAY, here)])
    assert coast.dossier(BAY.id).stations == (creek, PORT)

    coast.apply(coast.removal_of(PORT))
    assert coast.dossier(BAY.id).stations == (replace(creek, standard_id=None),)

    coast.apply(coast.removal_of(replace(creek, standard_id=None)))
    assert coast.dossier(BAY.id).stations == ()
    assert coast.locations() == [BAY]


def test_a_stop_that_forgets_twice_is_one_change(coast: Store) -> None:
    other = Location(name="Other", position=HERE, zone="UTC")
    trip = Trip(location_id=other.id, name="Visit", day=date(2026, 1, 2))
    rock = VantagePoint(location_id=other.id, name="R", position=HERE)
    stay = replace(STAY, id=uuid4(), trip_id=trip.id, vantage_point_id=rock.id)
    coast.apply(added(other, rock, trip, stay))

    coast.apply(coast.removal_of(BAY))

    assert coast.all(Stop) == [replace(stay, subject_id=None)]


def test_a_dossier_lists_each_kind_in_its_order(coast: Store) -> None:
    first_way = replace(WAY, id=uuid4(), name="along the cliff")
    legs = [
        replace(BAR, id=uuid4(), number=2),
        replace(BAR, id=uuid4(), number=2, route_id=first_way.id),
        replace(BAR, id=uuid4(), number=1, route_id=first_way.id),
    ]
    arch = replace(TOWER, id=uuid4(), name="arch")
    newer_note = replace(NOTE, id=uuid4(), day=date(2026, 4, 1))
    newer_issue = replace(OUTLOOK, id=uuid4(), issued=NOON + timedelta(hours=1))
    before = replace(
        TABLE,
        id=uuid4(),
        turns=tuple(
            replace(turn, instant=turn.instant - timedelta(days=9))
            for turn in TABLE.turns
        ),
    )
    dawn = replace(EVENING, id=uuid4(), name="Dawn", day=date(2026, 8, 14))
    at_dawn = replace(STAY, id=uuid4(), trip_id=dawn.id, number=7)
    earlier_walk = replace(CROSSING, id=uuid4(), start=NOON - timedelta(hours=1))
    earlier_tick = replace(TOLD, id=uuid4(), at=NOON - timedelta(hours=1))
    newer_run = replace(RUN, id=uuid4(), at=NOON + timedelta(hours=1))
    elsewhere = Location(name="Elsewhere", position=HERE, zone="UTC")
    not_here = replace(ROCK, id=uuid4(), location_id=elsewhere.id)
    coast.apply(
        added(first_way, *legs, arch, newer_note, newer_issue, before, dawn, at_dawn,
              earlier_walk, earlier_tick, newer_run, elsewhere, not_here)
    )  # fmt: skip

    dossier = coast.dossier(BAY.id)

    assert dossier.location == BAY
    assert dossier.vantage_points == (ROCK,)
    assert dossier.subjects == (arch, TOWER)
    assert dossier.routes == (first_way, WAY)
    assert dossier.legs == (legs[2], legs[1], BAR, legs[0])
    assert dossier.refuges == (LEDGE,)
    assert dossier.hazards == (EDGE,)
    assert dossier.notes == (newer_note, NOTE)
    assert dossier.tide_tables == (before, TABLE)
    assert dossier.forecasts == (newer_issue, OUTLOOK)
    assert dossier.trips == (dawn, EVENING)
    assert dossier.stops == (at_dawn, STAY)
    assert dossier.walks == (earlier_walk, CROSSING)
    assert dossier.ticks == (earlier_tick, TOLD)
    assert dossier.check_runs == (newer_run, RUN)


def test_a_dossier_of_what_is_gone_is_refused(store: Store) -> None:
    with pytest.raises(UserError, match="no longer in the library"):
        store.dossier(BAY.id)


def test_locations_are_listed_by_name_and_trips_by_day(coast: Store) -> None:
    arm = Location(name="arm", position=HERE, zone="UTC")
    early = Trip(location_id=arm.id, name="Z", day=date(2025, 1, 1))
    coast.apply(added(arm, early))

    assert coast.locations() == [arm, BAY]
    assert coast.trips() == [early, EVENING]


def test_a_trip_is_found_by_id_or_by_its_only_name(coast: Store) -> None:
    assert coast.find_trip(str(EVENING.id)) == EVENING
    assert coast.find_trip(" evening ") == EVENING


def test_a_trip_that_is_not_there_or_not_the_only_one_says_which_are(
    coast: Store,
) -> None:
    with pytest.raises(UserError, match="There is “Evening”"):
        coast.find_trip("Dawn")

    twin = replace(EVENING, id=uuid4(), day=date(2026, 8, 16))
    coast.apply(added(twin))

    with pytest.raises(UserError, match=f"2026-08-16 is {twin.id}"):
        coast.find_trip("Evening")


def test_an_empty_library_says_that_it_has_no_trips(store: Store) -> None:
    with pytest.raises(UserError, match="no trips"):
        store.find_trip("Evening")


def test_drafts_are_kept_apart_from_records(tmp_path: Path) -> None:
    path = tmp_path / "coast.fieldtrip"
    store = Store.open(path)
    store.apply(added(BAY))
    store.keep_draft(BAY.id, "notes", "The sti")
    store.keep_draft(BAY.id, "notes", "The stile is \U0001f6a7 bro")
    store.keep_draft(BAY.id, "name", "half \ud83c")
    store.close()

    store = Store.open(path)

    assert store.drafts() == {
        (BAY.id, "notes"): "The stile is \U0001f6a7 bro",
        (BAY.id, "name"): "half ?",
    }
    assert store.locations() == [BAY]
    store.drop_draft(BAY.id, "notes")
    store.drop_draft(BAY.id, "zone")
    assert set(store.drafts()) == {(BAY.id, "name")}
    store.close()


def test_a_value_that_no_program_of_ours_wrote_is_told_in_words(coast: Store) -> None:
    for column, value in [("line", "[[91, 0]]"), ("line", "{"), ("ground", "lava")]:
        with coast._engine.begin() as connection:
            connection.exec_driver_sql(f"UPDATE leg SET {column} = ?", (value,))

        with pytest.raises(UserError, match="cannot be read"):
            coast.all(Leg)
