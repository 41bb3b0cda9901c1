"""Tests for what is said of a trip's gates and of its day from door to door."""

from __future__ import annotations

from dataclasses import replace
from typing import Any
from uuid import uuid4

from fieldtrip.almanac.day_plan import DayPlan, day_plan
from fieldtrip.almanac.gates import NO_FALLBACK, NOT_SEEN, GateWords, gates_in_words
from fieldtrip.places.records import StartKind, StartPlace
from fieldtrip.settings import Settings
from fieldtrip.trips.plan import TripFacts, facts_of
from fieldtrip.trips.records import Gate, GateKind
from tests.safety.story import CLEAR, LEG, LOCATION, TRIP, at

QUAY = StartPlace(
    location_id=LOCATION.id,
    name="The quay",
    kind=StartKind.CAR_PARK,
    position=LOCATION.position,
    is_always_open=True,
)
BAR = Gate(
    trip_id=TRIP.id,
    number=1,
    name="Edge of the bar",
    kind=GateKind.LEG,
    leg_id=LEG.id,
    must_see="swell not over the step",
    fallback="the lagoon from the south shore",
)


def facts(*gates: Gate, **trip: Any) -> TripFacts:
    said: dict[str, Any] = {"start_place_id": QUAY.id, "latest_return": at(15, 15)}
    unsaid = ("wake", "drive_out_min", "kit_up_min", "drive_back_min")
    said |= dict.fromkeys(unsaid)
    story = CLEAR.with_trip(**(said | trip))
    dossier = replace(story.dossier(), gates=gates, start_places=(QUAY,))
    return facts_of(dossier, story.trip, story.now)


def words(gate: Gate = BAR, **trip: Any) -> GateWords:
    (found,) = gates_in_words(facts(gate, **trip), Settings())
    return found


def test_a_gate_says_where_by_when_why_and_what_else() -> None:
    found = words()

    assert found.where == "before “The bar”"
    assert found.by == "Decide by 07:45"  # 14:45 UTC, in Los Angeles in summer
    assert found.why == "the latest return asks for it"
    assert found.planned == "The plan is there at 07:30."
    assert found.cautions == ()
    assert found.text == (
        "Decide by 07:45 (the latest return asks for it). The plan is there at 07:30. "
        "Go on only if: swell not over the step. "
        "Else: the lagoon from the south shore."
    )


def test_what_nobody_said_of_a_gate_is_said_and_never_blank() -> None:
    found = words(replace(BAR, must_see=" ", fallback=""))

    assert (found.must_see, found.fallback) == (NOT_SEEN, NO_FALLBACK)
    assert NOT_SEEN in found.text
    assert NO_FALLBACK in found.text


def test_a_time_typed_too_late_does_not_count_and_says_so() -> None:
    found = words(replace(BAR, decide_by=at(20)))

    assert found.by == "Decide by 07:45"
    assert found.cautions[0] == (
        "The typed time, 13:00, is later than the plan allows and does not count."
    )


def test_a_plan_that_comes_too_late_says_so_first() -> None:
    found = words(replace(BAR, decide_by=at(14)))

    assert found.by == "Decide by 07:00"
    assert found.cautions[0] == "The plan comes to it too late."


def test_seconds_are_cut_off_on_the_safe_side() -> None:
    found = words(latest_return=at(23))

    at_second = found.decision.at
    assert at_second is not None
    assert at_second.second
    assert found.by == f"Decide by {at_second.hour - 7:02d}:{at_second.minute:02d}"


def test_a_gate_before_a_leg_that_is_gone_says_so() -> None:
    found = words(replace(BAR, leg_id=uuid4()))

    assert found.where == "before a leg that is gone"
    assert found.by == "By when to decide is not known"
    assert found.cautions == ("What it stands before is not in the plan.",)


def test_gates_come_in_the_order_of_the_day() -> None:
    home = Gate(trip_id=TRIP.id, number=2, name="Home", kind=GateKind.HOME)

    found = gates_in_words(facts(BAR, home), Settings())

    assert [one.gate.name for one in found] == ["Home", "Edge of the bar"]
    assert found[0].where == "before leaving home"
    assert found[0].cautions == (
        "The drive or the time to kit up is not known, so it may have to be sooner.",
    )


def plan(**trip: Any) -> DayPlan:
    return day_plan(facts(**trip), Settings())


def test_a_day_is_told_step_by_step() -> None:
    found = plan(wake=at(12), drive_out_min=60.0, kit_up_min=10, drive_back_min=70)

    assert [(step.when, step.what, step.length) for step in found.steps] == [
        ("05:00", "Get up", ""),
        ("06:20 to 07:20", "Drive: to The quay", "1 h 00 min"),
        ("07:20 to 07:30", "Kit up", "10 min"),
        ("07:30 to 07:40", "Walk: The bar", "10 min"),
        ("07:45 to 07:55", "Stop: The step", "10 min"),
        ("08:00 to 08:10", "Walk: The bar", "10 min"),
        ("08:10", "Back at The quay", ""),
        ("08:10 to 09:20", "Drive home", "1 h 10 min"),
    ]
    assert found.awake == (
        "Awake for 4 h 20 min when home at 09:20; for 4 h 25 min after the latest "
        "return."
    )
    assert found.unsaid == ""
    assert found.places == ("Start: The quay, car park, never shuts.",)


def test_what_was_not_said_is_named() -> None:
    found = plan(drive_back_min=None)

    assert found.unsaid == (
        "Not said: when the driver got up, the drive out, the time to kit up, "
        "the drive back."
    )
    assert found.awake == "How long the driver is awake when home is not known."
    assert found.steps[0].when == "not known"
    assert found.steps[2].when == "until 07:30, its start not known"
    assert found.steps[-1].when == "08:10, its end not known"
