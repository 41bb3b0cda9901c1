"""The checks on a station's tide: the same verdicts, and what a station adds."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from uuid import uuid4

import pytest

from fieldtrip.geo import destination
from fieldtrip.places.records import CrossingObservation, Shore
from fieldtrip.safety.checklist import check
from fieldtrip.safety.crossings import crossings_of, level_of
from fieldtrip.safety.finding import Finding, Note, Reason, Rule, Severity
from fieldtrip.safety.limits import Limits
from fieldtrip.tides.secondary import HighAndLowOffsets, Offset
from fieldtrip.tides.stations import Station, StationKind
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.plan import facts_of
from fieldtrip.trips.records import SeaState
from tests.safety.station_story import (
    GOLDEN,
    dossier_with,
    facts_with,
    found_with,
)
from tests.safety.story import CLEAR, LEG, LOCATION, Story, at, tick


@pytest.mark.parametrize("rule", Rule)
@pytest.mark.parametrize("hour", [14, 17, 19])
def test_constants_and_the_printed_table_give_the_same_verdicts(
    rule: Rule, hour: int
) -> None:
    story = CLEAR.walked_at(hour, 30)

    by_table = story.found(rule)
    by_station = found_with(story, rule, GOLDEN)

    assert by_station.severity is by_table.severity
    assert by_station.reason is by_table.reason


def test_the_bare_window_is_the_official_curve_s() -> None:
    # Source: NOAA CO-OPS, station 9414290: below 0.60 m above MLLW on 2026-08-15 from
    # 12:18:50 to 17:21:51 UTC.  Daily nodes differ from NOAA's by a minute or two.
    facts = facts_with(CLEAR, GOLDEN)
    walk = facts.walks[0]

    (tide,), missing = crossings_of(walk, LEG, facts, Limits())

    (window,) = [w for w in tide.bare if w.start <= walk.span.start <= w.stop]
    near = timedelta(minutes=2)
    assert missing is None
    assert abs(window.start - datetime(2026, 8, 15, 12, 18, 50, tzinfo=UTC)) < near
    assert abs(window.stop - datetime(2026, 8, 15, 17, 21, 51, tzinfo=UTC)) < near
    # Source: the project's table of margins: 5 cm for constants, 30 cm open coast.
    assert tide.prediction_margin_m == pytest.approx(0.05)
    assert tide.weather_margin_m == pytest.approx(0.30)


def test_the_finding_names_station_kind_and_distance() -> None:
    finding = found_with(CLEAR.walked_at(14, 30), Rule.TIDE_CROSSING, GOLDEN)

    # By hand: 0.0063 degrees of latitude are 0.7 km, 0.0341 of longitude 3.0 km.
    assert finding.number("station_distance") == pytest.approx(3_080, abs=20)
    assert finding.basis == "San Francisco, MLLW (NOAA CO-OPS, harmonic constants)"
    assert Note.STATION in finding.notes


def test_a_station_beyond_25_km_is_a_caution() -> None:
    # Source: common practice, no source.  The datum is one that the country is levelled
    # to, since MLLW of so far a port is another level (a mere caution hid that).
    story = CLEAR.walked_at(14, 30).with_leg(shut_datum="NAVD 88")
    near, far, farther = (levelled_at(m) for m in (24_990.0, 25_010.0, 100_010.0))

    assert found_with(story, Rule.TIDE_CROSSING, near).severity is Severity.CLEAR
    finding = found_with(story, Rule.TIDE_CROSSING, far)
    assert finding.severity is Severity.CAUTION
    assert finding.reason is Reason.STATION_FAR
    finding = found_with(story, Rule.TIDE_CROSSING, farther)
    assert finding.severity is Severity.UNKNOWN
    assert finding.reason is Reason.STATION_TOO_FAR
    assert found_with(story, Rule.TURN_BACK, farther).severity is not Severity.CLEAR


@pytest.mark.parametrize("datum", ["MLLW", "Chart Datum", "LAT", "CD", "MSL"])
def test_a_port_s_datum_is_none_of_a_place_far_from_it(datum: str) -> None:
    # Source: common practice, no source: chart datum is set port by port.
    story = CLEAR.walked_at(14, 30).with_leg(shut_datum=datum)
    near, far = (replace(levelled_at(m), datum=datum) for m in (24_990.0, 25_010.0))

    assert found_with(story, Rule.TIDE_CROSSING, near).severity is Severity.CLEAR
    finding = found_with(story, Rule.TIDE_CROSSING, far)
    assert (finding.severity, finding.reason) == (
        Severity.UNKNOWN,
        Reason.DATUM_DIFFERS,
    )


def test_a_station_does_not_silence_the_place_s_own_table() -> None:
    # The table stands a metre higher than the station, so that it alone shuts the bar.
    story = CLEAR.walked_at(14, 30)
    (table,) = story.tables
    raised = replace(
        table,
        turns=tuple(replace(t, height_m=t.height_m + 1.0) for t in table.turns),
    )
    near = dossier_with(story, GOLDEN)
    lost = dossier_with(story, replace(GOLDEN, position=None))

    severities = [
        crossing(replace(dossier, tide_tables=tables), story).severity
        for dossier, tables in (
            (near, ()),
            (near, story.tables),
            (near, (raised,)),
            (lost, story.tables),
        )
    ]

    assert severities == [
        Severity.CLEAR,
        Severity.CLEAR,
        Severity.STOP,
        Severity.UNKNOWN,
    ]


def levelled_at(distance_m: float) -> Station:
    """The station so far north of the place, its heights above a country's datum."""
    position = destination(CLEAR.dossier().location.position, 0.0, distance_m)
    return replace(GOLDEN, position=position, datum="NAVD 88")


