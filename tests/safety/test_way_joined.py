"""Walks that do not join: what is not planned is not known."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from fieldtrip.geo import destination
from fieldtrip.safety.checklist import check
from fieldtrip.safety.finding import Reason, Rule, Severity
from tests.safety.story import CAR_PARK, CLEAR, VANTAGE, Story, at, stop, tick, walk

FAR_SPOT = CLEAR.with_vantage(position=destination(VANTAGE.position, 0.0, 61.0))


@pytest.mark.parametrize(
    "story",
    [
        # The walk out, and the walk back, left out of a plan that is else whole.
        replace(CLEAR, walks=CLEAR.walks[1:]),
        replace(CLEAR, walks=CLEAR.walks[:1]),
        # Half of the leg only.
        replace(CLEAR, walks=(replace(CLEAR.walks[0], to_share=0.5), CLEAR.walks[1])),
        # Common practice, no source: 60 m.
        FAR_SPOT,
        replace(
            CLEAR,
            starts=(
                replace(
                    CAR_PARK, position=destination(CAR_PARK.position, 90.0, 2000.0)
                ),
            ),
        ),
    ],
)
def test_a_walk_left_out_makes_the_whole_unknown(story: Story) -> None:
    finding = story.found(Rule.WAY_JOINED)

    assert (finding.severity, finding.reason) == (Severity.UNKNOWN, Reason.WAY_GAP)
    assert check(story.facts()).overall.rank <= Severity.UNKNOWN.rank


def test_walks_that_join_are_clear_and_none_at_all_are_unknown() -> None:
    near = CLEAR.with_vantage(position=destination(VANTAGE.position, 0.0, 59.0))

    assert CLEAR.found(Rule.WAY_JOINED).severity is Severity.CLEAR
    assert near.found(Rule.WAY_JOINED).severity is Severity.CLEAR
    none = replace(CLEAR, walks=()).found(Rule.WAY_JOINED)
    assert (none.severity, none.reason) == (Severity.UNKNOWN, Reason.NO_WALKS)


def test_no_time_to_leave_a_stop_is_promised_over_a_gap_behind_it() -> None:
    there_only = replace(CLEAR, walks=CLEAR.walks[:1])
    back_only = replace(CLEAR, walks=CLEAR.walks[1:])
    first, second = stop(at(14, 40), at(14, 41)), stop(at(14, 57), at(14, 58))
    again = replace(
        CLEAR,
        stops=(first, replace(second, number=2)),
        walks=(walk(14, 30), walk(14, 45, back=True), walk(15, 0, back=True)),
    )

    assert CLEAR.found(Rule.TURN_BACK).severity is Severity.CLEAR
    assert there_only.found(Rule.TURN_BACK).severity is Severity.UNKNOWN
    assert back_only.found(Rule.TURN_BACK).severity is Severity.CLEAR
    found = [f for f in check(again.facts()).findings if f.rule is Rule.TURN_BACK]
    assert {f.about_id: f.reason for f in found} == {
        first.id: Reason.BACK_NOT_KNOWN,
        second.id: Reason.IN_TIME,
    }


def test_a_gap_can_be_ticked_until_an_end_of_it_moves() -> None:
    key = FAR_SPOT.found(Rule.WAY_JOINED).key
    ticked = replace(FAR_SPOT, ticks=(tick(key),))
    moved = ticked.with_vantage(position=destination(VANTAGE.position, 0.0, 90.0))
    gaps = [f for f in check(FAR_SPOT.facts()).findings if f.rule is Rule.WAY_JOINED]

    assert len(gaps) == 1  # there and back over the same ground
    assert ticked.found(Rule.WAY_JOINED).severity is Severity.CLEAR
    assert moved.found(Rule.WAY_JOINED).severity is Severity.UNKNOWN


@pytest.mark.parametrize(
    ("story", "reason"),
    [
        (CLEAR.with_trip(day=date(2026, 8, 14)), Reason.WAY_OTHER_DAY),
        (CLEAR.with_trip(day=date(2026, 8, 16)), Reason.WAY_OTHER_DAY),
        (
            replace(CLEAR, stops=(stop(at(14, 38), at(14, 55)),)),
            Reason.WAY_OVERLAPS,
        ),
        (
            replace(CLEAR, stops=(stop(at(14, 45), at(15, 2)),)),
            Reason.WAY_OVERLAPS,
        ),
    ],
)
def test_times_that_cannot_be_are_unknown_and_cannot_be_ticked(
    story: Story, reason: Reason
) -> None:
    finding = story.found(Rule.WAY_JOINED)

    assert (finding.severity, finding.reason) == (Severity.UNKNOWN, reason)
    assert not finding.can_be_ticked


def test_times_that_were_rounded_and_a_night_are_no_gap() -> None:
    rounded = replace(CLEAR, stops=(stop(at(14, 39), at(15, 1)),))
    night = replace(
        CLEAR,
        stops=(stop(at(6, 45), at(7, 30)),),
        walks=(walk(6, 30), walk(7, 30, back=True)),
    )

    assert rounded.found(Rule.WAY_JOINED).severity is Severity.CLEAR
    # From 23:30 to 00:40 by the clock of the place.
    assert (
        night.with_trip(day=date(2026, 8, 14)).found(Rule.WAY_JOINED).severity
        is Severity.CLEAR
    )
