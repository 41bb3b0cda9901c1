"""Standing and walking near an edge: how near, how soft, how wet, how windy."""

from __future__ import annotations

from dataclasses import dataclass

from fieldtrip.geo import distance_to_line_m
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
from fieldtrip.safety.nearness import (
    NearEdge,
    bearing_to_line_deg,
    edges_near,
    lines_distance_m,
    outline_of,
)
from fieldtrip.safety.standing_places import (
    NOTHING,
    StandingPlace,
    all_places,
    place_wind,
)
from fieldtrip.safety.wetness import Wetness, wetness
from fieldtrip.times import local_date
from fieldtrip.trips.plan import TripFacts
from fieldtrip.trips.plan_ground import as_edges
from fieldtrip.weather.hours import Reading, known_values
from fieldtrip.weather.records import ForecastHour

_TOWARDS_DEG = 90.0
_SAME_EDGE_M = 30.0  # a typed edge so near a drop is taken for it
_REMEDIES = {
    Reason.EDGE_CLEAR: Remedy.NOTHING,
    Reason.EDGE_FENCED: Remedy.NOTHING,
    Reason.NO_FORECAST: Remedy.TYPE_FORECAST,
    Reason.GUST_NOT_KNOWN: Remedy.TYPE_FORECAST,
    Reason.RAIN_NOT_KNOWN: Remedy.TYPE_FORECAST,
    Reason.WIND_FROM_NOT_KNOWN: Remedy.TYPE_FORECAST,
    Reason.EDGE_STALE: Remedy.CONFIRM_AGAIN,
    Reason.EDGE_NEVER_CONFIRMED: Remedy.CONFIRM_AGAIN,
    Reason.SOFT_NOT_SAID: Remedy.RECORD_EDGE,
    Reason.POSITION_ERROR_NOT_SAID: Remedy.RECORD_EDGE,
}


def cliff_edge(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for each stop and each walk with an edge near it.

    A drop that only the elevation model shows counts as an edge of which neither
    fence nor rock is known.
    """
    found = []
    for place in all_places(facts, limits.leg_error_m):
        edges = _typed_edges(place, facts, limits) + _model_edges(place, facts, limits)
        if edges:
            found.append(_of_place(place, edges, facts, limits))
    return tuple(found) or (does_not_apply(Rule.CLIFF_EDGE, facts, SOURCE_EDGE),)


def edge_looked_for(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for each vantage point and leg: is an edge recorded, or looked for?

    No edge on the map does not mean that there is none.  A leg on which a fall
    would not hurt needs no edge to be looked for.
    """
    places = {place.record_id: place for place in all_places(facts, limits.leg_error_m)}
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
        edges = _typed_edges(place, facts, limits)
        drops = [] if edges else _model_edges(place, facts, limits)
        if not edges and not drops and place.is_harmless:
            continue
        severity, reason, remedy = _looked_for(edges, drops, facts, limits)
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
                    *_drop_numbers(drops),
                ),
                notes=_model_notes(place, edges, drops, facts),
                span=place.span,
                can_be_ticked=not edges and not drops,
                stands_for=short_form(place.line),
            )
        )
    return tuple(found) or (does_not_apply(Rule.EDGE_LOOKED_FOR, facts, SOURCE_EDGE),)


def _typed_edges(
    place: StandingPlace, facts: TripFacts, limits: Limits
) -> list[NearEdge]:
    zone_m = limits.edge_zone_m + place.known_error_m
    return edges_near(facts.hazards, place.line, zone_m)


def _model_edges(
    place: StandingPlace, facts: TripFacts, limits: Limits
) -> list[NearEdge]:
    """Drops of the elevation model that nobody has typed, as near as they may be."""
    drops = facts.ground.drops.get(place.record_id, ())
    found = []
    for drop, edge in zip(drops, as_edges(drops, facts.location.id), strict=True):
        if edges_near(facts.hazards, drop.line, _SAME_EDGE_M):
            continue
        away_m = lines_distance_m(drop.line, place.line) - drop.cell_m
        if away_m <= limits.edge_zone_m + place.known_error_m:
            found.append(NearEdge(edge, max(0.0, away_m)))
    return sorted(found, key=lambda edge: edge.distance_m)


