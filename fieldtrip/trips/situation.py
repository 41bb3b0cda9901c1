"""What conditions are asked of: a place, a span of time, and what is known there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, timedelta
from uuid import UUID

from fieldtrip.arrays import Array
from fieldtrip.geo import bearing_deg
from fieldtrip.places.records import Location, Subject, VantagePoint
from fieldtrip.sky.site import Site
from fieldtrip.tides.margins import Margins
from fieldtrip.tides.sources import TideSource
from fieldtrip.times import Span
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import Trip
from fieldtrip.trips.spans import Spans, complement, difference, merged
from fieldtrip.trips.tide_sources import sources_of

TIDE_RESERVE = timedelta(minutes=30)  # HM Coastguard; as the checks have it
# Whether a trip can be scheduled on a day of the place; None: not known.
TripTest = Callable[[UUID, date], bool | None]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Situation:
    """A span of time at a place, and everything that a condition may depend on.

    A skyline is the apparent altitude of the ground in degrees at even azimuths,
    the first due north, clockwise; nan where heights are missing; None: not known.
    What stands there at least, for all that is known, is the same without nan.
    """

    span: Span
    site: Site  # from which the sky is seen
    dossier: Dossier
    vantage_point: VantagePoint | None = None  # None: of the location as a whole
    subject: Subject | None = None
    tide_sources: tuple[TideSource, ...] = ()  # the station's first
    skyline_deg: Array | None = None  # around the vantage point
    skyline_least_deg: Array | None = None  # of the ground that is known
    subject_skyline_deg: Array | None = None  # around the subject
    subject_skyline_least_deg: Array | None = None
    trip: Trip | None = None  # whose sea, pace and party count; None: not said
    margins: Margins = field(default_factory=Margins)
    reserve: timedelta = TIDE_RESERVE
    trip_possible: TripTest | None = None

    @property
    def location(self) -> Location:
        """The location."""
        return self.dossier.location

    @property
    def zone(self) -> str:
        """The zone in which its days and clock are told."""
        return self.dossier.location.zone

    @property
    def sight_deg(self) -> float | None:
        """The true bearing in which the subject is seen; None without one."""
        if self.vantage_point is None or self.subject is None:
            return None
        if self.vantage_point.position == self.subject.position:
            return None
        return bearing_deg(self.vantage_point.position, self.subject.position)


def situation_of(
    dossier: Dossier,
    span: Span,
    *,
    vantage_point: VantagePoint | None = None,
    subject: Subject | None = None,
    trip: Trip | None = None,
) -> Situation:
    """The situation of a location over a span, with the tide sources it has."""
    place = dossier.location if vantage_point is None else vantage_point
    ground_m = None if vantage_point is None else vantage_point.ground_m
    return Situation(
        span=span,
        site=Site(place.position, ground_m or 0.0),
        dossier=dossier,
        vantage_point=vantage_point,
        subject=subject,
        tide_sources=sources_of(dossier),
        trip=trip,
    )


@dataclass(frozen=True, slots=True)
class Answer:
    """When a condition holds within a span, and when nobody knows.

    The two share no time; at every other time of the span it does not hold.
    """

    holds: Spans
    unknown: Spans = ()
    why: str = ""  # it is not known, or can never hold, in a sentence

    @property
    def possible(self) -> Spans:
        """When it holds for all that is known."""
        return merged((*self.holds, *self.unknown)) if self.unknown else self.holds


def not_known(span: Span, why: str) -> Answer:
    """Nothing is known about a whole span."""
    return Answer((), merged((span,)), why)


def known_within(holds: Spans, known: Spans, span: Span, why: str) -> Answer:
    """What holds where something is known, and not known elsewhere in a span."""
    unknown = complement(known, span)
    return Answer(difference(holds, unknown), unknown, why if unknown else "")
