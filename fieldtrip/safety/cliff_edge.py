"""Standing and walking near an edge: how near, how soft, how wet, how windy."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from uuid import UUID

from fieldtrip.geo import Line
from fieldtrip.safety.finding import (
    Finding,
    Note,
    Number,
    Reason,
    Remedy,
    Rule,
    Severity,
    short_form,
)
from fieldtrip.safety.freshness import Freshness, freshness
from fieldtrip.safety.gaps import does_not_apply, no_walks, record_gone
from fieldtrip.safety.limits import SOURCE_EDGE, Limits
from fieldtrip.safety.nearness import NearEdge, edges_near
from fieldtrip.times import Span, local_date
from fieldtrip.trips.plan import TripFacts
from fieldtrip.weather.hours import Reading, largest, total
from fieldtrip.weather.records import ForecastHour

_DAY = timedelta(hours=24)
_NOTHING = Reading(None, is_complete=False)
_REMEDIES = {
    Reason.EDGE_CLEAR: Remedy.NOTHING,
    Reason.EDGE_FENCED: Remedy.NOTHING,
    Reason.NO_FORECAST: Remedy.TYPE_FORECAST,
    Reason.GUST_NOT_KNOWN: Remedy.TYPE_FORECAST,
    Reason.RAIN_NOT_KNOWN: Remedy.TYPE_FORECAST,
    Reason.EDGE_STALE: Remedy.CONFIRM_AGAIN,
    Reason.EDGE_NEVER_CONFIRMED: Remedy.CONFIRM_AGAIN,
    Reason.SOFT_NOT_SAID: Remedy.RECORD_EDGE,
    Reason.POSITION_ERROR_NOT_SAID: Remedy.RECORD_EDGE,
}


def cliff_edge(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for each stop and each walk with a recorded edge near it."""
    found = []
    for place in _places(facts, limits):
        edges = edges_near(
            facts.hazards, place.line, limits.edge_zone_m + _error(place)
        )
        if edges:
            found.append(_of_place(place, edges, facts, limits))
    return tuple(found) or (does_not_apply(Rule.CLIFF_EDGE, facts, SOURCE_EDGE),)