@pytest.mark.parametrize("beyond", [None, True])
def test_a_station_round_a_headland_or_not_said_is_a_caution(
    beyond: bool | None,
) -> None:
    finding = found_with(
        CLEAR.walked_at(14, 30), Rule.TIDE_CROSSING, GOLDEN, beyond=beyond
    )

    assert finding.severity is Severity.CAUTION
    assert finding.reason is Reason.STATION_BEYOND_HEADLAND


def test_a_station_that_lies_nobody_knows_where_is_not_known() -> None:
    story, lost = CLEAR, replace(GOLDEN, position=None)

    assert found_with(story, Rule.TIDE_CROSSING, lost).severity is Severity.UNKNOWN
    assert found_with(story, Rule.TURN_BACK, lost).severity is Severity.UNKNOWN


def test_a_far_station_never_hides_a_stop() -> None:
    # Above MLLW it would not be heard at all: another port's datum.
    story = CLEAR.walked_at(19, 0).with_leg(shut_datum="NAVD 88")

    finding = found_with(story, Rule.TIDE_CROSSING, levelled_at(200_000.0))

    assert finding.severity is Severity.STOP


def test_a_fitted_station_keeps_its_own_margin() -> None:
    fit = replace(GOLDEN, kind=StationKind.FIT, fit_margin_m=0.20)

    facts = facts_with(CLEAR, fit)
    (tide,), _ = crossings_of(facts.walks[0], LEG, facts, Limits())

    assert tide.prediction_margin_m == pytest.approx(0.25)
    assert found_with(CLEAR, Rule.TIDE_CROSSING, fit).severity is not Severity.CLEAR


def test_constants_that_tell_it_only_roughly_are_not_known() -> None:
    rough = replace(GOLDEN, kind=StationKind.FIT, fit_margin_m=0.40)
    story = CLEAR.walked_at(14, 30).with_leg(shut_above_m=1.2)

    finding = found_with(story, Rule.TIDE_CROSSING, rough)

    assert (finding.severity, finding.reason) == (
        Severity.UNKNOWN,
        Reason.ROUGH_CURVE,
    )


def test_constants_without_the_main_ones_are_not_known_and_say_which() -> None:
    # Common practice, no source: M2 alone leaves out springs, neaps and the day's
    # inequality; San Francisco's highs of a day differ by decimetres.
    alone = replace(
        GOLDEN, constants=tuple(c for c in GOLDEN.constants if c.name == "M2")
    )
    story = CLEAR.walked_at(14, 30).with_leg(shut_above_m=2.5)

    finding = found_with(story, Rule.TIDE_CROSSING, alone)

    assert (finding.severity, finding.reason) == (
        Severity.UNKNOWN,
        Reason.CURVE_LACKS,
    )
    assert "without S2, N2, K1, O1" in finding.basis


def test_a_secondary_port_without_its_standard_is_no_tide_at_all() -> None:
    creek = Station(
        name="Creek",
        kind=StationKind.SECONDARY,
        datum="MLLW",
        standard_id=GOLDEN.id,
        differences=HighAndLowOffsets(Offset(timedelta(0)), Offset(timedelta(0))),
        position=GOLDEN.position,
        exposure=GOLDEN.exposure,
        is_distorted=False,
        source="typed",
    )
    story = CLEAR.walked_at(14, 30)

    alone = found_with(story, Rule.TIDE_CROSSING, creek)
    both = found_with(story, Rule.TIDE_CROSSING, creek, GOLDEN)

    assert (alone.severity, alone.reason) == (Severity.UNKNOWN, Reason.NO_TABLE)
    assert both.severity is Severity.CLEAR
    # Half a cosine's 15 cm on top of the standard port's 5 cm.
    assert both.number("prediction_margin") == pytest.approx(0.20, abs=0.005)


