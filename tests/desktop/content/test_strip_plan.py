"""Tests for what an empty Plan column says."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from fieldtrip.desktop.content.day_strip import Choice, strip_content
from fieldtrip.desktop.content.strip_plan import plan_column
from fieldtrip.geo import Position
from fieldtrip.places.records import Location
from fieldtrip.safety.decision_times import decision_time
from fieldtrip.safety.limits import Limits
from fieldtrip.settings import Settings
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.plan import facts_of
from fieldtrip.trips.records import Gate, GateKind, Trip
from tests.desktop.strip_story import BAR, at
from tests.desktop.strip_story import DOSSIER as COAST
from tests.desktop.strip_story import TRIP as EVENING

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


def test_gates_are_marked_at_their_decision_times_as_the_checks_have_them() -> None:
    now = at(12, day=13)
    gate = Gate(
        trip_id=EVENING.id, number=1, name="The bar", kind=GateKind.LEG, leg_id=BAR.id
    )
    nowhere = Gate(trip_id=EVENING.id, number=2, name="Lost", kind=GateKind.LEG)
    story = replace(COAST, gates=(gate, nowhere))
    times = decision_time(facts_of(story, EVENING, now), gate, Limits())

    plan = strip_content(
        story, Choice(EVENING.day, trip_id=EVENING.id), Settings(), now
    ).plan

    (mark,) = plan.gates  # of the other nothing is known
    assert mark.instant == times.at
    assert times.at is not None
    assert mark.text == f"{times.at:%H:%M} decide"
    assert mark.tip.startswith("The bar. Decide by ")
    assert mark.is_late is times.is_late
    other_day = Choice(EVENING.day + timedelta(days=1), trip_id=EVENING.id)
    assert strip_content(story, other_day, Settings(), now).plan.gates == ()


def test_a_gate_that_the_plan_comes_to_too_late_says_so() -> None:
    gate = Gate(
        trip_id=EVENING.id,
        number=1,
        name="The bar",
        kind=GateKind.LEG,
        leg_id=BAR.id,
        decide_by=at(15, 44),
    )
    story = replace(COAST, gates=(gate,))

    plan = strip_content(
        story, Choice(EVENING.day, trip_id=EVENING.id), Settings(), at(12, day=13)
    ).plan

    assert [mark.is_late for mark in plan.gates] == [True]
