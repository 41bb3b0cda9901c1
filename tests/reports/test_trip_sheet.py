"""Tests for what a trip sheet says: everything, in order, and never a blank."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from fieldtrip.almanac.spots import Skyline, spot_of
from fieldtrip.places.records import (
    Coverage,
    StartKind,
    StartPlace,
    Subject,
    VantagePoint,
)
from fieldtrip.reports.sheet import NOT_KNOWN, StepKind, TripSheet
from fieldtrip.reports.sheet_times import Teller
from fieldtrip.reports.trip_sheet import Extras
from fieldtrip.safety.checklist import check
from fieldtrip.safety.finding import Severity
from fieldtrip.settings import LengthUnit, Settings, SpeedUnit
from fieldtrip.terrain.horizon import Horizon
from fieldtrip.trips.plan import facts_of
from fieldtrip.trips.records import Gate, GateKind, Tick
from fieldtrip.trips.wanted import SunBand, WaterLevel
from tests.reports.story import (
    NOW,
    bare,
    hostile,
    ordinary,
    sheet_of,
    ten_stops,
    texts_of,
    utc,
)

HOUR = timedelta(hours=1)
MAY_BE_EMPTY = {  # these say only what there is to say besides
    "TripSheet.gates_hint", "TripSheet.findings_hint", "TripSheet.timeline_hint",
    "TripSheet.meetings_hint", "TripSheet.kit_hint", "TripSheet.trip_notes",
    "TripSheet.light_note", "FindingLine.advice", "FindingLine.override",
    "StepLine.detail", "Meeting.notes", "AgedLine.age", "Mark.sign",
}  # fmt: skip


@pytest.fixture(scope="module")
def evening() -> TripSheet:
    return sheet_of(ordinary())


def fact(facts: object, name: str) -> str:
    found = [each for each in facts if each.name == name]  # type: ignore[attr-defined]
    assert len(found) == 1, name
    text = found[0].text
    assert isinstance(text, str)
    return text


@pytest.mark.parametrize("story", [ordinary, bare, ten_stops, hostile])
def test_nothing_on_any_sheet_is_blank(story: object) -> None:
    sheet = sheet_of(story())  # type: ignore[operator]

    blank = {name for name, text in texts_of(sheet) if not text.strip()}

    assert blank <= MAY_BE_EMPTY


def test_of_a_trip_with_everything_missing_all_is_said_to_be_not_known() -> None:
    sheet = sheet_of(bare())

    assert sheet.overall is not Severity.CLEAR
    for name in ("Telephone there", "Nearest road"):
        assert fact(sheet.emergency, name) == NOT_KNOWN
    for name in ("Who knows", "Latest return", "Raises the alarm", "Car"):
        assert fact(sheet.contact, name) == NOT_KNOWN
    assert fact(sheet.emergency, "Call").startswith(NOT_KNOWN)
    assert NOT_KNOWN in sheet.forecast.age
    assert "not known" in sheet.tide.lines[0]
    assert NOT_KNOWN in sheet.kit_hint
    assert NOT_KNOWN in sheet.meetings_hint
    assert sheet.timeline_hint.startswith("No stops and no walks are planned.")
    assert sheet.gates_hint


def test_every_time_of_the_plan_stands_in_the_timeline() -> None:
    dossier, trip = ordinary()
    sheet = sheet_of((dossier, trip))

    told = " ".join(step.time for step in sheet.timeline)

    for stop in dossier.stops_of(trip):  # GMT at the place, which is UTC
        assert f"{stop.arrive:%H:%M} to {stop.leave:%H:%M}" in told
    for walk in dossier.walks_of(trip):
        assert f"{walk.start:%H:%M} to {walk.finish:%H:%M}" in told
    for limit in (trip.latest_return, trip.raise_alarm):
        assert limit is not None
        assert f"{limit:%H:%M}" in told


def test_the_timeline_runs_forward_and_marks_what_must_not_be_passed(
    evening: TripSheet,
) -> None:
    limits = [step.what for step in evening.timeline if step.kind is StepKind.LIMIT]

    assert limits == [
        "Leave Gully head at the latest",
        "Leave Bar end at the latest",
        "Latest return",
        "The contact raises the alarm",
    ]
    known = [step.time[:5] for step in evening.timeline if step.time[:2].isdigit()]
    assert known == sorted(known)


def test_what_the_plan_comes_to_too_late_is_marked(evening: TripSheet) -> None:
    late = {gate.name for gate in evening.gates if gate.is_late}

    assert late == {"Step on to Shingle bar, back", "Turn back at Bar end"}
    back = next(gate for gate in evening.gates if gate.name.endswith(", back"))
    assert "Holm shoulder" in back.fallback


def test_a_crossing_is_stepped_on_to_while_one_still_comes_back(
    evening: TripSheet,
) -> None:
    out, back = (
        gate for gate in evening.gates if gate.name.startswith("Step on to Shingle bar")
    )

    # Over the bar, the stay as short as is worth it, and the time kept in hand.
    assert out.time < back.time
    assert "what follows no longer works" in out.why
    # The refuge is on the far side: no help to who may not cross to it.
    assert out.fallback == "do not cross"


def test_a_crossing_of_unknown_tide_says_so_and_one_that_is_shut_is_at_no_time() -> (
    None
):
    dossier, trip = ordinary()
    never_bare = tuple(
        leg if leg.shut_above_m is None else replace(leg, shut_above_m=-5.0)
        for leg in dossier.legs
    )

    unknown = sheet_of((replace(dossier, tide_tables=()), trip))
    shut = sheet_of((replace(dossier, legs=never_bare), trip))

    for sheet, said in ((unknown, "by when is not known"), (shut, "at no time")):
        steps = [gate for gate in sheet.gates if gate.name.startswith("Step on")]
        assert len(steps) == 2
        assert {gate.by for gate in steps} == {said}
        assert {gate.is_late for gate in steps} == {said == "at no time"}


def test_gates_come_with_what_must_be_seen_and_a_fallback() -> None:
    dossier, trip = ordinary()
    gate = Gate(
        trip_id=trip.id,
        number=1,
        name="The step",
        kind=GateKind.STOP,
        vantage_point_id=dossier.stops_of(trip)[0].vantage_point_id,
        must_see="no swell over the step",
        fallback="stay at the slip",
    )
    unsaid = replace(gate, number=2, name="The rest", must_see="", fallback="")

    sheet = sheet_of((replace(dossier, gates=(gate, unsaid)), trip))

    first = next(line for line in sheet.gates if line.name == "The step")
    other = next(line for line in sheet.gates if line.name == "The rest")
    assert (first.must_see, first.fallback) == (
        "no swell over the step",
        "stay at the slip",
    )
    assert first.time != NOT_KNOWN
    assert other.must_see.startswith("Nobody")
    assert other.fallback.startswith("Nobody")
    assert sheet.gates_hint == ""
    assert any("Decide: The step" in step.what for step in sheet.timeline)


def test_an_overridden_stop_is_printed_with_its_reason_and_stays_a_stop() -> None:
    dossier, trip = ordinary()
    worst = check(facts_of(dossier, trip, NOW)).findings[0]
    tick = Tick(
        trip_id=trip.id, item=worst.key, at=NOW, by="A. Person", reason="A boat waits."
    )

    sheet = sheet_of((replace(dossier, ticks=(tick,)), trip))

    line = next(line for line in sheet.findings if line.override)
    assert line.severity is Severity.STOP
    assert line.override == "A boat waits. (A. Person)"
    assert sheet.overall is Severity.STOP


def test_a_stop_says_where_in_what_light_and_toward_what(evening: TripSheet) -> None:
    first = evening.stops[0]

    assert fact(first.facts, "Arrive") == "13:30"
    assert fact(first.facts, "Set up by") == "13:45"
    # The bar back is walked in the dark, which takes half as long again.
    assert fact(first.facts, "Latest leaving") == "15:47"
    assert fact(first.facts, "Wanted light") == "side light"
    # Declination 1.4° west: a compass shows more than the true bearing.
    assert fact(first.facts, "Bearing").startswith("203° true, 205° magnetic")
    position = fact(first.facts, "Position")
    assert "49° 36.359′ N, 8° 24.465′ W" in position
    assert "UTM 29U" in position
    assert "±4 m" in position
    assert "agrees within" in first.opinion
    sunset = next(line for line in first.light if line.name == "sunset")
    assert sunset.almanac == "16:36"
    assert sunset.on_the_spot == NOT_KNOWN


def skyline(record: VantagePoint | Subject, altitude_deg: float) -> Skyline:
    """A skyline of one height all round, to a tenth of a degree."""
    count = 72
    around = np.full(count, altitude_deg)
    return Skyline(
        spot_of(record),
        Horizon(
            record.position,
            10.0,
            1.6,
            azimuths_deg=np.linspace(0.0, 355.0, count),
            altitudes_deg=around,
            distances_m=np.full(count, 5000.0),
            error_deg=np.full(count, 0.1),
            is_complete=np.full(count, True),
        ),
    )


def test_the_sun_on_the_spot_is_told_where_the_skyline_is_known() -> None:
    dossier, trip = ordinary()
    first = dossier.stops_of(trip)[0]
    head = next(v for v in dossier.vantage_points if v.id == first.vantage_point_id)
    arch = next(s for s in dossier.subjects if s.id == first.subject_id)
    skylines = {head.id: skyline(head, 3.0), arch.id: skyline(arch, 30.0)}

    sheet = sheet_of((dossier, trip), extras=Extras(skylines=skylines))

    told = {line.name: line for line in sheet.stops[0].light}
    sunset = told["sunset"]
    assert sunset.on_the_spot < sunset.almanac  # behind the hill before it sets
    assert "±" in sunset.on_the_spot
    assert told["sunrise"].on_the_spot > told["sunrise"].almanac
    # On 1 December the Sun comes up to 19° there: never over 30°.
    assert not any("Arch" in name for name in told)
    assert {line.on_the_spot for line in sheet.stops[1].light} == {
        NOT_KNOWN,
        "the same",
    }


def test_the_light_on_a_subject_is_told_by_its_own_skyline() -> None:
    dossier, trip = ordinary()
    first = dossier.stops_of(trip)[0]
    arch = next(s for s in dossier.subjects if s.id == first.subject_id)

    sheet = sheet_of(
        (dossier, trip), extras=Extras(skylines={arch.id: skyline(arch, 5.0)})
    )

    told = [line for line in sheet.stops[0].light if "Arch" in line.name]
    assert [line.name for line in told] == ["first sun on Arch", "last sun on Arch"]
    assert all("±" in line.on_the_spot for line in told)


def test_the_conditions_of_a_stop_are_told_beside_its_own_words() -> None:
    dossier, trip = ordinary()
    stops = dossier.stops_of(trip)
    wanted = (SunBand(low_deg=-6.0, high_deg=-4.0), WaterLevel(below_m=1.2))
    first = replace(stops[0], conditions=wanted)

    sheet = sheet_of((replace(dossier, stops=(first, *stops[1:])), trip))

    told = fact(sheet.stops[0].facts, "Wanted light")
    assert told.startswith("side light; the Sun between −6° and −4°; ")
    assert "1.2 m" in told


def test_a_stay_too_short_to_set_up_says_so() -> None:
    dossier, trip = ordinary()
    stops = dossier.stops_of(trip)
    short = replace(stops[0], leave=stops[0].arrive + timedelta(minutes=5))

    sheet = sheet_of((replace(dossier, stops=(short, *stops[1:])), trip))

    assert "the stay is too short" in fact(sheet.stops[0].facts, "Set up by")


def test_the_tide_has_its_windows_margins_datum_and_source(evening: TripSheet) -> None:
    tide = evening.tide

    assert "above chart datum" in tide.heading
    assert [what for what, _, _ in tide.turns] == ["low water", "high water"] * 2
    bar = tide.passages[0]
    assert bar.state == "Open with all margins: 01:54 to 05:12; 14:24 to 17:56."
    assert "Taken off:" in bar.lines[0]
    assert any("Source: An invented table." in line for line in tide.lines)
    assert tide.chart is not None
    assert len(bar.spans) == 2


def test_a_trip_past_midnight_has_the_tide_of_both_days() -> None:
    dossier, trip = ordinary()
    stops = dossier.stops_of(trip)
    late = replace(stops[-1], leave=stops[-1].leave + timedelta(hours=9))

    sheet = sheet_of((replace(dossier, stops=(*stops[:-1], late)), trip))

    names = [passage.name for passage in sheet.tide.passages]
    assert names == ["Shingle bar, Tue 1 Dec", "Shingle bar, Wed 2 Dec"]
    assert sheet.stops[-1].time.endswith("on Wed 2 Dec")


def test_the_forecast_says_its_age_and_what_it_leaves_out(evening: TripSheet) -> None:
    forecast = evening.forecast

    assert "6 h 00 min old when this sheet was made" in forecast.age
    assert forecast.columns[:3] == ("time", "wind, m/s", "gusts, m/s")
    assert all(len(row) == len(forecast.columns) for row in forecast.rows)
    assert forecast.lines == ("Not known: air, pressure, thunder, sight, waves.",)


def test_hours_that_a_forecast_leaves_open_are_marked() -> None:
    dossier, trip = ordinary()
    forecast = dossier.forecasts[0]
    start = dossier.stops_of(trip)[0].arrive.replace(minute=0)
    hours = tuple(
        replace(hour, gust_m_s=None) if hour.instant == start else hour
        for hour in forecast.hours
    )

    sheet = sheet_of(
        (replace(dossier, forecasts=(replace(forecast, hours=hours),)), trip)
    )

    gusts = [row[2] for row in sheet.forecast.rows]
    assert gusts.count("?") == 1
    assert "? means not known." in sheet.forecast.lines


def test_hazards_and_notes_carry_their_age(evening: TripSheet) -> None:
    edge = next(line for line in evening.hazards if line.name == "North edge")
    terns = next(line for line in evening.notes if "Terns" in line.text)

    assert edge.is_old
    assert edge.age == "confirmed 26 May 2025"
    assert "not fenced" in edge.text
    assert terns.is_old
    assert "to be looked at again after" in terns.age


def test_car_park_and_meeting_point_have_their_addresses() -> None:
    dossier, trip = ordinary()
    park, meet = (
        StartPlace(
            location_id=dossier.location.id,
            name=name,
            kind=kind,
            position=dossier.location.position,
            is_always_open=True,
        )
        for name, kind in (
            ("Slip", StartKind.CAR_PARK),
            ("Quay", StartKind.MEETING),
        )
    )
    located = replace(
        dossier,
        location=replace(dossier.location, coverage=Coverage.PATCHY),
        start_places=(park, meet),
    )
    planned = replace(
        trip, start_place_id=park.id, meeting_place_id=meet.id, kit="Rope\n\nTwo lights"
    )

    sheet = sheet_of((located, planned))

    assert [place.name for place in sheet.meetings] == ["Slip", "Quay"]
    assert sheet.meetings[0].what == "start, end; car park, never shuts"
    # Source: RFC 5870, section 3.3: latitude, then longitude, in WGS 84.
    assert sheet.meetings[0].uri == "geo:49.600000,-8.404151"
    assert sheet.meetings_hint == ""
    assert fact(sheet.emergency, "Telephone there") == "patchy signal"
    assert sheet.kit == ("Rope", "Two lights")


def test_units_and_clock_are_those_of_the_settings() -> None:
    settings = Settings(
        length_unit=LengthUnit.FOOT, speed_unit=SpeedUnit.KNOT, clock_24h=False
    )

    sheet = sheet_of(ordinary(), settings)

    assert fact(sheet.stops[0].facts, "Arrive") == "1:30 pm"
    assert sheet.forecast.columns[1] == "wind, kn"
    assert sheet.tide.turns[0][2].endswith(" ft")
    assert sheet.map.scale_text.endswith((" ft", " mi"))


def test_a_vantage_point_that_is_gone_leaves_a_stop_that_says_so() -> None:
    dossier, trip = ordinary()

    sheet = sheet_of((replace(dossier, vantage_points=()), trip))

    assert [stop.name for stop in sheet.stops] == ["stop 1", "stop 2"]
    assert "its record is gone" in fact(sheet.stops[0].facts, "Position")


def test_in_the_polar_night_no_sunrise_is_made_up() -> None:
    dossier, trip = ten_stops()
    far = replace(
        dossier.location, position=replace(dossier.location.position, lat_deg=78.2)
    )
    spots = tuple(
        replace(v, position=replace(v.position, lat_deg=v.position.lat_deg + 28.6))
        for v in dossier.vantage_points
    )

    sheet = sheet_of((replace(dossier, location=far, vantage_points=spots), trip))

    assert all(line.name != "sunrise" for line in sheet.stops[0].light)
    assert "the Sun stays down" in sheet.stops[0].opinion


def test_a_sheet_made_before_its_forecast_says_so() -> None:
    sheet = sheet_of(ordinary(), now=utc(3))

    assert "after this sheet was made" in sheet.forecast.age


def test_what_is_planned_too_late_is_said_at_the_stop_and_on_the_way_out(
    evening: TripSheet,
) -> None:
    in_time, late = evening.stops

    assert fact(in_time.facts, "Leave") == "14:25"
    said = fact(late.facts, "Leave")
    assert said == "■ 17:30, which is later than the latest leaving"
    latest = fact(late.facts, "Latest leaving")
    assert fact(evening.way_out, "Leave Bar end by") == latest


def test_what_nobody_said_of_an_edge_is_not_known() -> None:
    dossier, trip = ordinary()
    edge = next(each for each in dossier.hazards if each.name == "North edge")
    unsaid = replace(edge, height_m=None, is_fenced=None, is_soft=None)

    sheet = sheet_of((replace(dossier, hazards=(unsaid,)), trip))

    (line,) = sheet.hazards
    for words in ("height", "whether it is fenced is", "whether it is soft is"):
        assert f"{words} {NOT_KNOWN}" in line.text


def test_a_day_that_is_not_the_trips_is_said_once_in_a_span() -> None:
    dossier, trip = ordinary()
    tell = Teller(facts_of(dossier, trip, NOW), Settings())

    assert tell.span(utc(13), utc(14)) == "13:00 to 14:00"
    assert tell.span(utc(23), utc(1, day=2)) == "23:00 to 01:00 on Wed 2 Dec"
    assert tell.span(utc(1, day=2), utc(2, day=2)) == "01:00 to 02:00 on Wed 2 Dec"
