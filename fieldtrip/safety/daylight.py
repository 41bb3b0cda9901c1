"""Light enough for the ground: each walk by the Sun's altitude at its own times."""

from __future__ import annotations

from fieldtrip.places.records import Leg
from fieldtrip.safety.finding import Finding, Number, Reason, Remedy, Rule, Severity
from fieldtrip.safety.gaps import no_walks, walk_gone
from fieldtrip.safety.limits import SOURCE_DAYLIGHT, Limits
from fieldtrip.sky.events import EventName
from fieldtrip.trips.plan import TripFacts, WalkFacts
from fieldtrip.weather.hours import Reading, largest

_NO_READING = Reading(None, is_complete=False)


def daylight(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for each walk."""
    if not facts.walks:
        return (no_walks(Rule.DAYLIGHT, facts, SOURCE_DAYLIGHT),)
    return tuple(
        walk_gone(Rule.DAYLIGHT, walk, SOURCE_DAYLIGHT)
        if walk.leg is None
        else _of_walk(walk, walk.leg, facts, limits)
        for walk in facts.walks
    )


def two_lights(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for the trip: lights for whoever walks after sunset.

    Two at least, and one for each person.
    """
    if not facts.walks:
        return (no_walks(Rule.TWO_LIGHTS, facts, SOURCE_DAYLIGHT),)
    needed = max(limits.lights, facts.trip.party)
    lights = facts.trip.lights
    numbers = [Number("lights_needed", float(needed), "lights", is_limit=True)]
    if lights is not None:
        numbers.append(Number("lights", float(lights), "lights"))
    after_sunset = [w for w in facts.walks if w.lowest_sun_deg < limits.sunset_deg]
    if not after_sunset:
        severity, reason = Severity.DOES_NOT_APPLY, Reason.LIGHTS_NOT_NEEDED
    elif lights is None:
        severity, reason = Severity.UNKNOWN, Reason.LIGHTS_NOT_SAID
    elif lights < needed:
        severity, reason = Severity.STOP, Reason.LIGHTS_TOO_FEW
    else:
        severity, reason = Severity.CLEAR, Reason.LIGHTS_ENOUGH
    is_fine = severity in (Severity.CLEAR, Severity.DOES_NOT_APPLY)
    return (
        Finding(
            rule=Rule.TWO_LIGHTS,
            about=facts.trip.name,
            about_id=None,
            severity=severity,
            reason=reason,
            remedy=Remedy.NOTHING if is_fine else Remedy.CARRY_LIGHTS,
            source=SOURCE_DAYLIGHT,
            numbers=tuple(numbers),
            span=after_sunset[0].span if after_sunset else facts.span,
        ),
    )


def _of_walk(walk: WalkFacts, leg: Leg, facts: TripFacts, limits: Limits) -> Finding:
    cloud = _NO_READING
    if facts.forecast is not None:
        cloud = largest(facts.forecast.hours, walk.span, lambda h: h.cloud_percent)
    severity, reason = _judge(walk, leg, cloud, limits)
    numbers = [
        Number("lowest_sun", walk.lowest_sun_deg, "°"),
        Number("sunset", limits.sunset_deg, "°", is_limit=True),
        Number("dusk", limits.dusk_deg, "°", is_limit=True),
    ]
    if cloud.value is not None:
        numbers.append(Number("cloud", cloud.value, "%"))
        numbers.append(Number("overcast", limits.overcast_percent, "%", is_limit=True))
    numbers += _last_light(walk, facts)
    remedy = Remedy.NOTHING if severity is Severity.CLEAR else Remedy.WALK_BY_DAY
    if reason is Reason.EXPOSED_NOT_SAID:
        remedy = Remedy.RECORD_LEG
    return Finding(
        rule=Rule.DAYLIGHT,
        about=leg.name,
        about_id=walk.walk.id,
        severity=severity,
        reason=reason,
        remedy=remedy,
        source=SOURCE_DAYLIGHT,
        basis="" if facts.forecast is None else facts.forecast.source,
        numbers=tuple(numbers),
        span=walk.span,
    )


def _judge(
    walk: WalkFacts, leg: Leg, cloud: Reading, limits: Limits
) -> tuple[Severity, Reason]:
    if walk.lowest_sun_deg >= limits.sunset_deg:
        return Severity.CLEAR, Reason.BY_DAY
    is_dark = walk.lowest_sun_deg < limits.dusk_deg
    if is_dark and not leg.walked_in_daylight:
        return Severity.STOP, Reason.NEVER_BY_DAY
    if leg.is_exposed or leg.daylight_only:
        return _judge_demanding(is_dark, cloud, limits)
    if leg.is_exposed is None or leg.daylight_only is None:
        return Severity.UNKNOWN, Reason.EXPOSED_NOT_SAID
    return Severity.CLEAR, Reason.DARK_BUT_EASY


def _judge_demanding(
    is_dark: bool, cloud: Reading, limits: Limits
) -> tuple[Severity, Reason]:
    """After sunset on ground where a fall would hurt, or that is for daylight only.

    Under dark cloud dusk is ten times darker, and without a forecast it may be.
    """
    if is_dark:
        return Severity.STOP, Reason.IN_THE_DARK
    if cloud.value is not None and cloud.value >= limits.overcast_percent:
        return Severity.STOP, Reason.AFTER_SUNSET_OVERCAST
    if not cloud.is_complete:
        return Severity.STOP, Reason.AFTER_SUNSET_NO_FORECAST
    return Severity.CAUTION, Reason.AFTER_SUNSET


def _last_light(walk: WalkFacts, facts: TripFacts) -> list[Number]:
    """Sunset and civil dusk nearest to the end of a walk, where there are any."""
    numbers = []
    for name, event_name in (
        ("sunset_at", EventName.SUNSET),
        ("dusk_at", EventName.CIVIL_DUSK),
    ):
        events = [e for e in facts.sun_events if e.name is event_name]
        if events:
            nearest = min(events, key=lambda e: abs(e.instant - walk.span.stop))
            numbers.append(Number(name, nearest.instant, "UTC"))
    return numbers
