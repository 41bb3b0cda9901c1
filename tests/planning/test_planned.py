"""From records to a plan that the checklist does not stop."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from uuid import UUID, uuid4

import pytest

from fieldtrip.errors import Cancelled, UserError
from fieldtrip.geo import destination
from fieldtrip.planning.asking import Asked, question_of
from fieldtrip.planning.edits import changes_for, with_plan
from fieldtrip.planning.planned import (
    Planned,
    after_drag,
    compare_days,
    on_day,
    planned,
    trip_test,
)
from fieldtrip.safety.checklist import check
from fieldtrip.safety.finding import Severity
from fieldtrip.store.store import Change, Record, Store
from fieldtrip.times import Span, local_day
from fieldtrip.trips.answer import Conflict, ObstacleKind, Plan
from fieldtrip.trips.plan import facts_of
from fieldtrip.trips.question import LimitKind, PlanNote, WayKind
from fieldtrip.trips.records import GateKind, Stop, Walk
from fieldtrip.trips.wanted import AroundTurn, DayHalf, SunBand
from tests.planning.coast import OUTLOOK, PATH, coast, random_coast, stop_at
from tests.safety.story import GATE, LEG, LOCATION, NOW, TRIP, VANTAGE, at, calm

SEEDS = (*range(36), 47, 69)  # in the last two thunder comes while one would wait
EARLY = replace(TRIP, earliest_start=at(12, 30), latest_return=at(17))


@cache
def found(seed: int) -> Planned:
    return planned(*random_coast(seed))


def plan_of(answer: Planned) -> Plan:
    assert answer.plan is not None
    return answer.plan


def test_no_plan_carries_a_stop_of_the_checklist() -> None:
    plans = 0
    for seed in SEEDS:
        dossier, trip, now = random_coast(seed)
        plan = found(seed).plan
        if plan is None:
            continue
        written = with_plan(dossier, trip, plan)

        checklist = check(facts_of(written, trip, now))

        stops = [f for f in checklist.findings if f.severity is Severity.STOP]
        assert stops == [], seed
        plans += 1
    assert plans > 10


def test_some_of_the_trips_cannot_be_planned_and_say_why() -> None:
    refused = [found(seed) for seed in SEEDS if found(seed).plan is None]

    assert len(refused) > 3
    for each in refused:
        assert isinstance(each.answer, Conflict)
        assert each.answer.obstacles


def test_every_crossing_lies_within_its_window_and_reserve() -> None:
    crossed = 0
    for seed in SEEDS:
        dossier, trip, now = random_coast(seed)
        plan = found(seed).plan
        if plan is None:
            continue
        question = question_of(dossier, trip, now).question
        for walk in plan.walks:
            limits = [
                limit
                for way in question.ways
                if way.leg_id == walk.leg_id
                for limit in way.limits
                if limit.kind is LimitKind.TIDE
            ]
            for limit in limits:
                assert any(
                    span.start <= walk.start
                    and walk.finish + timedelta(minutes=30) <= span.stop
                    for span in limit.spans
                )
                crossed += 1
    assert crossed > 10


def test_the_stop_beyond_the_bar_is_reached_at_low_water() -> None:
    # NOAA's low water of San Francisco is at 14:43 UTC: tests/data/SOURCES.md.
    answer = planned(coast(trip=EARLY), EARLY, NOW)

    plan = plan_of(answer)
    assert {stop.name for stop in plan.stops} == {VANTAGE.name, OUTLOOK.name}
    crossings = [walk for walk in plan.walks if walk.leg_id == LEG.id]
    assert [walk.is_reversed for walk in crossings] == [False, True]
    for crossing in crossings:
        assert abs(crossing.start - at(14, 43)) < timedelta(hours=1)
    assert answer.checklist is not None
    assert answer.checklist.overall is not Severity.STOP


def test_what_is_written_down_is_a_plan_again_and_one_step_for_undo(
    store: Store,
) -> None:
    dossier = coast(trip=EARLY)
    plan = plan_of(planned(dossier, EARLY, NOW))

    edits = changes_for(dossier, EARLY, plan)

    after = with_plan(dossier, EARLY, plan)
    assert changes_for(after, EARLY, plan) == []
    walks = [new for _, new in edits if isinstance(new, Walk)]
    stops = [new for _, new in edits if isinstance(new, Stop)]
    assert len(walks) == 4
    assert [stop.number for stop in stops] == [1, 2]
    assert all(walk.faults() == [] for walk in walks)
    assert all(stop.faults() == [] for stop in stops)
    before: list[Record] = [
        LOCATION, *dossier.refuges, *dossier.start_places, *dossier.routes,
        *dossier.legs, *dossier.vantage_points, EARLY, *dossier.stops,
    ]  # fmt: skip
    store.apply(Change(None, record) for record in before)
    step = [Change(old, new) for old, new in edits]
    store.apply(step)
    assert len(store.dossier(LOCATION.id).walks_of(EARLY)) == 4
    store.apply(change.reversed() for change in reversed(step))
    assert store.dossier(LOCATION.id).walks_of(EARLY) == ()


def test_a_plan_that_is_written_down_is_the_plan_from_then_on() -> None:
    # Two spots without a wish of light: either order is as good as the other.
    stops = (stop_at(OUTLOOK, 1), stop_at(OUTLOOK, 2), stop_at(VANTAGE, 3))
    dossier = coast(*stops, trip=EARLY)
    plan = plan_of(planned(dossier, EARLY, NOW))

    written = with_plan(dossier, EARLY, plan)

    again = plan_of(planned(written, EARLY, NOW))
    assert changes_for(written, EARLY, again) == []


def test_a_stop_that_is_dragged_stays_and_the_rest_fits() -> None:
    dossier = coast(trip=EARLY)
    span = Span(at(13, 30), at(14, 5))

    answer = after_drag(dossier, EARLY, NOW, UUID(int=2), span)

    plan = plan_of(answer)
    dragged = next(stop for stop in plan.stops if stop.stop_id == UUID(int=2))
    assert Span(dragged.arrive, dragged.leave) == span
    assert len(plan.stops) == 2


def test_a_stop_that_is_dragged_into_the_flood_breaks_and_says_what() -> None:
    answer = after_drag(
        coast(trip=EARLY), EARLY, NOW, UUID(int=1), Span(at(16, 30), at(16, 45))
    )

    assert isinstance(answer.answer, Conflict)
    kinds = {obstacle.kind for obstacle in answer.answer.obstacles}
    assert kinds & {ObstacleKind.TIDE, ObstacleKind.RETURN}
    assert ObstacleKind.PINNED in kinds


def test_without_a_tide_table_nothing_is_planned_across_the_bar() -> None:
    dossier = coast(trip=EARLY, tide_tables=())

    answer = planned(dossier, EARLY, NOW)

    assert isinstance(answer.answer, Conflict)
    assert ObstacleKind.TIDE_UNKNOWN in {o.kind for o in answer.answer.obstacles}


def test_an_unknown_tide_is_crossed_only_when_accepted_in_writing() -> None:
    dossier = coast(trip=EARLY, tide_tables=())
    asked = Asked(accepted={LEG.id: "The warden says that it stays dry."})

    answer = planned(dossier, EARLY, NOW, asked)

    plan = plan_of(answer)
    assert PlanNote.ACCEPTED_UNKNOWN in {caution.note for caution in plan.cautions}
    assert answer.checklist is not None
    assert answer.checklist.overall is Severity.UNKNOWN


def test_a_leg_of_which_nobody_said_if_it_is_tidal_is_a_caution() -> None:
    path = replace(PATH, is_tidal=None)
    dossier = coast(stop_at(OUTLOOK, 1), trip=EARLY, legs=(LEG, path))

    plan = plan_of(planned(dossier, EARLY, NOW))

    assert PlanNote.TIDAL_NOT_SAID in {caution.note for caution in plan.cautions}


def test_a_spot_off_every_leg_is_reached_by_a_line_and_a_caution() -> None:
    far = replace(OUTLOOK, position=destination(OUTLOOK.position, 0.0, 390.0))
    dossier = coast(stop_at(far, 1), trip=EARLY, vantage_points=(far,))

    plan = plan_of(planned(dossier, EARLY, NOW))

    line = next(walk for walk in plan.walks if walk.kind is WayKind.LINE)
    # 390 m at 4 km/h on ground that nobody knows: twice 5.85 min, rounded up.
    assert line.finish - line.start == timedelta(minutes=12)
    assert PlanNote.NO_ROUTE in {caution.note for caution in plan.cautions}


def test_a_vantage_point_that_is_gone_is_said() -> None:
    dossier = coast(stop_at(replace(OUTLOOK, id=uuid4()), 1), trip=EARLY)

    with pytest.raises(UserError, match="vantage point of stop 1 is gone"):
        planned(dossier, EARLY, NOW)


def test_a_return_before_the_start_is_refused() -> None:
    trip = replace(EARLY, latest_return=at(9))

    with pytest.raises(UserError, match="must come after"):
        planned(coast(trip=trip), trip, NOW)


def test_nobody_stays_out_all_night_because_no_return_was_said() -> None:
    by_day = replace(PATH, daylight_only=True)
    evening = stop_at(VANTAGE, 1, arrive=at(14, 20), leave=at(14, 50), is_pinned=True)
    late = replace(
        TRIP, earliest_start=at(14, 10), latest_return=None, start_place_id=None
    )
    low = SunBand(low_deg=0.0, high_deg=10.0, half=DayHalf.MORNING)
    dawn = stop_at(OUTLOOK, 2, conditions=(low,))
    dossier = coast(evening, dawn, trip=late, legs=(LEG, by_day))

    end = local_day(late.day, LOCATION.zone).stop
    wished = replace(late, latest_return=end + timedelta(hours=16))

    answer = planned(dossier, late, NOW)

    assert isinstance(answer.answer, Conflict)
    plan = plan_of(planned(replace(dossier, trips=(wished,)), wished, NOW))
    assert plan.finish > end + timedelta(hours=4)


def test_a_pinned_night_goes_on_without_a_latest_return() -> None:
    end = local_day(TRIP.day, LOCATION.zone).stop
    night = stop_at(
        OUTLOOK,
        1,
        arrive=end + timedelta(hours=3),
        leave=end + timedelta(hours=6),
        is_pinned=True,
    )
    trip = replace(TRIP, earliest_start=None, latest_return=None)

    question = question_of(coast(night, trip=trip), trip, NOW).question

    assert question.span.stop == night.leave + timedelta(hours=4)


def test_the_order_of_the_stops_can_be_kept() -> None:
    stops = (stop_at(OUTLOOK, 1), stop_at(VANTAGE, 2))
    dossier = coast(*stops, trip=EARLY)

    plan = plan_of(planned(dossier, EARLY, NOW, Asked(keeps_order=True)))

    assert [stop.stop_id for stop in plan.stops] == [UUID(int=1), UUID(int=2)]


def test_gates_are_decided_by_the_plan() -> None:
    answer = planned(coast(trip=EARLY, gates=(GATE,)), EARLY, NOW)

    ((gate_id, decision),) = answer.decisions
    crossing = next(w for w in plan_of(answer).walks if w.leg_id == LEG.id)
    assert gate_id == GATE.id
    assert decision.planned == crossing.start
    assert decision.at is not None
    assert decision.at >= crossing.start


def test_days_are_compared_by_light_and_slack() -> None:
    dossier = coast(stop_at(OUTLOOK, 1), trip=EARLY)
    shares: list[float] = []

    rows = compare_days(
        dossier, EARLY, date(2026, 8, 14), date(2026, 8, 18), NOW, None, shares.append
    )

    assert [row.day.day for row in rows] == [14, 15, 16, 17, 18]
    assert shares == [0.0, 0.2, 0.4, 0.6, 0.8]
    for row in rows:
        plan = row.plan
        assert plan is not None
        assert row.worst is not None
        assert plan.start.date() == row.day
        assert row.value[1] == 30.0


def test_comparing_days_can_be_called_off() -> None:
    def stop(share: float) -> None:
        if share > 0.2:
            raise Cancelled

    with pytest.raises(Cancelled):
        compare_days(
            coast(stop_at(OUTLOOK, 1), trip=EARLY),
            EARLY, date(2026, 8, 1), date(2026, 8, 10), NOW, None, stop,
        )  # fmt: skip


def test_a_trip_keeps_its_clock_across_a_change_of_it() -> None:
    # Clocks in California go back on 1 November 2026.
    trip = replace(EARLY, latest_return=None)
    dossier = coast(stop_at(OUTLOOK, 1), trip=trip)

    rows = compare_days(dossier, trip, date(2026, 10, 31), date(2026, 11, 2), NOW)

    # 5:30 by the clock of the place: 12:30 in UTC in summer time, then 13:30.
    starts = [row.plan.start for row in rows if row.plan is not None]
    assert len(starts) == 3
    days = [date(2026, 10, 31), date(2026, 11, 2)]
    first = [
        question_of(*on_day(dossier, trip, day), NOW).question.span.start
        for day in days
    ]
    assert [(each.hour, each.minute) for each in first] == [(12, 30), (13, 30)]


def test_the_car_is_out_before_the_gate_shuts() -> None:
    for seed in SEEDS:
        dossier, trip, now = random_coast(seed)
        plan = found(seed).plan
        if plan is None:
            continue
        question = question_of(dossier, trip, now).question
        hours = question.finish_open
        if hours is not None and question.finish is not None:
            assert any(
                span.start <= plan.start and plan.finish <= span.stop
                for span in hours.spans
            )


def test_wind_moves_the_walk_over_the_edge_to_a_calm_hour() -> None:
    base = calm()
    hours = tuple(
        replace(hour, gust_m_s=30.0, wind_m_s=25.0) if hour.instant < at(15) else hour
        for hour in base.hours
    )
    trip = replace(EARLY, latest_return=at(20))
    forecast = replace(base, hours=hours)

    answer = planned(
        coast(stop_at(OUTLOOK, 1), trip=trip, forecasts=(forecast,)), trip, NOW
    )

    assert plan_of(answer).start >= at(15)


@pytest.mark.parametrize(
    ("changes", "of_whom"),
    [
        ({"kind": GateKind.LEG}, "leg"),
        ({"kind": GateKind.START, "leg_id": None}, "start"),
        ({"kind": GateKind.HOME, "leg_id": None}, "home"),
        (
            {"kind": GateKind.STOP, "leg_id": None, "vantage_point_id": VANTAGE.id},
            "stop",
        ),
    ],
)
def test_a_gate_is_reached_before_the_time_that_was_typed(
    changes: dict[str, object], of_whom: str
) -> None:
    by = at(13, 50)
    gate = replace(GATE, decide_by=by, **changes)  # type: ignore[arg-type]
    low = (AroundTurn(is_high=False, before_min=5.0, after_min=40.0),)
    dossier = coast(stop_at(VANTAGE, 1, conditions=low), trip=EARLY, gates=(gate,))
    free = plan_of(planned(replace(dossier, gates=()), EARLY, NOW))

    plan = plan_of(planned(dossier, EARLY, NOW))

    crossing = next(w for w in plan.walks if w.leg_id == LEG.id)
    ahead = timedelta(minutes=75)  # the drive out and the time to kit up
    reached = {
        "leg": crossing.start,
        "start": plan.start,
        "home": plan.start - ahead,
        "stop": plan.stops[0].arrive,
    }[of_whom]
    assert reached <= by
    if of_whom != "home":  # else it is early enough as it is
        assert free.stops[0].arrive > by


def test_a_trip_is_possible_on_days_that_have_a_plan() -> None:
    dossier = coast(stop_at(VANTAGE, 1), trip=EARLY)

    possible = trip_test(dossier, NOW)

    assert possible(TRIP.id, date(2026, 8, 15)) is True
    # No table reaches to December, so nobody knows.
    assert possible(TRIP.id, date(2026, 12, 15)) is None
    assert possible(uuid4(), date(2026, 8, 15)) is None


def test_a_trip_is_not_possible_where_its_light_does_not_come() -> None:
    night = (SunBand(low_deg=-40.0, high_deg=-35.0),)
    dossier = coast(stop_at(OUTLOOK, 1, conditions=night), trip=EARLY)

    assert trip_test(dossier, NOW)(TRIP.id, date(2026, 8, 15)) is False


def test_a_spot_that_floods_at_unknown_times_is_not_stood_on_unless_accepted() -> None:
    low = replace(OUTLOOK, flooded_above_m=1.0, level_datum="another datum")
    dossier = coast(stop_at(low, 1), trip=EARLY, vantage_points=(low,))

    refused = planned(dossier, EARLY, NOW)
    asked = Asked(accepted={low.id: "The ledge was dry at every tide I saw."})
    accepted = plan_of(planned(dossier, EARLY, NOW, asked))

    assert isinstance(refused.answer, Conflict)
    assert ObstacleKind.TIDE_UNKNOWN in {o.kind for o in refused.answer.obstacles}
    assert PlanNote.ACCEPTED_UNKNOWN in {caution.note for caution in accepted.cautions}


@pytest.mark.parametrize("seed", [47, 69])
def test_a_trip_waits_for_no_thunder(seed: int) -> None:
    dossier, trip, now = random_coast(seed)
    noon = local_day(trip.day, LOCATION.zone).stop + timedelta(hours=12)
    trip = replace(trip, latest_return=trip.latest_return or noon)
    plan = plan_of(planned(replace(dossier, trips=(trip,)), trip, now))

    assert now < plan.start
    hours = random_coast(seed)[0].forecasts[0].hours
    thundery = [h.instant for h in hours if (h.thunder_percent or 0.0) >= 30.0]
    # Until half an hour after the last thunder: US National Weather Service.
    after = timedelta(minutes=30)
    assert thundery
    for hour in thundery:
        assert not (
            hour < plan.finish and plan.start - after < hour + timedelta(hours=1)
        )
