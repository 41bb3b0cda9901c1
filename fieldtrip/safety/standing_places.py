"""Where somebody is for a while, on a stop or a walk, and the wind there."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from fieldtrip.geo import Line
from fieldtrip.places.records import Leg, Shore, VantagePoint
from fieldtrip.safety.limits import Limits
from fieldtrip.times import Span
from fieldtrip.trips.plan import TripFacts
from fieldtrip.weather.hours import Reading, largest

NOTHING = Reading(None, is_complete=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class StandingPlace:
    """A vantage point stayed at, or a leg walked, at a time."""

    name: str
    record_id: UUID  # of the vantage point or the leg
    plan_id: UUID  # of the stop or the walk
    line: Line  # one position for a stop
    error_m: float | None
    on_headland: bool | None
    is_harmless: bool  # a fall would not hurt
    is_stop: bool
    record: VantagePoint | Leg
    span: Span

    @property
    def shore(self) -> Shore | None:
        """What waves meet there; None where nobody said."""
        return self.record.shore

    @property
    def known_error_m(self) -> float:
        """How far its position may be out, as far as somebody said."""
        return self.error_m or 0.0


@dataclass(frozen=True, slots=True)
class PlaceWind:
    """The strongest wind of a place and time, with the headland's part."""

    gust: Reading  # the mean wind where it is the stronger of what is known
    bare_m_s: float | None  # the same without the headland's part
    mean_m_s: float | None  # the strongest mean wind, as forecast
    is_mean_only: bool  # no gust is known


def stop_places(facts: TripFacts) -> list[StandingPlace]:
    """Every stay whose vantage point is known, in order."""
    return [
        StandingPlace(
            name=stop.name,
            record_id=stop.vantage_point.id,
            plan_id=stop.stop.id,
            line=(stop.vantage_point.position,),
            error_m=stop.vantage_point.position_error_m,
            on_headland=stop.vantage_point.on_headland,
            is_harmless=False,
            is_stop=True,
            record=stop.vantage_point,
            span=stop.span,
        )
        for stop in facts.stops
        if stop.vantage_point is not None
    ]


def walk_places(
    facts: TripFacts, leg_error_m: float | None = None
) -> list[StandingPlace]:
    """Every walk whose leg is known, by start; a drawn leg may be so far out."""
    return [
        StandingPlace(
            name=walk.name,
            record_id=walk.leg.id,
            plan_id=walk.walk.id,
            line=walk.leg.line,
            error_m=leg_error_m,
            on_headland=walk.leg.on_headland,
            is_harmless=walk.leg.is_exposed is False,
            is_stop=False,
            record=walk.leg,
            span=walk.span,
        )
        for walk in facts.walks
        if walk.leg is not None
    ]


def all_places(
    facts: TripFacts, leg_error_m: float | None = None
) -> list[StandingPlace]:
    """Every stay, then every walk."""
    return [*stop_places(facts), *walk_places(facts, leg_error_m)]


def place_wind(place: StandingPlace, facts: TripFacts, limits: Limits) -> PlaceWind:
    """The wind there and then; a headland that nobody ruled out counts as one.

    A gust is no weaker than the mean wind, so the mean alone can prove a stop.
    """
    if facts.forecast is None:
        return PlaceWind(NOTHING, None, None, is_mean_only=False)
    hours = facts.forecast.hours
    factor = 1.0 if place.on_headland is False else limits.headland_factor
    gust = largest(hours, place.span, lambda hour: hour.gust_m_s)
    mean = largest(hours, place.span, lambda hour: hour.wind_m_s)
    known = [r.value for r in (gust, mean) if r.value is not None]
    bare = max(known, default=None)
    return PlaceWind(
        gust=Reading(None if bare is None else bare * factor, gust.is_complete),
        bare_m_s=bare,
        mean_m_s=mean.value,
        is_mean_only=gust.value is None and bare is not None,
    )
