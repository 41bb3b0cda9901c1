"""Tests for what an empty Plan column says."""

from __future__ import annotations

from datetime import date, timedelta

from fieldtrip.desktop.content.strip_plan import plan_column
from fieldtrip.geo import Position
from fieldtrip.places.records import Location
from fieldtrip.settings import Settings
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import Trip

DAY = date(2026, 11, 14)
PLACE = Location(name="Keel", position=Position(49.6, -8.4), zone="Europe/Dublin")
TRIP = Trip(location_id=PLACE.id, name="Evening", day=DAY)
DOSSIER = Dossier(location=PLACE, trips=(TRIP,))


def test_a_trip_without_stops_names_the_button_that_adds_one() -> None:
    message = plan_column(DOSSIER, TRIP, DAY, Settings()).message

    assert message == (
        "“Evening” has no stops yet. Drop vantage points here from the list, or add "
        "them on its Notes page, below the map: “Add stop”."
    )


def test_a_trip_of_another_day_says_which() -> None:
    message = plan_column(DOSSIER, TRIP, DAY + timedelta(days=1), Settings()).message

    assert message == "“Evening” is planned for Sat 14 Nov."