def test_the_tables_are_heard_where_the_station_counts_from_another_datum() -> None:
    story = CLEAR.walked_at(14, 30)
    other = replace(GOLDEN, datum="Another")
    dossier = replace(dossier_with(story, other), tide_tables=story.tables)

    facts = facts_of(dossier, story.trip, story.now)
    (tide,), _ = crossings_of(facts.walks[0], LEG, facts, Limits())

    assert not tide.source.is_station


def seen(
    day: int, *, is_passable: bool, level_m: float, hpa: float | None = 1013.25
) -> CrossingObservation:
    """What was seen of the bar on a day of August 2026."""
    return CrossingObservation(
        id=uuid4(),
        leg_id=LEG.id,
        instant=at(12, day=day),
        is_passable=is_passable,
        level_m=level_m,
        datum="MLLW",
        pressure_hpa=hpa,
        is_confirmed=True,
    )


def crossing(dossier: Dossier, story: Story) -> Finding:
    """The worst finding about the crossing."""
    findings = check(facts_of(dossier, story.trip, story.now)).findings
    return next(f for f in findings if f.rule is Rule.TIDE_CROSSING)


def test_one_refusal_shuts_a_crossing_that_was_clear() -> None:
    story = CLEAR.walked_at(14, 30)
    dossier = story.dossier()
    refused = replace(dossier, observations=(seen(3, is_passable=False, level_m=0.02),))

    findings = [
        story.found(Rule.TIDE_CROSSING),
        crossing(refused, story),
    ]

    assert [f.severity for f in findings] == [Severity.CLEAR, Severity.STOP]
    assert findings[1].number("shut_above") == pytest.approx(0.02)


def passed_on(*days: int) -> tuple[CrossingObservation, ...]:
    """The bar passed in the early morning, noted at less than the station's tide."""
    # Follows from the station's curve itself: at 07 UTC of these days it stands near
    # its higher high water of 2 m.
    return tuple(
        replace(seen(day, is_passable=True, level_m=0.9), instant=at(7, day=day))
        for day in days
    )


def test_three_days_open_a_crossing_that_would_only_just_do() -> None:
    # Of a station, since the table knows nothing of days before the trip's, and a
    # height that no source of today can tell must not raise the level.
    story = CLEAR.walked_at(13, 5)
    dossier = dossier_with(story, GOLDEN)
    passed = replace(dossier, observations=passed_on(11, 12, 13))

    finding = crossing(passed, story)

    assert crossing(dossier, story).severity is Severity.STOP
    assert finding.severity is Severity.CLEAR
    assert Note.LEVEL_RAISED in finding.notes


def test_what_another_station_told_raises_nothing() -> None:
    # The station chosen since then stands 1.5 m lower, so the bar was passed at that
    # much less of its water; the printed table does not know those days at all.
    story = CLEAR.walked_at(13, 5)
    assert GOLDEN.z0_m is not None
    dossiers = (
        dossier_with(story, replace(GOLDEN, z0_m=GOLDEN.z0_m - 1.5)),
        story.dossier(),
    )

    for dossier in dossiers:
        facts = facts_of(
            replace(dossier, observations=passed_on(11, 12, 13)), story.trip, story.now
        )
        level = level_of(facts.walks[0], LEG, facts)
        assert level.level_m == pytest.approx(0.60)
        assert not level.is_raised


def test_a_refusal_counts_at_the_lower_of_what_was_noted_and_is_told_now() -> None:
    refused = replace(seen(14, is_passable=False, level_m=2.5), instant=at(14, day=14))
    dossier = replace(dossier_with(CLEAR, GOLDEN), observations=(refused,))

    facts = facts_of(dossier, CLEAR.trip, CLEAR.now)
    level = level_of(facts.walks[0], LEG, facts)

    # Follows from the station's curve itself: its low water of that hour.
    assert level.is_lowered
    assert level.level_m == pytest.approx(0.0, abs=0.3)


@pytest.mark.parametrize(
    ("shore", "sea", "severity", "reason"),
    [
        (Shore.SHELTERED, None, Severity.CLEAR, Reason.OPEN),
        (Shore.SAND, SeaState.CALM, Severity.CLEAR, Reason.OPEN),
        (Shore.STONES, None, Severity.UNKNOWN, Reason.SEA_NOT_SAID),
        (Shore.ROCK, SeaState.CALM, Severity.UNKNOWN, Reason.ROCK_PLATFORM),
        (Shore.SAND, SeaState.HEAVY, Severity.STOP, Reason.NO_MARGIN),
    ],
)
def test_waves_that_run_up_are_kept_clear_of(
    shore: Shore, sea: SeaState | None, severity: Severity, reason: Reason
) -> None:
    # The tide stays below 0.10 m; 0.45 m of margins and 0.30 m for a calm sea.
    story = CLEAR.walked_at(14, 38).with_leg(shore=shore, shut_above_m=0.95)

    finding = story.with_trip(sea=sea).found(Rule.TIDE_CROSSING)

    assert (finding.severity, finding.reason) == (severity, reason)


