"""Tests for a trip in a calendar, read back by another reader."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

import icalendar
import pytest

from fieldtrip.errors import UserError
from fieldtrip.exchange.trip_calendar import trip_calendar
from fieldtrip.settings import Settings
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import Gate, GateKind, Trip
from tests.reports.story import NOW, bare, hostile, ordinary, ten_stops, utc


def events(dossier: Dossier, trip: Trip) -> list[Any]:
    data = trip_calendar(dossier, trip, Settings(), NOW)
    return list(icalendar.Calendar.from_ical(data).walk("VEVENT"))


def called(found: list[Any], beginning: str) -> Any:
    (event,) = [e for e in found if str(e["summary"]).startswith(beginning)]
    return event


def rings(event: Any) -> list[timedelta]:
    return [alarm.decoded("trigger") for alarm in event.walk("VALARM")]


def test_every_time_is_in_utc() -> None:
    for event in events(*ordinary()):
        start: datetime = event.decoded("dtstart")

        assert start.tzinfo is not None
        assert start.utcoffset() == timedelta()


def test_it_rings_before_leaving_turning_back_and_the_return() -> None:
    dossier, trip = ordinary()
    planned = replace(trip, drive_out_min=40.0, kit_up_min=20.0)

    found = events(dossier, planned)

    leave = called(found, "Leave home")
    assert leave.decoded("dtstart") == utc(11, 45)
    assert rings(leave) == [timedelta(minutes=-30), timedelta()]
    back = called(found, "Leave Bar end at the latest")
    assert back.decoded("dtstart") < dossier.stops_of(trip)[1].leave
    assert rings(back) == [timedelta(minutes=-15), timedelta()]
    home = called(found, "Latest return")
    assert home.decoded("dtstart") == trip.latest_return
    assert rings(home) == [timedelta(minutes=-30), timedelta()]


def test_a_gate_rings_with_what_must_be_seen_and_what_else_to_do() -> None:
    dossier, trip = ordinary()
    gate = Gate(
        trip_id=trip.id, number=1, name="The step", kind=GateKind.STOP,
        vantage_point_id=dossier.stops_of(trip)[0].vantage_point_id,
        must_see="no swell", fallback="stay at the slip", decide_by=utc(13, 20),
    )  # fmt: skip

    event = called(events(replace(dossier, gates=(gate,)), trip), "Decide: The step")

    assert event.decoded("dtstart") == utc(13, 20)
    assert (
        str(event["description"]) == "Go on only if: no swell\nElse: stay at the slip"
    )
    assert timedelta(minutes=-15) in rings(event)


def test_a_later_edition_replaces_the_earlier_one() -> None:
    dossier, trip = ordinary()
    moved = replace(trip, latest_return=utc(19, 30), raise_alarm=utc(21))

    before = {str(e["uid"]) for e in events(dossier, trip)}
    after = {str(e["uid"]) for e in events(dossier, moved)}

    assert before == after
    assert len(before) == len(events(dossier, trip))


def test_where_the_drive_is_not_known_it_rings_for_the_start() -> None:
    found = events(*ordinary())

    assert called(found, "Start of the trip").decoded("dtstart") == utc(12, 45)


def test_stops_have_their_times_and_positions() -> None:
    dossier, trip = ten_stops()

    stops = [e for e in events(dossier, trip) if "Rock number" in str(e["summary"])]

    stays = [e for e in stops if e.get("geo") is not None]
    assert len(stays) == 10
    assert stays[0].decoded("dtend") - stays[0].decoded("dtstart") == timedelta(
        minutes=35
    )


def test_a_trip_without_times_says_that_there_is_nothing_to_write() -> None:
    with pytest.raises(UserError, match="has no times yet"):
        trip_calendar(*bare(), Settings(), NOW)


def test_whatever_was_typed_is_text() -> None:
    found = events(*hostile("BEGIN:VEVENT\r\nSUMMARY:x;y,z\\n"))

    assert len(found) == len(events(*ordinary())) + 1  # with its gate
    assert any("BEGIN:VEVENT" in str(e["summary"]) for e in found)
