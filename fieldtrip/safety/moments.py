"""When in the day a finding matters: the order in which a checklist is read."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum

from fieldtrip.safety.finding import Rule
from fieldtrip.times import Span


class Moment(StrEnum):
    """When a finding matters, as the day comes to it; the gates lead."""

    GATES = "gates"
    BEFORE = "before_leaving"
    CAR = "at_the_car"
    WAY = "on_the_way"
    SPOT = "at_the_spot"
    BACK = "way_back"


# What is settled at home or at the car, or belongs to one part of the day by its
# nature; every other rule speaks of the time of its span.
_ALWAYS = {
    Rule.GATES: Moment.GATES,
    Rule.SOMEONE_TOLD: Moment.BEFORE,
    Rule.EMERGENCY: Moment.BEFORE,
    Rule.NOTE_AGE: Moment.BEFORE,
    Rule.PERMIT: Moment.BEFORE,
    Rule.CLOSED_SEASON: Moment.BEFORE,
    Rule.ACCESS_CLOSED: Moment.BEFORE,
    Rule.FORECAST_AGE: Moment.BEFORE,
    Rule.FORECAST_REACH: Moment.BEFORE,
    Rule.TIDE_CONFIDENCE: Moment.BEFORE,
    Rule.POSITION_ERROR: Moment.BEFORE,
    Rule.SUN_TIMES: Moment.BEFORE,
    Rule.CLOCK_CHANGE: Moment.BEFORE,
    Rule.AWAKE: Moment.BEFORE,
    Rule.TWO_LIGHTS: Moment.CAR,
    Rule.START_OPEN: Moment.CAR,
    Rule.TIDE_REFUGE: Moment.WAY,
    Rule.TURN_BACK: Moment.SPOT,
    Rule.TIDE_STAND: Moment.SPOT,
    Rule.EDGE_LOOKED_FOR: Moment.SPOT,
    Rule.TIDE_WAY_BACK: Moment.BACK,
    Rule.LATEST_WALK_OUT: Moment.BACK,
}


def moment_of(rule: Rule, span: Span | None, stays: Sequence[Span]) -> Moment:
    """When a finding matters, by its rule, or else by the span it speaks of.

    `stays` are those at the trip's stops.  What lies in one of them matters at the
    spot, what starts after the last of them on the way back, all else on the way.
    """
    always = _ALWAYS.get(rule)
    if always is not None:
        return always
    if span is None:
        return Moment.BEFORE
    if any(stay.start <= span.start and span.stop <= stay.stop for stay in stays):
        return Moment.SPOT
    last = max((stay.stop for stay in stays), default=None)
    if last is not None and span.start >= last:
        return Moment.BACK
    return Moment.WAY
