"""Tests for the edits of gates, and for what the trip page says of them."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from uuid import uuid4

from fieldtrip.almanac.gates import NO_GATES
from fieldtrip.desktop.content.trip import on_another_day
from fieldtrip.desktop.content.trip_day import (
    gates_by_the_day,
    moved_gate,
    new_gate,
    standing_at,
    trip_day_content,
    trip_day_words,
    without_gate,
)
from fieldtrip.places.records import StartKind, StartPlace
from fieldtrip.settings import Settings
from fieldtrip.store.changes import Change
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import Gate, GateKind
from tests.safety.story import CLEAR, LEG, LOCATION, NOW, TRIP, VANTAGE, at

CAR = Gate(trip_id=TRIP.id, number=1, name="At the car", kind=GateKind.START)
BAR = Gate(trip_id=TRIP.id, number=2, name="The bar", kind=GateKind.LEG, leg_id=LEG.id)
STEP = Gate(
    trip_id=TRIP.id,
    number=3,
    name="On the step",
    kind=GateKind.STOP,
    vantage_point_id=VANTAGE.id,
)


def dossier(*gates: Gate) -> Dossier:
    return replace(CLEAR.dossier(), gates=gates, start_places=())


def numbers(changes: list[Change]) -> dict[str, int]:
    found = {}
    for change in changes:
        if isinstance(change.after, Gate):
            found[change.after.name] = change.after.number
    return found


def test_gates_can_stand_at_home_at_the_start_and_wherever_the_plan_goes() -> None:
    content = trip_day_content(dossier(CAR, BAR), TRIP)

    assert [words for _, words in content.stands] == [
        "before leaving home",
        "at the start",
        "before The bar",
        "at The step",
        "elsewhere",
    ]
    assert content.gates == (CAR, BAR)
    assert content.gates_hint == ""


def test_a_gate_of_a_leg_that_left_the_plan_can_still_be_shown() -> None:
    gone = replace(BAR, leg_id=uuid4())

    content = trip_day_content(dossier(gone), TRIP)

    assert dict(content.stands)[gone.stands] == "no longer in the plan"


def test_without_gates_and_starts_it_says_what_to_do() -> None:
    content = trip_day_content(dossier(), TRIP)

    assert content.gates_hint == NO_GATES
    assert "Place ▸ Add start place…" in content.places_hint
    assert content.ends == ((None, "where it started"),)


def test_places_to_start_from_are_offered_by_name() -> None:
    quay = StartPlace(
        location_id=LOCATION.id,
        name="Quay",
        kind=StartKind.LANDING,
        position=LOCATION.position,
    )

    content = trip_day_content(replace(dossier(), start_places=(quay,)), TRIP)

    assert content.places == ((None, "not said"), (quay.id, "Quay"))
    assert content.places_hint == ""


def test_new_gates_go_where_they_matter_most() -> None:
    first = new_gate(dossier(), TRIP)
    second = new_gate(dossier(first), TRIP)
    third = new_gate(dossier(first, second), TRIP)

    assert first.stands == (GateKind.START, None)
    assert second.stands == (GateKind.LEG, LEG.id)
    assert third.stands == (GateKind.OTHER, None)
    assert [gate.number for gate in (first, second, third)] == [1, 2, 3]
    assert all(not gate.faults() for gate in (first, second, third))


def test_a_gate_moved_elsewhere_names_only_what_it_stands_at() -> None:
    moved = standing_at(BAR, (GateKind.STOP, VANTAGE.id))

    assert (moved.kind, moved.leg_id, moved.vantage_point_id) == (
        GateKind.STOP,
        None,
        VANTAGE.id,
    )
    assert standing_at(moved, BAR.stands) == BAR


def test_gates_move_up_and_down_and_never_out_of_the_list() -> None:
    gates = (CAR, BAR, STEP)

    assert numbers(moved_gate(gates, BAR.id, -1)) == {"The bar": 1, "At the car": 2}
    assert moved_gate(gates, CAR.id, -1) == []
    assert moved_gate(gates, STEP.id, 1) == []
    assert moved_gate(gates, uuid4(), 1) == []


def test_removing_a_gate_closes_the_gap() -> None:
    changes = without_gate((CAR, BAR, STEP), BAR, [Change(BAR, None)])

    assert changes[0] == Change(BAR, None)
    assert numbers(changes) == {"On the step": 2}


def test_gates_can_be_put_in_the_order_of_the_day() -> None:
    odd = (replace(STEP, number=1), replace(BAR, number=2), replace(CAR, number=3))

    changes = gates_by_the_day(dossier(*odd), TRIP, NOW)

    assert numbers(changes) == {"At the car": 1, "On the step": 3}
    assert not trip_day_words(dossier(*odd), TRIP, NOW, Settings()).is_ordered
    assert trip_day_words(dossier(CAR, BAR, STEP), TRIP, NOW, Settings()).is_ordered


def test_words_come_for_every_gate() -> None:
    words = trip_day_words(dossier(CAR, BAR), TRIP, NOW, Settings())

    assert [one.gate for one in words.gates] == [CAR, BAR]
    assert words.day.steps


def test_another_day_takes_every_time_of_the_trip_along() -> None:
    trip = replace(TRIP, wake=at(12), earliest_start=at(13))
    gate = replace(BAR, decide_by=at(14))

    changes = on_another_day(dossier(gate), trip, date(2026, 8, 17))

    moved = {type(c.after).__name__: c.after for c in changes}
    trip_after, gate_after = moved["Trip"], moved["Gate"]
    assert trip_after == replace(
        trip,
        day=date(2026, 8, 17),
        latest_return=at(16, 0, 17),
        raise_alarm=at(18, 0, 17),
        wake=at(12, 0, 17),
        earliest_start=at(13, 0, 17),
    )
    assert gate_after == replace(gate, decide_by=at(14, 0, 17))


def test_a_time_keeps_what_the_clock_shows_over_a_change_of_the_clock() -> None:
    # Source: the Energy Policy Act of 2005: summer time ends on 1 November 2026.
    gate = replace(BAR, decide_by=at(14))

    changes = on_another_day(dossier(gate), TRIP, date(2026, 11, 1))

    (after,) = [c.after for c in changes if isinstance(c.after, Gate)]
    assert after.decide_by == datetime(2026, 11, 1, 14, tzinfo=UTC) + timedelta(hours=1)
