"""When a stop must be left, by the sea and by the latest return."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

import pytest

from fieldtrip.places.records import Ground
from fieldtrip.safety.checklist import check
from fieldtrip.safety.finding import Reason, Rule, Severity
from fieldtrip.safety.limits import Limits
from tests.safety.story import CLEAR, Story, at, stop, walk


def left_at(leave: datetime) -> Story:
    """The story with a longer stop, and the walk back straight after it."""
    back = walk(leave.hour, leave.minute, back=True)
    return replace(
        CLEAR, stops=(stop(at(14, 45), leave),), walks=(CLEAR.walks[0], back)
    )


@pytest.mark.parametrize(
    ("leave", "severity", "reason"),
    [
        # The bar shuts at 15:48:54 with margins; 30 minutes of reserve and 10 to
        # cross leave 15:08:54.
        (at(14, 50), Severity.CLEAR, Reason.IN_TIME),
        (at(15, 8), Severity.CLEAR, Reason.IN_TIME),
        (at(15, 9), Severity.STOP, Reason.TOO_LATE),
        (at(19, 0), Severity.STOP, Reason.TOO_LATE),
    ],
)
def test_a_stop_is_left_in_time_to_cross(
    leave: datetime, severity: Severity, reason: Reason
) -> None:
    finding = left_at(leave).found(Rule.TURN_BACK)

    assert (finding.severity, finding.reason) == (severity, reason)
    turn_back = finding.instant("turn_back")
    assert turn_back is not None
    assert abs(turn_back - at(15, 8)) < timedelta(minutes=1)


@pytest.mark.parametrize(
    ("latest", "severity"),
    [(at(15, 10), Severity.CLEAR), (at(15, 9), Severity.STOP)],
)
def test_every_walk_is_over_by_the_latest_return(
    latest: datetime, severity: Severity
) -> None:
    story = CLEAR.with_trip(latest_return=latest)

    finding = story.found(Rule.TURN_BACK)

    assert finding.severity is severity
    assert finding.instant("turn_back") == latest - timedelta(minutes=10)


@pytest.mark.parametrize(
    "changes",
    [
        {"ascent_m": None},
        {"descent_m": None},
        {"ground": Ground.UNKNOWN},
        {"ground": Ground.UNKNOWN, "is_tidal": False, "shut_above_m": None},
    ],
)
def test_a_walk_whose_time_is_a_guess_leaves_the_turn_back_unknown(
    changes: dict[str, Any],
) -> None:
    finding = CLEAR.with_leg(**changes).found(Rule.TURN_BACK)

    assert (finding.severity, finding.reason) == (
        Severity.UNKNOWN,
        Reason.BACK_NOT_KNOWN,
    )


def test_leaving_in_time_but_walking_late_is_a_stop() -> None:
    story = replace(CLEAR, walks=(CLEAR.walks[0], walk(15, 30, back=True)))

    finding = story.found(Rule.TURN_BACK)

    assert (finding.severity, finding.reason) == (Severity.STOP, Reason.WALK_TOO_LATE)
    assert finding.instant("late_walk") == at(15, 30)


def test_a_late_walk_is_told_at_the_stop_before_it() -> None:
    first = stop(at(13, 50), at(14, 0))
    second = replace(stop(at(14, 45), at(15, 20)), number=2)
    walks = (walk(14, 30), walk(15, 20, back=True))
    story = replace(CLEAR, stops=(first, second), walks=walks)

    findings = [f for f in check(story.facts()).findings if f.rule is Rule.TURN_BACK]

    severities = {f.about_id: f.severity for f in findings}
    # No walk leads from the first to where the next walk starts.
    assert severities == {first.id: Severity.UNKNOWN, second.id: Severity.STOP}


@pytest.mark.parametrize(
    ("story", "reason"),
    [
        (CLEAR.with_trip(latest_return=None), Reason.NO_LATEST_RETURN),
        (replace(CLEAR, walks=CLEAR.walks[:1]), Reason.NO_WALK_AFTER),
        (replace(CLEAR, stops=()), Reason.NO_STOPS),
        (replace(CLEAR, tables=()), Reason.BACK_NOT_KNOWN),
        (CLEAR.with_leg(is_tidal=None), Reason.BACK_NOT_KNOWN),
        (CLEAR.with_leg(shut_above_m=None), Reason.BACK_NOT_KNOWN),
        (CLEAR.with_leg(shut_datum=""), Reason.BACK_NOT_KNOWN),
        (CLEAR.with_table(exposure=None), Reason.BACK_NOT_KNOWN),
        (CLEAR.with_table(is_distorted=None), Reason.BACK_NOT_KNOWN),
    ],
)
def test_each_missing_fact_alone_is_unknown(story: Story, reason: Reason) -> None:
    finding = story.found(Rule.TURN_BACK)

    assert (finding.severity, finding.reason) == (Severity.UNKNOWN, reason)


def test_a_tide_that_proves_it_late_needs_no_latest_return() -> None:
    story = left_at(at(16)).with_trip(latest_return=None)

    assert story.found(Rule.TURN_BACK).severity is Severity.STOP


def test_a_latest_return_that_proves_it_late_needs_no_tide() -> None:
    story = replace(CLEAR, tables=()).with_trip(latest_return=at(15, 5))

    assert story.found(Rule.TURN_BACK).severity is Severity.STOP


def test_a_way_back_that_never_opens_is_a_stop() -> None:
    story = CLEAR.with_leg(shut_above_m=-1.0)

    finding = story.found(Rule.TURN_BACK)

    assert (finding.severity, finding.reason) == (Severity.STOP, Reason.BACK_SHUT)


def test_each_of_two_stops_has_its_own_time() -> None:
    second = replace(stop(at(15, 15), at(15, 40)), number=2)
    story = replace(CLEAR, stops=(*CLEAR.stops, second))

    findings = [f for f in check(story.facts()).findings if f.rule is Rule.TURN_BACK]

    # The second is beyond the last walk: nothing says how one gets there and back.
    reasons = {f.about_id: f.reason for f in findings}
    assert reasons[CLEAR.stops[0].id] is Reason.BACK_NOT_KNOWN
    assert reasons[second.id] is Reason.NO_WALK_AFTER


def test_a_minute_more_of_reserve_breaks_the_last_minute() -> None:
    longer = Limits(tide_reserve=timedelta(minutes=31))

    assert left_at(at(15, 8)).found(Rule.TURN_BACK, longer).severity is Severity.STOP