def _drop_numbers(drops: list[NearEdge]) -> tuple[Number, ...]:
    heights_m = [edge.hazard.height_m for edge in drops if edge.hazard.height_m]
    return (Number("drop", max(heights_m), "m"),) if heights_m else ()


def _model_notes(
    place: StandingPlace,
    edges: list[NearEdge],
    drops: list[NearEdge],
    facts: TripFacts,
) -> tuple[Note, ...]:
    """That the model shows none proves nothing: its cells miss edges."""
    is_none = place.record_id in facts.ground.drops and not edges and not drops
    return (Note.MODEL_SHOWS_NONE,) if is_none else ()


def _looked_for(
    edges: list[NearEdge], drops: list[NearEdge], facts: TripFacts, limits: Limits
) -> tuple[Severity, Reason, Remedy]:
    if not edges and drops:
        return Severity.UNKNOWN, Reason.EDGE_IN_MODEL_ONLY, Remedy.RECORD_EDGE
    if not edges:
        return Severity.UNKNOWN, Reason.NO_EDGE_RECORDED, Remedy.LOOK_AT_EDGE
    if all(_freshness(edge, facts, limits) is not Freshness.FRESH for edge in edges):
        return Severity.CAUTION, Reason.EDGE_RECORD_OLD, Remedy.CONFIRM_AGAIN
    return Severity.CLEAR, Reason.EDGE_RECORDED, Remedy.NOTHING


@dataclass(frozen=True, slots=True)
class _Weather:
    """What the forecast says there and then."""

    has_forecast: bool
    gust_m_s: Reading  # with the headland's part, and the drop's where it is sure
    may_be_m_s: float | None  # the same if the wind blew towards the drop
    wet: Wetness
    is_towards: bool = False


def _of_place(
    place: StandingPlace, edges: list[NearEdge], facts: TripFacts, limits: Limits
) -> Finding:
    """The worst that any edge near it gives; of equals, the nearest."""
    wet, gust = (
        wetness(place.span, facts, limits),
        place_wind(place, facts, limits).gust,
    )
    judged = []
    for edge in edges:
        weather = _weather(edge, place, wet, gust, facts, limits)
        found = _judge(edge, place, weather, limits)
        judged.append((_if_fresh(found, edge, facts, limits), edge, weather))
    (severity, reason), edge, weather = min(judged, key=lambda found: found[0][0].rank)
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
    edge: NearEdge, place: StandingPlace, weather: _Weather, limits: Limits
) -> tuple[Severity, Reason]:
    """A proven stop first, then what is not known, then cautions."""
    hazard = edge.hazard
    if hazard.is_fenced:
        return Severity.DOES_NOT_APPLY, Reason.EDGE_FENCED
    gust_m_s = weather.gust_m_s.value
    clearance_m = edge.distance_m - place.known_error_m
    wet, may_be_m_s = weather.wet, weather.may_be_m_s
    is_wide = bool(hazard.is_soft) or wet.is_wet
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
    is_dry_known = wet.during.is_complete and (
        wet.is_before_known or clearance_m >= limits.soft_edge_m
    )
    if not is_dry_known:
        return Severity.UNKNOWN, Reason.RAIN_NOT_KNOWN

    if may_be_m_s is not None and (
        gust_m_s < limits.gust_stop_m_s <= may_be_m_s
        or gust_m_s < limits.gust_caution_m_s <= may_be_m_s
    ):
        return Severity.UNKNOWN, Reason.WIND_FROM_NOT_KNOWN
    if gust_m_s >= limits.gust_caution_m_s:
        return Severity.CAUTION, Reason.GUST_CAUTION
    if clearance_m < limits.edge_m:
        return Severity.CAUTION, Reason.EDGE_NEAR
    return Severity.CLEAR, Reason.EDGE_CLEAR


