"""A trip with everything the checks need, looked up once."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from functools import lru_cache

import numpy as np

from fieldtrip.places.records import (
    AccessNote,
    Closure,
    CrossingObservation,
    Hazard,
    Leg,
    Location,
    Permit,
    Refuge,
    StartPlace,
    VantagePoint,
)
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.events import Event, EventName, events_between
from fieldtrip.sky.positions import sky_position, uniform_track
from fieldtrip.sky.site import Site
from fieldtrip.tides.sources import TideSource
from fieldtrip.times import Span, local_day
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.plan_ground import PlanGround
from fieldtrip.trips.records import Gate, Stop, Tick, Trip, Walk
from fieldtrip.trips.tide_sources import sources_of
from fieldtrip.trips.walking import (
    DARK_DEG,
    DARK_FACTOR,
    LegTime,
    daylight_minutes,
    pace_of,
    time_for_leg,
)
from fieldtrip.weather.records import Forecast

_SUN_EVENTS = (
    EventName.CIVIL_DAWN,
    EventName.SUNRISE,
    EventName.SUNSET,
    EventName.CIVIL_DUSK,
)
_MINUTE = timedelta(minutes=1)
_STEP_S = 120.0  # the Sun sinks by half a degree in it at most


@dataclass(frozen=True, slots=True, kw_only=True)
class StopFacts:
    """A stay, and where."""

    stop: Stop
    vantage_point: VantagePoint | None  # None: its record is gone

    @property
    def name(self) -> str:
        """What to call it."""
        if self.vantage_point is None:
            return f"stop {self.stop.number}"
        return self.vantage_point.name

    @property
    def span(self) -> Span:
        """From arriving to leaving."""
        return Span(self.stop.arrive, self.stop.leave)


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkFacts:
    """A leg walked at a time, and what is known about it."""

    walk: Walk
    leg: Leg | None  # None: its record is gone
    refuge: Refuge | None
    by_rule: LegTime | None  # how long the walking rule says it takes
    lowest_sun_deg: float  # geometric altitude of the Sun's centre at its lowest

    @property
    def name(self) -> str:
        """What to call it."""
        return "a leg that is gone" if self.leg is None else self.leg.name

    @property
    def needed(self) -> timedelta:
        """The longer of the planned time and the walking rule's."""
        planned = self.walk.finish - self.walk.start
        return planned if self.by_rule is None else max(planned, self.by_rule.length)

    @property
    def span(self) -> Span:
        """From its start until it can be relied on to be over."""
        return Span(self.walk.start, self.walk.start + self.needed)


@dataclass(frozen=True, slots=True, kw_only=True)
class TripFacts:
    """What is known about one trip at one moment."""

    trip: Trip
    location: Location
    now: datetime
    stops: tuple[StopFacts, ...]  # in order
    walks: tuple[WalkFacts, ...]  # by start
    hazards: tuple[Hazard, ...]  # of the whole location
    notes: tuple[AccessNote, ...]
    tide_sources: tuple[TideSource, ...]  # the station's first
    observations: tuple[CrossingObservation, ...]  # of the whole location
    forecast: Forecast | None  # the newest that was out by then
    ticks: tuple[Tick, ...]  # by time
    sun_events: tuple[Event, ...]  # civil dawn, sunrise, sunset, civil dusk
    gates: tuple[Gate, ...] = ()  # by number
    start_place: StartPlace | None = None  # None: not said, or its record is gone
    end_place: StartPlace | None = None  # where it started, unless said
    meeting_place: StartPlace | None = None
    closures: tuple[Closure, ...] = ()  # of the whole location
    permits: tuple[Permit, ...] = ()  # of the whole location
    day_events: tuple[Event, ...] = ()  # of Sun and Moon, on the trip's own day
    is_forecast_elsewhere: bool = False  # there is one, and for another place
    ground: PlanGround = field(default_factory=PlanGround)  # by the elevation model

    @property
    def span(self) -> Span:
        """From the first thing planned to the last; the local day if nothing is."""
        spans = [*(s.span for s in self.stops), *(w.span for w in self.walks)]
        if not spans:
            return local_day(self.trip.day, self.location.zone)
        return Span(min(s.start for s in spans), max(s.stop for s in spans))


