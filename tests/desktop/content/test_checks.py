"""Tests for what the checks page says."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

from fieldtrip.desktop.content.checks import (
    ChecksContent,
    Deed,
    FindingRow,
    checks_content,
    tick_for,
)
from fieldtrip.geo import Position
from fieldtrip.phrasing import CAUTIONS
from fieldtrip.places.records import AccessRoute, Ground, Leg, Location, VantagePoint
from fieldtrip.safety.finding import Severity
from fieldtrip.settings import Settings
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import CheckRun, RecordedFinding, Stop, Trip, Walk

HERE = Position(49.6, -8.4)
PLACE = Location(name="Keel", position=HERE, zone="Europe/Dublin")
HEAD = VantagePoint(location_id=PLACE.id, name="Gully head", position=HERE)
ROUTE = AccessRoute(location_id=PLACE.id, name="Gully path")
LEG = Leg(
    route_id=ROUTE.id,
    number=1,
    name="up",
    line=(HERE, Position(49.61, -8.4)),
    distance_m=1200.0,
    ascent_m=100.0,
    descent_m=0.0,
    ground=Ground.PATH,
    is_exposed=True,
    daylight_only=True,
    walked_in_daylight=False,
    is_tidal=False,
)
DAY = date(2026, 11, 14)
MIDNIGHT = datetime(2026, 11, 14, 0, tzinfo=UTC)
NOW = datetime(2026, 11, 14, 11, 5, tzinfo=UTC)
TRIP = Trip(
    location_id=PLACE.id,
    name="Evening",
    day=DAY,
    party=2,
    contact="A. Person, by telephone",
    emergency="999 or 112; coverage at the car park",
    alarm_with="The coastguard",
    latest_return=MIDNIGHT + timedelta(hours=20),
    raise_alarm=MIDNIGHT + timedelta(hours=21),
)
STOP = Stop(
    trip_id=TRIP.id,
    number=1,
    vantage_point_id=HEAD.id,
    arrive=MIDNIGHT + timedelta(hours=18),
    leave=MIDNIGHT + timedelta(hours=19),
)
# After dark in November, on an exposed leg never walked by day: a stop.
WALK = Walk(
    trip_id=TRIP.id,
    leg_id=LEG.id,
    start=MIDNIGHT + timedelta(hours=19),
    finish=MIDNIGHT + timedelta(hours=19, minutes=40),
)
DOSSIER = Dossier(
    location=PLACE,
    vantage_points=(HEAD,),
    routes=(ROUTE,),
    legs=(LEG,),
    trips=(TRIP,),
    stops=(STOP,),
    walks=(WALK,),
)


def content_of(dossier: Dossier, now: datetime = NOW) -> ChecksContent:
    return checks_content(dossier, TRIP, now, Settings())


def row_of(content: ChecksContent, start: str) -> FindingRow:
    return next(row for row in content.rows if row.title.startswith(start))


def test_the_worst_comes_first_and_rules() -> None:
    content = content_of(DOSSIER)

    ranks = [row.severity.rank for row in content.rows]
    assert ranks == sorted(ranks)
    assert content.overall is Severity.STOP
    assert content.rows[0].severity is Severity.STOP
    assert content.overall_words.startswith("Stop")
    assert content.overall_note.startswith("2 stops, ")
    assert content.overall_note.endswith("the worst one decides")
    assert content.checked == "Checked Sat 14 Nov 11:05, times in GMT"


def test_a_finding_says_its_numbers_its_source_and_its_span() -> None:
    row = row_of(content_of(DOSSIER), "Daylight")

    assert row.severity_word == "Stop"
    assert row.found
    assert row.advice
    assert row.source.startswith("Threshold: ")
    assert row.span == "for 19:00 to 19:40"


def test_the_cautions_are_always_there() -> None:
    content = content_of(DOSSIER)

    assert content.cautions == tuple(CAUTIONS)
    assert content.cautions
    assert all(caution in content.text for caution in content.cautions)


def test_what_only_a_person_knows_is_ticked_and_can_be_taken_back() -> None:
    before = row_of(content_of(DOSSIER), "Someone told")
    assert (before.severity, before.deed) == (Severity.UNKNOWN, Deed.CONFIRM)

    tick = tick_for(TRIP.id, before, NOW, " Ann ")
    after = row_of(content_of(replace(DOSSIER, ticks=(tick,))), "Someone told")

    assert after.severity is Severity.CLEAR
    assert after.found == "Confirmed by Ann at 11:05."
    assert (after.deed, after.tick) == (Deed.NOTHING, tick)


def test_a_stop_cannot_be_ticked_away() -> None:
    before = row_of(content_of(DOSSIER), "Daylight")
    assert before.deed is Deed.OVERRULE

    bare = tick_for(TRIP.id, before, NOW, "Ann")
    content = content_of(replace(DOSSIER, ticks=(bare,)))

    assert content.overall is Severity.STOP
    assert row_of(content, "Daylight").deed is Deed.OVERRULE


def test_a_stop_gone_against_stays_a_stop_with_its_reason_beside_it() -> None:
    before = row_of(content_of(DOSSIER), "Daylight")
    tick = tick_for(TRIP.id, before, NOW, "Ann", "the path is roped")

    content = content_of(replace(DOSSIER, ticks=(tick,)))
    row = row_of(content, "Daylight")

    assert content.overall is Severity.STOP
    assert row.severity is Severity.STOP
    assert "the path is roped" in row.found
    assert row.written == "Written 11:05 by Ann"
    assert (row.deed, row.tick) == (Deed.NOTHING, tick)
    assert "the path is roped" in content.text


def test_what_changed_since_the_last_kept_run_is_marked() -> None:
    kept = content_of(DOSSIER, NOW - timedelta(days=2)).run
    by_day = replace(
        WALK,
        start=MIDNIGHT + timedelta(hours=13),
        finish=MIDNIGHT + timedelta(hours=14),
    )

    content = content_of(replace(DOSSIER, walks=(by_day,), check_runs=(kept,)))

    changed = row_of(content, "Daylight")
    assert changed.severity is not Severity.STOP
    assert changed.change == "was stop at Thu 12 Nov 11:05"
    same = row_of(content, "Someone told")
    assert same.change == ""


def test_what_is_new_and_what_is_gone_is_said() -> None:
    kept = CheckRun(
        trip_id=TRIP.id,
        at=NOW - timedelta(hours=1),
        overall="caution",
        findings=(RecordedFinding("old_rule", "Old bridge", "caution", "It sways."),),
    )

    content = content_of(replace(DOSSIER, check_runs=(kept,)))

    assert all(row.change == "new since 10:05" for row in content.rows)
    assert content.gone == "No longer found since 10:05: Old bridge (caution)."
    assert content.runs[0].title == "Sat 14 Nov 10:05: caution (1 caution)"
    assert "It sways." in content.runs[0].details


def test_a_run_is_kept_as_it_is_shown() -> None:
    content = content_of(DOSSIER)

    assert content.run.at == NOW
    assert content.run.overall == "stop"
    assert [finding.severity for finding in content.run.findings] == [
        str(row.severity) for row in content.rows
    ]
    assert [finding.text for finding in content.run.findings] == [
        row.found for row in content.rows
    ]


def test_every_row_has_an_identity_of_its_own() -> None:
    again = Walk(
        trip_id=TRIP.id,
        leg_id=LEG.id,
        start=WALK.finish,
        finish=WALK.finish + timedelta(minutes=40),
    )

    content = content_of(replace(DOSSIER, walks=(WALK, again)))

    ids = [row.id for row in content.rows]
    assert len(set(ids)) == len(ids)


def test_the_copied_text_has_every_finding_with_its_word() -> None:
    content = content_of(DOSSIER)

    assert content.text.startswith("Evening, Saturday 14 November 2026\nStop")
    for row in content.rows:
        assert f"{row.title} ({row.severity_word})" in content.text
        assert row.found in content.text


def test_both_zones_are_named_where_the_clock_has_changed_in_between() -> None:
    summer = datetime(2026, 10, 20, 9, tzinfo=UTC)

    content = content_of(DOSSIER, summer)

    # Irish clocks go back on the last Sunday in October.
    assert content.checked == "Checked Tue 20 Oct 10:00 IST (UTC+1); times in GMT"


def test_two_walks_over_one_leg_are_told_apart() -> None:
    back = replace(
        WALK,
        id=STOP.id,
        start=MIDNIGHT + timedelta(hours=20),
        finish=MIDNIGHT + timedelta(hours=20, minutes=40),
    )

    content = content_of(replace(DOSSIER, walks=(WALK, back)))

    titles = [row.title for row in content.rows]
    assert "Daylight on the way: up, 19:00" in titles
    assert "Daylight on the way: up, 20:00" in titles