def edge_looked_for(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for each vantage point and leg: is an edge recorded, or looked for?

    No edge on the map does not mean that there is none.  A leg on which a fall
    would not hurt needs no edge to be looked for.
    """
    places = {place.record_id: place for place in _places(facts, limits)}
    found = [
        record_gone(
            Rule.EDGE_LOOKED_FOR, stop.name, stop.stop.id, stop.span, SOURCE_EDGE
        )
        for stop in facts.stops
        if stop.vantage_point is None
    ]
    if not places and not found:
        return (no_walks(Rule.EDGE_LOOKED_FOR, facts, SOURCE_EDGE),)
    for place in places.values():
        edges = edges_near(
            facts.hazards, place.line, limits.edge_zone_m + _error(place)
        )
        if not edges and place.is_harmless:
            continue
        severity, reason, remedy = _looked_for(edges, facts, limits)
        found.append(
            Finding(
                rule=Rule.EDGE_LOOKED_FOR,
                about=place.name,
                about_id=place.record_id,
                severity=severity,
                reason=reason,
                remedy=remedy,
                source=SOURCE_EDGE,
                numbers=(
                    Number("edge_zone", limits.edge_zone_m, "m", is_limit=True),
                    _confirmed_within(limits),
                ),
                span=place.span,
                can_be_ticked=not edges,
                stands_for=short_form(place.line),
            )
        )
    return tuple(found) or (does_not_apply(Rule.EDGE_LOOKED_FOR, facts, SOURCE_EDGE),)


def _looked_for(
    edges: list[NearEdge], facts: TripFacts, limits: Limits
) -> tuple[Severity, Reason, Remedy]:
    if not edges:
        return Severity.UNKNOWN, Reason.NO_EDGE_RECORDED, Remedy.LOOK_AT_EDGE
    if all(_freshness(edge, facts, limits) is not Freshness.FRESH for edge in edges):
        return Severity.CAUTION, Reason.EDGE_RECORD_OLD, Remedy.CONFIRM_AGAIN
    return Severity.CLEAR, Reason.EDGE_RECORDED, Remedy.NOTHING


@dataclass(frozen=True, slots=True, kw_only=True)
class _Place:
    """Where somebody is for a while."""

    name: str
    record_id: UUID  # of the vantage point or the leg
    plan_id: UUID  # of the stop or the walk
    line: Line  # one position for a stop
    error_m: float | None
    on_headland: bool | None
    is_harmless: bool  # a fall would not hurt
    span: Span


@dataclass(frozen=True, slots=True)
class _Weather:
    """What the forecast says there and then."""

    has_forecast: bool
    gust_m_s: Reading  # with the headland's part
    rain: Reading  # at its heaviest, mm in an hour
    rain_before_mm: Reading  # over the 24 hours up to the end
    is_heavy: bool


def _places(facts: TripFacts, limits: Limits) -> list[_Place]:
    stops = [
        _Place(
            name=stop.name,
            record_id=stop.vantage_point.id,
            plan_id=stop.stop.id,
            line=(stop.vantage_point.position,),
            error_m=stop.vantage_point.position_error_m,
            on_headland=stop.vantage_point.on_headland,
            is_harmless=False,
            span=stop.span,
        )
        for stop in facts.stops
        if stop.vantage_point is not None
    ]
    walks = [
        _Place(
            name=walk.name,
            record_id=walk.leg.id,
            plan_id=walk.walk.id,
            line=walk.leg.line,
            error_m=limits.leg_error_m,
            on_headland=False,
            is_harmless=walk.leg.is_exposed is False,
            span=walk.span,
        )
        for walk in facts.walks
        if walk.leg is not None
    ]
    return [*stops, *walks]


def _error(place: _Place) -> float:
    return place.error_m or 0.0


def _of_place(
    place: _Place, edges: list[NearEdge], facts: TripFacts, limits: Limits
) -> Finding:
    """The worst that any edge near it gives; of equals, the nearest."""
    weather = _weather(place, facts, limits)
    judged = [
        (_if_fresh(_judge(edge, place, weather, limits), edge, facts, limits), edge)
        for edge in edges
    ]
    (severity, reason), edge = min(judged, key=lambda found: found[0][0].rank)
    return Finding(
        rule=Rule.CLIFF_EDGE,
        about=f"{place.name}, {edge.hazard.name}",
        about_id=place.plan_id,
        severity=severity,
        reason=reason,
        remedy=_REMEDIES.get(reason, Remedy.KEEP_AWAY),
        source=SOURCE_EDGE,
        basis="" if facts.forecast is None else facts.forecast.source,
        numbers=_numbers(edge, place, weather, limits),
        notes=_notes(edge, place, weather, reason),
        span=place.span,
        stands_for=short_form(edge.hazard.id),
    )


def _if_fresh(
    judged: tuple[Severity, Reason], edge: NearEdge, facts: TripFacts, limits: Limits
) -> tuple[Severity, Reason]:
    """A caution at best where the record, or its fence, is old."""
    if judged[0].rank <= Severity.CAUTION.rank:
        return judged
    match _freshness(edge, facts, limits):
        case Freshness.NEVER:
            return Severity.CAUTION, Reason.EDGE_NEVER_CONFIRMED
        case Freshness.OLD:
            return Severity.CAUTION, Reason.EDGE_STALE
        case Freshness.FRESH:
            return judged


def _freshness(edge: NearEdge, facts: TripFacts, limits: Limits) -> Freshness:
    today = local_date(facts.now, facts.location.zone)
    confirmed = edge.hazard.last_confirmed
    return freshness(confirmed, facts.trip.day, today, limits.confirmed_months)


def _confirmed_within(limits: Limits) -> Number:
    return Number("confirmed_within", limits.confirmed_months, "months", is_limit=True)


def _judge(
    edge: NearEdge, place: _Place, weather: _Weather, limits: Limits
) -> tuple[Severity, Reason]:
    """A proven stop first, then what is not known, then cautions."""
    hazard = edge.hazard
    if hazard.is_fenced:
        return Severity.DOES_NOT_APPLY, Reason.EDGE_FENCED
    gust_m_s = weather.gust_m_s.value
    clearance_m = edge.distance_m - _error(place)
    is_wide = bool(hazard.is_soft) or weather.is_heavy
    if gust_m_s is not None and gust_m_s >= limits.gust_stop_m_s:
        return Severity.STOP, Reason.GUST_STOP
    if is_wide and clearance_m < limits.soft_edge_m:
        return Severity.STOP, Reason.EDGE_SOFT

    if not weather.has_forecast:
        return Severity.UNKNOWN, Reason.NO_FORECAST
    if not weather.gust_m_s.is_complete or gust_m_s is None:
        return Severity.UNKNOWN, Reason.GUST_NOT_KNOWN
    if place.error_m is None:
        return Severity.UNKNOWN, Reason.POSITION_ERROR_NOT_SAID
    if hazard.is_soft is None:
        return Severity.UNKNOWN, Reason.SOFT_NOT_SAID
    is_dry_known = weather.rain.is_complete and (
        weather.rain_before_mm.is_complete or clearance_m >= limits.soft_edge_m
    )
    if not is_dry_known:
        return Severity.UNKNOWN, Reason.RAIN_NOT_KNOWN

    if gust_m_s >= limits.gust_caution_m_s:
        return Severity.CAUTION, Reason.GUST_CAUTION
    if clearance_m < limits.edge_m:
        return Severity.CAUTION, Reason.EDGE_NEAR
    return Severity.CLEAR, Reason.EDGE_CLEAR


def _weather(place: _Place, facts: TripFacts, limits: Limits) -> _Weather:
    if facts.forecast is None:
        return _Weather(False, _NOTHING, _NOTHING, _NOTHING, is_heavy=False)
    hours = facts.forecast.hours
    factor = 1.0 if place.on_headland is False else limits.headland_factor
    gust, mean = (
        largest(hours, place.span, lambda h: h.gust_m_s),
        largest(hours, place.span, lambda h: h.wind_m_s),
    )
    # A gust is no weaker than the mean wind, so the mean alone can prove a stop.
    known = [r.value * factor for r in (gust, mean) if r.value is not None]
    before = Span(place.span.stop - _DAY, place.span.stop)
    hour_mm = largest(hours, before, _rain_mm)
    day_mm = total(hours, before, _rain_mm)
    return _Weather(
        has_forecast=True,
        gust_m_s=Reading(max(known, default=None), gust.is_complete),
        rain=largest(hours, place.span, _rain_mm),
        rain_before_mm=day_mm,
        is_heavy=(hour_mm.value or 0.0) >= limits.heavy_rain_mm_h
        or (day_mm.value or 0.0) >= limits.heavy_rain_mm_day,
    )


def _rain_mm(hour: ForecastHour) -> float | None:
    return hour.rain_mm


def _numbers(
    edge: NearEdge, place: _Place, weather: _Weather, limits: Limits
) -> tuple[Number, ...]:
    numbers = [
        Number("distance", edge.distance_m, "m"),
        Number("edge", limits.edge_m, "m", is_limit=True),
        Number("soft_edge", limits.soft_edge_m, "m", is_limit=True),
        Number("gust_caution", limits.gust_caution_m_s, "m/s", is_limit=True),
        Number("gust_stop", limits.gust_stop_m_s, "m/s", is_limit=True),
        Number("heavy_rain", limits.heavy_rain_mm_day, "mm", is_limit=True),
        _confirmed_within(limits),
    ]
    if place.error_m is not None:
        numbers.append(Number("position_error", place.error_m, "m"))
    if weather.gust_m_s.value is not None:
        numbers.append(Number("gust", weather.gust_m_s.value, "m/s"))
    if place.on_headland is not False:
        factor = Number("headland_factor", limits.headland_factor, "", is_limit=True)
        numbers.append(factor)
    if weather.rain_before_mm.value is not None:
        numbers.append(Number("rain_before", weather.rain_before_mm.value, "mm"))
    return tuple(numbers)


def _notes(
    edge: NearEdge, place: _Place, weather: _Weather, reason: Reason
) -> tuple[Note, ...]:
    is_old = reason in (Reason.EDGE_STALE, Reason.EDGE_NEVER_CONFIRMED)
    return tuple(
        note
        for note, is_so in (
            (Note.HEADLAND, place.on_headland is True),
            (Note.HEADLAND_NOT_SAID, place.on_headland is None),
            (Note.SOFT_ROCK, bool(edge.hazard.is_soft)),
            (Note.HEAVY_RAIN, weather.is_heavy),
            (Note.FENCE_OLD, is_old and edge.hazard.is_fenced is True),
            (Note.FENCE_NOT_SAID, edge.hazard.is_fenced is None),
            (Note.RAIN_BEFORE_NOT_KNOWN, not weather.rain_before_mm.is_complete),
        )
        if is_so
    )