def _weather(
    edge: NearEdge,
    place: StandingPlace,
    wet: Wetness,
    gust: Reading,
    facts: TripFacts,
    limits: Limits,
) -> _Weather:
    if facts.forecast is None:
        return _Weather(False, NOTHING, None, wet)
    if gust.value is None:
        return _Weather(True, gust, None, wet)
    worse_m_s = gust.value * limits.towards_edge_factor
    match _blows_towards(edge, place, facts.forecast.hours):
        case True:
            return _Weather(
                True, Reading(worse_m_s, gust.is_complete), worse_m_s, wet, True
            )
        case False:
            return _Weather(True, gust, gust.value, wet)
        case None:
            return _Weather(True, gust, worse_m_s, wet)


def _blows_towards(
    edge: NearEdge, place: StandingPlace, hours: tuple[ForecastHour, ...]
) -> bool | None:
    """Whether the wind blows towards the drop in any hour; None: it may.

    Where the position is too rough to say on which side the drop lies, it does.
    """
    if edge.distance_m <= place.known_error_m:
        return True
    outline = outline_of(edge.hazard)
    nearest = min(place.line, key=lambda point: distance_to_line_m(point, outline))
    drop_deg = bearing_to_line_deg(nearest, outline)
    if drop_deg is None:
        return True
    froms, is_known = known_values(hours, place.span, lambda hour: hour.wind_from_deg)
    # Wind from behind one's back, as one looks at the drop, blows towards it.
    if any(_apart_deg(deg + 180.0, drop_deg) < _TOWARDS_DEG for deg in froms):
        return True
    return False if is_known else None


def _apart_deg(a_deg: float, b_deg: float) -> float:
    return abs((a_deg - b_deg + 180.0) % 360.0 - 180.0)


def _numbers(
    edge: NearEdge, place: StandingPlace, weather: _Weather, limits: Limits
) -> tuple[Number, ...]:
    numbers = [
        Number("distance", edge.distance_m, "m"),
        Number("edge", limits.edge_m, "m", is_limit=True),
        Number("soft_edge", limits.soft_edge_m, "m", is_limit=True),
        Number("gust_caution", limits.gust_caution_m_s, "m/s", is_limit=True),
        Number("gust_stop", limits.gust_stop_m_s, "m/s", is_limit=True),
        Number("heavy_rain", limits.heavy_rain_mm_day, "mm", is_limit=True),
        Number("wet_rain", limits.wet_rain_48h_mm, "mm", is_limit=True),
        _confirmed_within(limits),
    ]
    if place.error_m is not None:
        numbers.append(Number("position_error", place.error_m, "m"))
    if weather.gust_m_s.value is not None:
        numbers.append(Number("gust", weather.gust_m_s.value, "m/s"))
    if place.on_headland is not False:
        factor = Number("headland_factor", limits.headland_factor, "", is_limit=True)
        numbers.append(factor)
    if weather.wet.day_mm.value is not None:
        numbers.append(Number("rain_before", weather.wet.day_mm.value, "mm"))
    return tuple(numbers)


def _notes(
    edge: NearEdge, place: StandingPlace, weather: _Weather, reason: Reason
) -> tuple[Note, ...]:
    is_old = reason in (Reason.EDGE_STALE, Reason.EDGE_NEVER_CONFIRMED)
    return tuple(
        note
        for note, is_so in (
            (Note.HEADLAND, place.on_headland is True),
            (Note.HEADLAND_NOT_SAID, place.on_headland is None),
            (Note.SOFT_ROCK, bool(edge.hazard.is_soft)),
            (Note.HEAVY_RAIN, weather.wet.is_wet),
            (Note.WIND_TOWARDS_EDGE, weather.is_towards),
            (Note.FENCE_OLD, is_old and edge.hazard.is_fenced is True),
            (Note.FENCE_NOT_SAID, edge.hazard.is_fenced is None),
            (Note.RAIN_BEFORE_NOT_KNOWN, not weather.wet.is_before_known),
        )
        if is_so
    )
