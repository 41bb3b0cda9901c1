"""What the Plan page says.

The plan itself is tried in tests/planning and tests/trips; here what is told of it.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from fieldtrip.desktop.content.accepted_tides import acceptance, accepted_reasons
from fieldtrip.desktop.content.plan_page import (
    NO_START,
    NO_TRIP,
    PlanContent,
    empty_page,
    plan_content,
)
from fieldtrip.desktop.content.plan_rows import RowKind
from fieldtrip.errors import UserError
from fieldtrip.places.records import Shore, StartKind, StartPlace
from fieldtrip.planning.edits import with_plan
from fieldtrip.safety.checklist import check
from fieldtrip.safety.finding import Rule, Severity
from fieldtrip.settings import Settings
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.plan import facts_of
from fieldtrip.trips.records import Gate, GateKind, SeaState, Tick, Trip
from tests.desktop.plan_story import (
    BEYOND,
    COAST,
    FAR,
    LANE,
    NOW,
    ON_LAND,
    OVER,
    TRIP,
    UP,
    with_stops,
    with_trip,
)
from tests.desktop.strip_story import BAR_END, KEEL, at

SETTINGS = Settings()


def content(
    dossier: Dossier = COAST, trip: Trip = TRIP, *, keeps_order: bool = False
) -> PlanContent:
    return plan_content(dossier, trip, NOW, SETTINGS, keeps_order=keeps_order)


def test_the_critical_limit_comes_first_and_then_the_day_step_by_step() -> None:
    shown = content()

    assert shown.heading.startswith("Leave Gully head by ")
    assert shown.heading.endswith(" in hand.")
    assert [row.kind for row in shown.rows] == [
        RowKind.START,
        RowKind.WALK,
        RowKind.STOP,
        RowKind.WALK,
        RowKind.WALK,
        RowKind.STOP,
        RowKind.WALK,
        RowKind.WALK,
        RowKind.WALK,
        RowKind.FINISH,
    ]
    assert [row.at for row in shown.rows] == sorted(row.at for row in shown.rows)
    assert shown.rows[0].what == "Set out from Field"
    assert shown.rows[2].what == "Gully head"
    assert "needs no certain light" in shown.rows[2].more[0]
    assert shown.rows[5].more[0].startswith("45 min of its light, as wished: ")
    assert "in hand" in shown.rows[5].more[1]
    assert "start by " in shown.rows[4].more[1]
    assert shown.rows[-1].more[0].startswith("latest return 19:00, ")
    assert shown.zone_words == "Times are those of Europe/Dublin, GMT."


def test_a_stop_says_by_when_to_go_straight_back_where_that_is_not_when_to_leave() -> (
    None
):
    (gully, bar_end) = (row for row in content().rows if row.kind is RowKind.STOP)

    assert any(text.startswith("straight back by ") for text in gully.more)
    assert not any(text.startswith("straight back") for text in bar_end.more)


def test_what_stands_in_the_library_is_told_where_it_differs() -> None:
    shown = content()
    plan = shown.plan
    assert plan is not None
    written = with_plan(COAST, TRIP, plan)

    again = content(written)

    assert not shown.is_written
    assert shown.standing[0] == "Gully head is planned 13:00 to 14:00."
    assert shown.standing[-1].startswith("Its checks say now: ")
    assert again.is_written
    assert again.standing == ()


def test_other_plans_say_what_they_cost() -> None:
    told = [row.words for row in content().alternatives]

    assert any(
        text.startswith("Without Gully head: out ") and "less of that light" in text
        for text in told
    )
    assert any(text.startswith("In another order: Bar end, then ") for text in told)


def test_a_kept_order_is_kept() -> None:
    turned = with_stops(replace(BEYOND, number=1), replace(ON_LAND, number=2))

    free, kept = content(turned), content(turned, keeps_order=True)

    assert [s.name for s in free.plan.stops] == ["Gully head", "Bar end"]  # type: ignore[union-attr]
    assert [s.name for s in kept.plan.stops] == ["Bar end", "Gully head"]  # type: ignore[union-attr]


def test_a_gate_stands_where_the_plan_comes_to_it() -> None:
    gate = Gate(
        trip_id=TRIP.id,
        number=1,
        name="Edge of the bar",
        kind=GateKind.LEG,
        leg_id=OVER.id,
    )

    rows = content(replace(COAST, gates=(gate,))).rows

    place = next(i for i, row in enumerate(rows) if row.kind is RowKind.GATE)
    assert rows[place].more[0].startswith("decide by ")
    assert rows[place + 1].what == "Walk Shingle bar"


def test_what_cannot_all_be_kept_comes_with_what_would_help() -> None:
    shown = content(*with_trip(latest_return=at(17)))

    assert shown.severity is Severity.STOP
    assert shown.plan is None
    assert "Bar end with its least light." in shown.obstacles
    assert "The latest return." in shown.obstacles
    words = [row.words for row in shown.relaxations]
    assert "Leave out Bar end." in words
    assert any(text.startswith("Come back ") for text in words)


def test_an_unknown_tide_is_planned_across_only_when_accepted_in_writing() -> None:
    coast = replace(COAST, tide_tables=())
    shown = content(coast)
    tick = acceptance(coast, TRIP, OVER.id, NOW, "Ann", "I waded it last week")

    accepted = content(replace(coast, ticks=(tick,)))

    assert "Shingle bar: nothing is known of its tide" in shown.obstacles[-1]
    assert [row.tick for row in shown.crossings] == [None]
    assert accepted.plan is not None
    assert any("accepted that in writing" in text for text in accepted.cautions)
    (row,) = accepted.crossings
    assert row.tick == tick
    assert "“I waded it last week”" in row.words


@pytest.mark.parametrize(("sea", "is_said"), [(None, True), (SeaState.HEAVY, False)])
def test_a_leg_shut_because_nobody_said_the_sea_says_so(
    sea: SeaState | None, is_said: bool
) -> None:
    coast, trip = with_trip(sea=sea)
    shingle = replace(OVER, shore=Shore.STONES)
    coast = replace(coast, legs=(UP, shingle, LANE))

    shown = content(coast, trip)

    assert any("Shingle bar: shut by the tide" in text for text in shown.obstacles)
    said = "Shingle bar: nobody said how the sea will be"
    assert any(said in text for text in shown.cautions) is is_said


def test_without_a_latest_return_a_conflict_says_how_long_a_plan_may_go_on() -> None:
    coast, trip = with_trip(latest_return=None, sea=SeaState.HEAVY)
    coast = replace(coast, legs=(UP, replace(OVER, shore=Shore.STONES), LANE))

    shown = content(coast, trip)

    assert shown.obstacles
    assert any("when to be back at the latest" in text for text in shown.cautions)


def test_the_reason_stands_beside_the_check_that_it_goes_against() -> None:
    coast = replace(COAST, tide_tables=())
    tick = acceptance(coast, TRIP, OVER.id, NOW, "Ann", "I waded it last week")
    coast = replace(coast, ticks=(tick,))
    plan = content(coast).plan
    assert plan is not None

    checked = check(facts_of(with_plan(coast, TRIP, plan), TRIP, NOW))

    (back,) = [f for f in checked.findings if f.rule is Rule.TIDE_WAY_BACK]
    assert back.severity is Severity.UNKNOWN
    assert "I waded it last week" in back.override


def test_what_was_written_against_a_known_tide_accepts_no_unknown_one() -> None:
    tick = Tick(
        trip_id=TRIP.id,
        item=f"{Rule.TIDE_WAY_BACK}:{OVER.id}",
        at=NOW,
        by="Ann",
        reason="the sea was lower last time",
    )

    coast = replace(COAST, ticks=(tick,))

    assert accepted_reasons(coast, TRIP) == {}


@pytest.mark.parametrize(("person", "reason"), [("", "a reason"), ("Ann", "  ")])
def test_an_acceptance_needs_a_name_and_a_reason(person: str, reason: str) -> None:
    with pytest.raises(UserError):
        acceptance(COAST, TRIP, OVER.id, NOW, person, reason)


def test_a_spot_off_every_leg_is_reached_where_no_route_is_known() -> None:
    there = replace(ON_LAND, vantage_point_id=FAR.id)

    shown = content(with_stops(there))

    lines = [row for row in shown.rows if row.kind is RowKind.NO_ROUTE]
    assert len(lines) == 2
    assert lines[0].what == "No route known: straight, Far stack"
    assert any("no route is known" in text for text in shown.cautions)


def test_a_page_with_nothing_on_it_says_what_to_do_next() -> None:
    gone = with_stops()

    assert empty_page(None, None) == PlanContent(message=NO_TRIP)
    assert "Add stops…" in content(gone).message
    no_start, trip = with_trip(start_place_id=None)
    assert content(no_start, trip).cautions[0] == NO_START


def test_a_start_place_that_is_gone_counts_as_none_said() -> None:
    elsewhere = StartPlace(
        location_id=KEEL.id,
        name="Old quay",
        kind=StartKind.CAR_PARK,
        position=KEEL.position,
    )
    coast, trip = with_trip(start_place_id=elsewhere.id)

    shown = content(coast, trip)

    assert shown.cautions[0] == NO_START
    assert shown.rows[0].what == "The first stop begins the trip"


def test_a_vantage_point_that_is_gone_is_one_sentence() -> None:
    shown = content(replace(COAST, vantage_points=(BAR_END,)))

    assert shown.message == (
        "The vantage point of stop 1 is gone. Choose another one for it, or remove "
        "the stop."
    )
    assert shown.rows == ()


def test_a_trip_over_midnight_dates_its_times() -> None:
    night = replace(ON_LAND, arrive=at(23, 50), leave=at(0, 50, day=15), is_pinned=True)
    coast, trip = with_trip(
        latest_return=at(3, day=15), earliest_start=at(22), start_place_id=None
    )
    coast = replace(coast, stops=(night,))

    shown = content(coast, trip)

    stop = next(row for row in shown.rows if row.kind is RowKind.STOP)
    assert stop.when == "23:50 to 00:50 on Sun 15 Nov"
    assert "times pinned" in stop.more


def test_a_stay_after_midnight_says_its_date_once() -> None:
    night = replace(
        ON_LAND, arrive=at(0, 10, day=15), leave=at(0, 50, day=15), is_pinned=True
    )
    coast, trip = with_trip(
        latest_return=at(3, day=15), earliest_start=at(22), start_place_id=None
    )

    shown = content(replace(coast, stops=(night,)), trip)

    stop = next(row for row in shown.rows if row.kind is RowKind.STOP)
    assert stop.when == "00:10 to 00:50 on Sun 15 Nov"


def test_a_plan_over_a_clock_change_names_both_clocks() -> None:
    # Source: IANA time zone database: Irish clocks go back at 02:00 on 25 October 2026.
    first = at(12) - timedelta(days=20)
    night = replace(
        ON_LAND,
        arrive=first.replace(day=25, hour=0, minute=30),
        leave=first.replace(day=25, hour=2, minute=0),
        is_pinned=True,
    )
    trip = replace(
        TRIP,
        day=date(2026, 10, 25),
        earliest_start=None,
        start_place_id=None,
        latest_return=night.leave + timedelta(hours=3),
    )
    coast = replace(COAST, trips=(trip,), stops=(night,))

    shown = content(coast, trip)

    assert shown.plan is not None
    assert shown.zone_words == (
        "Times are those of Europe/Dublin, IST (UTC+1) and GMT."
    )
