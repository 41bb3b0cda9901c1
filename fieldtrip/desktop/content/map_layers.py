"""What the map shows of a library at a minute: every layer by its name."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import datetime
from uuid import UUID

from fieldtrip.almanac.sky_site import Seen
from fieldtrip.almanac.tide_day import (
    LegTide,
    leg_tide,
    tide_facts,
)
from fieldtrip.desktop.content.gaps_on_map import gap_features
from fieldtrip.desktop.content.map_features import (
    FeatureCollection,
    closures_features,
    hazards_features,
    moon_features,
    places_features,
    plan_features,
    routes_features,
    sun_features,
)
from fieldtrip.geo import Position
from fieldtrip.places.records import Location, Subject
from fieldtrip.safety.limit_specs import limits_from
from fieldtrip.settings import Settings
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.events import DayEvents
from fieldtrip.sky.positions import sky_position
from fieldtrip.times import Span, local_date
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import Trip
from fieldtrip.wording import window_text

NOTHING: FeatureCollection = {"type": "FeatureCollection", "features": []}


def place_layers(
    dossier: Dossier | None,
    others: Sequence[Location],
    trip: Trip | None,
    day: Span | None,
    chosen: Collection[UUID],
    settings: Settings,
    tides: Mapping[UUID, LegTide] | None = None,
) -> Mapping[str, FeatureCollection]:
    """Places, routes, hazards and plan; other locations are there to be chosen."""
    marks = [
        feature
        for location in others
        for feature in places_features(Dossier(location=location), ())["features"]
    ]
    if dossier is None or day is None:
        places = {"type": "FeatureCollection", "features": marks}
        return {
            "places": places, "routes": NOTHING, "hazards": NOTHING,
            "closures": NOTHING, "plan": NOTHING,
        }  # fmt: skip
    places = places_features(dossier, chosen)
    places["features"] = [*marks, *places["features"]]
    civil_day = local_date(day.start, dossier.location.zone)
    open_words = passable_words(dossier, day, settings, trip, tides)
    is_today = trip is not None and trip.day == civil_day
    return {
        "places": places,
        "routes": routes_features(dossier, settings, chosen, open_words),
        "hazards": hazards_features(dossier, chosen),
        "closures": closures_features(dossier, civil_day, settings, chosen),
        "plan": _plan(dossier, trip, settings) if trip and is_today else NOTHING,
    }


def _plan(dossier: Dossier, trip: Trip, settings: Settings) -> FeatureCollection:
    """The legs and stops of a trip, and where it goes on without a leg."""
    found = plan_features(dossier, trip, settings)
    found["features"] += gap_features(dossier, trip, settings)
    return found


def sky_layers(
    seen: Seen,
    events: DayEvents,
    instant: datetime,
    subject: Subject | None,
    dossier: Dossier,
    settings: Settings,
) -> Mapping[str, FeatureCollection]:
    """The bearings of Sun and Moon from where one stands."""
    location = dossier.location
    stand = seen.vantage.position if seen.vantage else location.position
    return {
        "sun": sun_features(
            stand,
            events=events,
            instant=instant,
            sun=sky_position(Body.SUN, seen.site, instant),
            zone=location.zone,
            settings=settings,
            subject=subject,
            near=location.position,
        ),
        "moon": moon_features(
            stand,
            events=events,
            instant=instant,
            moon=sky_position(Body.MOON, seen.site, instant),
            zone=location.zone,
            settings=settings,
            near=location.position,
        ),
    }


def leg_tides(
    dossier: Dossier, day: Span, trip: Trip | None, settings: Settings
) -> Mapping[UUID, LegTide]:
    """For every leg that the tide can shut, when it is open on a day.

    The trip says what the sea will be, the settings with which margins.
    """
    facts = tide_facts(dossier, day, limits_from(settings.limits).margins, trip)
    return {leg.id: leg_tide(leg, facts) for leg in dossier.legs if leg.is_tidal}


def passable_words(
    dossier: Dossier,
    day: Span,
    settings: Settings,
    trip: Trip | None = None,
    tides: Mapping[UUID, LegTide] | None = None,
) -> Mapping[UUID, str]:
    """The same in words; `tides` if they are known already."""
    known = leg_tides(dossier, day, trip, settings) if tides is None else tides
    zone = dossier.location.zone
    return {leg_id: _open_words(tide, zone, settings) for leg_id, tide in known.items()}


def _open_words(tide: LegTide, zone: str, settings: Settings) -> str:
    why = "" if tide.doubt is None else tide.doubt.words(settings)
    if not tide.is_known:
        return f"opening not known: {why}" if why else "opening not known"
    if not tide.windows:
        return "not open with margins"
    spans = [window_text(span, zone, settings) for span in tide.windows]
    when = f"by prediction {' and '.join(spans)}"
    return f"open ▲ {when}, with care: {why}" if why else f"open {when}"


def all_positions(dossier: Dossier) -> Iterable[Position]:
    """Every position of a location, to fit the map to."""
    yield dossier.location.position
    yield from (vantage.position for vantage in dossier.vantage_points)
    yield from (subject.position for subject in dossier.subjects)
    yield from (refuge.position for refuge in dossier.refuges)
    yield from (start.position for start in dossier.start_places)
    for leg in dossier.legs:
        yield from leg.line
    for hazard in dossier.hazards:
        yield from hazard.line
    for closure in dossier.closures:
        yield from closure.line