def facts_of(dossier: Dossier, trip: Trip, now: datetime) -> TripFacts:
    """Everything about a trip of a location, as far as it is known at a moment.

    Raises `UserError` for a trip outside the years in which the Sun is known.
    """
    site = Site(dossier.location.position)
    facts = TripFacts(
        trip=trip,
        location=dossier.location,
        now=now,
        stops=tuple(
            StopFacts(
                stop=stop,
                vantage_point=by_id(dossier.vantage_points, stop.vantage_point_id),
            )
            for stop in dossier.stops_of(trip)
        ),
        walks=tuple(
            _walk_facts(dossier, trip, walk, site)
            for walk in sorted(dossier.walks_of(trip), key=lambda walk: walk.start)
        ),
        hazards=dossier.hazards,
        notes=dossier.notes,
        tide_sources=sources_of(dossier),
        observations=dossier.observations,
        forecast=None,
        ticks=dossier.ticks_of(trip),
        sun_events=(),
        gates=dossier.gates_of(trip),
        start_place=by_id(dossier.start_places, trip.start_place_id),
        end_place=by_id(dossier.start_places, trip.end_place_id or trip.start_place_id),
        meeting_place=by_id(dossier.start_places, trip.meeting_place_id),
        closures=dossier.closures,
        permits=dossier.permits,
        ground=dossier.ground,
    )
    own = tuple(f for f in dossier.forecasts if f.location_id == trip.location_id)
    day = local_day(trip.day, dossier.location.zone)
    start, stop = min(day.start, facts.span.start), max(day.stop, facts.span.stop)
    events = _events(site, start, stop)
    return replace(
        facts,
        forecast=_newest(own, min(now, facts.span.stop)),
        is_forecast_elsewhere=bool(dossier.forecasts) and not own,
        sun_events=tuple(event for event in events if event.name in _SUN_EVENTS),
        day_events=tuple(
            event for event in events if day.start <= event.instant < day.stop
        ),
    )


def lowest_sun_deg(site: Site, span: Span) -> float:
    """The Sun's altitude at its lowest in a span, without refraction.

    Told by its altitude at those very times rather than by "the" sunset, so it
    holds in polar night and across midnight.
    """
    count = int(span.length.total_seconds() // _STEP_S) + 1
    grid = uniform_track(Body.SUN, site, span.start, _STEP_S, count)
    end = sky_position(Body.SUN, site, span.stop)
    return min(float(grid.altitude_deg.min()), end.altitude_deg)


def walk_time(dossier: Dossier, trip: Trip, walk: Walk, leg: Leg) -> LegTime:
    """How long the walking rule says that a leg takes at the time it is walked.

    In the dark it takes longer, minute by minute, just as a plan reckons it.
    Raises `UserError` outside the years in which the Sun is known.
    """
    by_day = time_for_leg(
        leg,
        is_reversed=walk.is_reversed,
        share=walk.share,
        pace=pace_of(trip),
        heights=dossier.ground.heights.get(leg.id),
    )
    minutes = by_day.length / _MINUTE
    count = math.ceil(minutes * DARK_FACTOR) + 1
    site = Site(dossier.location.position)
    track = uniform_track(Body.SUN, site, walk.start, 60.0, count)
    walked = daylight_minutes(track.altitude_deg < DARK_DEG, count)
    needed = float(np.interp(minutes, walked, np.arange(count + 1)))
    if needed <= minutes:
        return by_day
    return replace(by_day, length=needed * _MINUTE, is_in_dark=True)


def _walk_facts(dossier: Dossier, trip: Trip, walk: Walk, site: Site) -> WalkFacts:
    leg = by_id(dossier.legs, walk.leg_id)
    facts = WalkFacts(
        walk=walk,
        leg=leg,
        refuge=by_id(dossier.refuges, leg.refuge_id) if leg else None,
        by_rule=walk_time(dossier, trip, walk, leg) if leg else None,
        lowest_sun_deg=0.0,
    )
    return replace(facts, lowest_sun_deg=lowest_sun_deg(site, facts.span))


# Planning asks about one day again and again.
@lru_cache(maxsize=64)
def _events(site: Site, start: datetime, stop: datetime) -> tuple[Event, ...]:
    return events_between(site, start, stop)


def _newest(forecasts: tuple[Forecast, ...], by: datetime) -> Forecast | None:
    """The newest that was out by then; else the newest, for the checks to refuse."""
    newest_first = sorted(forecasts, key=lambda f: f.issued, reverse=True)
    out = [forecast for forecast in newest_first if forecast.issued <= by]
    return next(iter(out or newest_first), None)