def test_what_waves_meet_there_is_asked_for() -> None:
    unsaid = CLEAR.with_leg(shore=None)

    crossing = unsaid.found(Rule.TIDE_CROSSING)
    assert (crossing.severity, crossing.reason) == (
        Severity.UNKNOWN,
        Reason.SHORE_NOT_SAID,
    )
    assert Note.SHORE_NOT_SAID in crossing.notes
    assert unsaid.found(Rule.TURN_BACK).severity is Severity.UNKNOWN
    assert Note.SHORE_NOT_SAID not in CLEAR.found(Rule.TIDE_CROSSING).notes


@pytest.mark.parametrize(
    ("level_m", "severity", "reason"),
    [
        (0.60, Severity.CLEAR, Reason.STAND_DRY),
        (0.30, Severity.STOP, Reason.STAND_NO_MARGIN),
        (-0.20, Severity.STOP, Reason.STAND_FLOODED),
        (None, Severity.UNKNOWN, Reason.STAND_LEVEL_NOT_SAID),
    ],
)
def test_a_stay_where_the_sea_comes_is_checked(
    level_m: float | None, severity: Severity, reason: Reason
) -> None:
    vantage = replace(
        CLEAR.vantage,
        flooded_above_m=level_m,
        ground_m=None,
        level_datum="MLLW",
        shore=Shore.SHELTERED,
    )

    finding = replace(CLEAR, vantage=vantage).found(Rule.TIDE_STAND)

    assert (finding.severity, finding.reason) == (severity, reason)


def test_ground_is_dry_unsaid_only_where_it_is_high() -> None:
    # Common practice, no source: 10 m.
    high, low = CLEAR.with_vantage(ground_m=10.0), CLEAR.with_vantage(ground_m=9.9)
    gone = replace(CLEAR, vantage=replace(CLEAR.vantage, id=uuid4()))

    assert high.found(Rule.TIDE_STAND).severity is Severity.DOES_NOT_APPLY
    assert low.found(Rule.TIDE_STAND).severity is Severity.UNKNOWN
    assert low.found(Rule.TIDE_STAND, Limits(low_ground_m=9.0)).severity is (
        Severity.DOES_NOT_APPLY
    )
    assert gone.found(Rule.TIDE_STAND).severity is Severity.UNKNOWN


def test_that_the_sea_never_reaches_a_spot_can_be_ticked_until_it_moves() -> None:
    story = CLEAR.with_vantage(ground_m=3.0)
    ticked = replace(story, ticks=(tick(story.found(Rule.TIDE_STAND).key),))
    moved = ticked.with_vantage(position=destination(LOCATION.position, 0.0, 40.0))
    lower = ticked.with_vantage(ground_m=2.0)

    assert ticked.found(Rule.TIDE_STAND).severity is Severity.CLEAR
    assert moved.found(Rule.TIDE_STAND).severity is Severity.UNKNOWN
    assert lower.found(Rule.TIDE_STAND).severity is Severity.UNKNOWN


def test_a_spot_that_floods_sooner_than_the_way_shuts_sets_the_time_to_leave() -> None:
    dry = CLEAR.found(Rule.TURN_BACK).instant("turn_back")
    vantage = replace(
        CLEAR.vantage,
        flooded_above_m=0.51,
        level_datum="MLLW",
        shore=Shore.SHELTERED,
    )
    story = replace(CLEAR, vantage=vantage)

    leave = story.found(Rule.TURN_BACK).instant("turn_back")
    shuts = story.found(Rule.TIDE_STAND).instant("shuts")

    assert dry is not None
    assert shuts is not None
    assert leave == shuts - timedelta(minutes=30)
    assert leave < dry


def test_a_stay_without_a_datum_is_not_known() -> None:
    vantage = replace(CLEAR.vantage, flooded_above_m=0.6)

    finding = replace(CLEAR, vantage=vantage).found(Rule.TIDE_STAND)

    assert (finding.severity, finding.reason) == (
        Severity.UNKNOWN,
        Reason.DATUM_NOT_SAID,
    )


def test_what_was_seen_after_the_last_storm_counts_alone() -> None:
    story = CLEAR.walked_at(13, 5)
    stormy = story.with_leg(last_storm=date(2026, 8, 12))
    passed = passed_on(11, 12, 13)

    found = [
        crossing(replace(dossier_with(each, GOLDEN), observations=passed), each)
        for each in (story, stormy)
    ]

    assert [f.severity for f in found] == [Severity.CLEAR, Severity.STOP]
