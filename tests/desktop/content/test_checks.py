"""Tests for what the checks page says."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from uuid import uuid4

from fieldtrip.desktop.content.checks import (
    NOT_CONCERNED,
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
from fieldtrip.safety.moments import Moment
from fieldtrip.settings import Settings
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import (
    CheckRun,
    Gate,
    GateKind,
    RecordedFinding,
    Stop,
    Tick,
    Trip,
    Walk,
)

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

    for group in content.groups:
        ranks = [row.severity.rank for row in group.rows]
        assert ranks == sorted(ranks)
        assert group.severity is group.rows[0].severity
    assert content.overall is Severity.STOP
    assert content.overall is min(
        (g.severity for g in content.groups), key=lambda severity: severity.rank
    )
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
    # Longer than typed: 29 min by the walking rule, in the dark half as long again.
    assert row.span == "for 19:00 to 19:44"


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


GATE = Gate(
    trip_id=TRIP.id,
    number=1,
    name="Foot of the gully",
    kind=GateKind.LEG,
    leg_id=LEG.id,
    must_see="dry rock",
    fallback="back to the car",
)


def test_findings_are_read_in_the_order_of_the_day_and_gates_lead() -> None:
    content = content_of(replace(DOSSIER, gates=(GATE,)))

    titles = [group.title for group in content.groups]
    order = ["Gates", "Before leaving", "At the car", "On the way", "At the spot",
             "Way back", NOT_CONCERNED]  # fmt: skip
    assert titles == [title for title in order if title in titles]
    assert titles[0] == "Gates"
    assert row_of(content, "Daylight").moment is Moment.BACK  # after the last stop
    assert [group.is_folded for group in content.groups][-1]
    assert content.rows == tuple(r for group in content.groups for r in group.rows)


def test_a_gate_says_what_must_be_seen_and_what_else_to_do() -> None:
    content = content_of(replace(DOSSIER, gates=(GATE,)))

    (row,) = content.groups[0].rows
    assert row.title.endswith("Foot of the gully")
    assert row.found.startswith("Before “up”. Decide by ")
    assert "Go on only if: dry rock." in row.found
    assert "Else: back to the car." in row.found
    assert row.record_id == LEG.id


def test_gates_stand_as_the_day_comes_to_them() -> None:
    start = replace(
        GATE, id=uuid4(), number=2, name="Car", kind=GateKind.START, leg_id=None
    )

    content = content_of(replace(DOSSIER, gates=(GATE, start)))

    names = [row.title.rpartition(": ")[2] for row in content.groups[0].rows]
    assert names == ["Car", "Foot of the gully"]


def test_a_gate_of_a_leg_that_was_removed_is_never_clear() -> None:
    gone = replace(GATE, leg_id=None)

    (row,) = content_of(replace(DOSSIER, gates=(gone,))).groups[0].rows

    assert row.severity is Severity.UNKNOWN
    assert row.record_id is None


def test_the_overall_line_names_its_worst_finding() -> None:
    content = content_of(DOSSIER)

    worst_rows = [row for row in content.rows if row.severity is Severity.STOP]
    assert content.overall_item in {row.title for row in worst_rows}


def test_what_speaks_of_a_place_can_be_shown_on_the_map_and_the_strip() -> None:
    content = content_of(DOSSIER)

    daylight = row_of(content, "Daylight")
    assert (daylight.record_id, daylight.at) == (LEG.id, WALK.start)
    assert row_of(content, "Turn-back").record_id == HEAD.id
    assert row_of(content, "Someone told").record_id is None


def test_a_tick_for_a_rule_that_is_gone_is_said_and_changes_nothing() -> None:
    odd = Tick(trip_id=TRIP.id, item="no_such_rule:1", at=NOW, by="<b>Ann</b>")

    content = content_of(replace(DOSSIER, ticks=(odd,)))

    assert content.lapsed == (
        "No longer counts. Ticked 11:05 by <b>Ann</b> (no such rule): there is no such "
        "check any more."
    )
    assert content.overall is content_of(DOSSIER).overall
    assert content.lapsed in content.text


def test_the_newest_run_that_says_the_same_is_compared_with_the_one_before() -> None:
    before = content_of(DOSSIER).run
    lights = replace(DOSSIER, trips=(replace(TRIP, lights=1),))

    def look(*runs: CheckRun) -> ChecksContent:
        return checks_content(
            replace(lights, check_runs=runs), lights.trips[0],
            NOW + timedelta(hours=1), Settings(),
        )  # fmt: skip

    first = look(before)
    again = look(first.run, before)
    kept_by_hand = look(first.run, first.run, before)

    assert row_of(first, "Lights carried").change == "was unknown at 11:05"
    assert not first.is_kept
    assert row_of(again, "Lights carried").change == "was unknown at 11:05"
    assert again.is_kept
    assert row_of(kept_by_hand, "Lights carried").change == ""


def test_a_trip_across_midnight_is_grouped_by_its_own_stays() -> None:
    late = timedelta(hours=6)
    stop = replace(STOP, arrive=STOP.arrive + late, leave=STOP.leave + late)
    walk = replace(WALK, start=WALK.start + late, finish=WALK.finish + late)

    content = content_of(replace(DOSSIER, stops=(stop,), walks=(walk,)))

    row = row_of(content, "Daylight")
    assert row.moment is Moment.BACK
    assert row.span == "for 01:00 on Sun 15 Nov to 01:44 on Sun 15 Nov"


def test_a_tick_that_was_said_anew_is_not_said_to_have_lapsed() -> None:
    told = row_of(content_of(DOSSIER), "Someone told")
    old = Tick(trip_id=TRIP.id, item="someone_told:old", at=NOW, by="Ann")
    new = Tick(trip_id=TRIP.id, item=told.key, at=NOW + timedelta(minutes=1), by="Ann")

    def lapsed(*ticks: Tick) -> str:
        return content_of(
            replace(DOSSIER, ticks=ticks), NOW + timedelta(hours=1)
        ).lapsed

    assert lapsed(old).startswith("No longer counts. Ticked 11:05 by Ann")
    assert lapsed(old, new) == ""
