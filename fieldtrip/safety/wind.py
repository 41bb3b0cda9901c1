"""Walking in wind, and standing where the ground makes it stronger."""

from __future__ import annotations

from fieldtrip.safety.finding import (
    Finding,
    Note,
    Number,
    Reason,
    Remedy,
    Rule,
    Severity,
)
from fieldtrip.safety.gaps import does_not_apply, no_walks, record_gone, walk_gone
from fieldtrip.safety.limits import SOURCE_WIND, Limits
from fieldtrip.safety.standing_places import (
    StandingPlace,
    place_wind,
    stop_places,
    walk_places,
)
from fieldtrip.safety.together import told_together
from fieldtrip.trips.plan import TripFacts
from fieldtrip.weather.beaufort import beaufort

_REMEDIES = {
    Reason.WIND_LIGHT: Remedy.NOTHING,
    Reason.NO_FORECAST: Remedy.TYPE_FORECAST,
    Reason.WIND_NOT_KNOWN: Remedy.TYPE_FORECAST,
}


def walking_wind(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """Do gusts make walking a struggle?  One finding for the walks that share a state.

    On a headland or crest, or where nobody said, wind counts half as much again.
    """
    if not facts.walks:
        return (no_walks(Rule.WALKING_WIND, facts, SOURCE_WIND),)
    gone = [
        walk_gone(Rule.WALKING_WIND, walk, SOURCE_WIND)
        for walk in facts.walks
        if walk.leg is None
    ]
    walks = walk_places(facts)
    found = [_of_place(Rule.WALKING_WIND, p, facts, limits) for p in walks]
    return (*gone, *told_together(found, "gust", is_high_worse=True))


def headland_wind(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """Is there too much wind to stand on a headland or crest, or where nobody said?

    One finding for the stays that share a state.  The wind of the forecast counts
    half as much again there, until observed.
    """
    gone = [
        record_gone(Rule.HEADLAND_WIND, stop.name, stop.stop.id, stop.span, SOURCE_WIND)
        for stop in facts.stops
        if stop.vantage_point is None
    ]
    found = [
        _of_place(Rule.HEADLAND_WIND, place, facts, limits)
        for place in stop_places(facts)
        if place.on_headland is not False
    ]
    nothing = (does_not_apply(Rule.HEADLAND_WIND, facts, SOURCE_WIND),)
    return (*gone, *told_together(found, "gust", is_high_worse=True)) or nothing


def _of_place(
    rule: Rule, place: StandingPlace, facts: TripFacts, limits: Limits
) -> Finding:
    wind = place_wind(place, facts, limits)
    gust_m_s = wind.gust.value
    if gust_m_s is not None and gust_m_s >= limits.walk_stop_m_s:
        severity, reason = Severity.STOP, Reason.WIND_STOP
    elif facts.forecast is None:
        severity, reason = Severity.UNKNOWN, Reason.NO_FORECAST
    elif gust_m_s is None or not wind.gust.is_complete:
        severity, reason = Severity.UNKNOWN, Reason.WIND_NOT_KNOWN
    elif gust_m_s >= limits.walk_caution_m_s:
        severity, reason = Severity.CAUTION, Reason.WIND_STRONG
    else:
        severity, reason = Severity.CLEAR, Reason.WIND_LIGHT
    numbers = [
        Number("walk_caution", limits.walk_caution_m_s, "m/s", is_limit=True),
        Number("walk_stop", limits.walk_stop_m_s, "m/s", is_limit=True),
    ]
    if gust_m_s is not None:
        numbers.append(Number("gust", gust_m_s, "m/s"))
    if wind.mean_m_s is not None:
        numbers.append(Number("force", float(beaufort(wind.mean_m_s)), "force"))
    if place.on_headland is not False:
        factor = Number("headland_factor", limits.headland_factor, "", is_limit=True)
        numbers.append(factor)
    notes = (
        (Note.HEADLAND, place.on_headland is True),
        (Note.HEADLAND_NOT_SAID, place.on_headland is None),
        (Note.MEAN_WIND_ONLY, wind.is_mean_only),
    )
    return Finding(
        rule=rule,
        about=place.name,
        about_id=place.plan_id,
        severity=severity,
        reason=reason,
        remedy=_REMEDIES.get(reason, Remedy.WAIT_FOR_WIND),
        source=SOURCE_WIND,
        basis="" if facts.forecast is None else facts.forecast.source,
        numbers=tuple(numbers),
        notes=tuple(note for note, is_so in notes if is_so),
        span=place.span,
    )
