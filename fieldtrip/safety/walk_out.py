"""When the walk out must begin, whatever the light still promises."""

from __future__ import annotations

from datetime import datetime, timedelta

from fieldtrip.places.records import Leg
from fieldtrip.safety.crossings import is_time_known, walk_notes
from fieldtrip.safety.finding import (
    Finding,
    Note,
    Number,
    Reason,
    Remedy,
    Rule,
    Severity,
)
from fieldtrip.safety.gaps import no_walks, walk_gone
from fieldtrip.safety.limits import SOURCE_WALK_OUT, Limits
from fieldtrip.sky.events import EventName
from fieldtrip.trips.plan import TripFacts, WalkFacts

_REMEDIES = {
    Reason.OUT_IN_LIGHT: Remedy.NOTHING,
    Reason.OUT_LIGHT_NOT_NEEDED: Remedy.NOTHING,
    Reason.OUT_GROUND_NOT_SAID: Remedy.RECORD_LEG,
    Reason.OUT_TIME_NOT_KNOWN: Remedy.RECORD_LEG,
    Reason.NO_WALK_OUT: Remedy.PLAN_WALKS,
}


def latest_walk_out(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for the trip: does the walk out begin early enough for its ground?

    Legs where a fall would hurt, for daylight only or never walked by daylight must be
    over by sunset, with half an hour in hand; begun so late that they end after civil
    dusk is a stop.  The walk out is what is walked after the last stop.
    """
    if not facts.walks:
        return (no_walks(Rule.LATEST_WALK_OUT, facts, SOURCE_WALK_OUT),)
    gone = [walk for walk in facts.walks if walk.leg is None]
    if gone:
        return (walk_gone(Rule.LATEST_WALK_OUT, gone[0], SOURCE_WALK_OUT),)
    out = _walk_out(facts)
    if not out:
        return (_finding(facts, out, Severity.UNKNOWN, Reason.NO_WALK_OUT, (), limits),)
    demanding = [w for w in out if w.leg is not None and _is_demanding(w.leg)]
    severity, reason = _judge(out, demanding, facts, limits)
    numbers: list[Number] = [Number("walk_out", out[0].walk.start, "UTC")]
    latest = _latest_start(out, demanding, facts)
    if latest is not None:
        numbers.append(Number("latest_start", latest, "UTC"))
    return (_finding(facts, out, severity, reason, tuple(numbers), limits),)


def _walk_out(facts: TripFacts) -> list[WalkFacts]:
    """The walks after the last stop; of a trip without stops its last walk."""
    if not facts.stops:
        return list(facts.walks[-1:])
    leave = max(stop.stop.leave for stop in facts.stops)
    return [walk for walk in facts.walks if walk.walk.start >= leave]


def _is_demanding(leg: Leg) -> bool:
    return bool(leg.is_exposed or leg.daylight_only) or not leg.walked_in_daylight


def _judge(
    out: list[WalkFacts],
    demanding: list[WalkFacts],
    facts: TripFacts,
    limits: Limits,
) -> tuple[Severity, Reason]:
    """A proven stop first, then what is not known, then cautions."""
    lowest_deg = min((walk.lowest_sun_deg for walk in demanding), default=90.0)
    if lowest_deg < limits.dusk_deg:
        return Severity.STOP, Reason.OUT_IN_THE_DARK
    if any(_is_ground_unsaid(w, limits) for w in out):
        return Severity.UNKNOWN, Reason.OUT_GROUND_NOT_SAID
    if demanding and not all(is_time_known(walk) for walk in out):
        return Severity.UNKNOWN, Reason.OUT_TIME_NOT_KNOWN
    if lowest_deg < limits.sunset_deg:
        return Severity.CAUTION, Reason.OUT_AFTER_SUNSET
    if not demanding:
        return Severity.CLEAR, Reason.OUT_LIGHT_NOT_NEEDED
    latest = _latest_start(out, demanding, facts)
    if latest is not None and out[0].walk.start + limits.walk_out_reserve > latest:
        return Severity.CAUTION, Reason.OUT_LITTLE_RESERVE
    return Severity.CLEAR, Reason.OUT_IN_LIGHT


def _is_ground_unsaid(walk: WalkFacts, limits: Limits) -> bool:
    """Whether it is after sunset and nobody said if the leg is one for daylight."""
    leg = walk.leg
    if leg is None or _is_demanding(leg):
        return False
    is_late = walk.lowest_sun_deg < limits.sunset_deg
    return is_late and (leg.is_exposed is None or leg.daylight_only is None)


def _latest_start(
    out: list[WalkFacts], demanding: list[WalkFacts], facts: TripFacts
) -> datetime | None:
    """When the walk out must begin for its last demanding leg to end by sunset.

    None where no leg asks for light, or the Sun does not set.
    """
    if not demanding:
        return None
    last = out.index(demanding[-1])
    start, end = out[0].walk.start, out[last].span.stop
    sunsets = [e.instant for e in facts.sun_events if e.name is EventName.SUNSET]
    if not sunsets:
        return None
    sunset = min(sunsets, key=lambda instant: abs(instant - end))
    on_foot = sum((walk.needed for walk in out[: last + 1]), timedelta())
    return min(sunset - on_foot, sunset - (end - start))


def _finding(
    facts: TripFacts,
    out: list[WalkFacts],
    severity: Severity,
    reason: Reason,
    numbers: tuple[Number, ...],
    limits: Limits,
) -> Finding:
    reserve = limits.walk_out_reserve.total_seconds() / 60
    notes: tuple[Note, ...] = tuple(
        dict.fromkeys(note for walk in out for note in walk_notes(walk))
    )
    return Finding(
        rule=Rule.LATEST_WALK_OUT,
        about=facts.trip.name,
        about_id=None,
        severity=severity,
        reason=reason,
        remedy=_REMEDIES.get(reason, Remedy.WALK_OUT_EARLIER),
        source=SOURCE_WALK_OUT,
        numbers=(Number("reserve", reserve, "min", is_limit=True), *numbers),
        notes=notes,
        span=out[0].span if out else facts.span,
    )
