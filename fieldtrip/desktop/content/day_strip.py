"""What the day strip says: light, tide, wind and plan of one day, hours downwards."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from fieldtrip.almanac.gates import gates_in_words
from fieldtrip.almanac.sky_site import Seen, seen_from
from fieldtrip.almanac.spot_light import spot_lights
from fieldtrip.almanac.spots import Skyline
from fieldtrip.almanac.tide_day import (
    leg_tide,
    legs_in_question,
    stand_tide,
    stands_in_question,
    tide_facts,
)
from fieldtrip.desktop.content.day_clock import (
    HourMark,
    day_heading,
    hour_marks,
)
from fieldtrip.desktop.content.strip_light import LightColumn, light_column
from fieldtrip.desktop.content.strip_plan import PlanColumn, plan_column
from fieldtrip.desktop.content.strip_tide import TideColumn, tide_column
from fieldtrip.desktop.content.strip_wind import WindColumn, wind_column
from fieldtrip.errors import UserError
from fieldtrip.safety.limit_specs import limits_from
from fieldtrip.safety.limits import Limits
from fieldtrip.safety.turn_back import turn_back
from fieldtrip.settings import Settings
from fieldtrip.sky.events import DayEvents, day_events
from fieldtrip.sky.light import LightBand, light_bands
from fieldtrip.sky.moon import MoonPhase, moon_phase
from fieldtrip.times import Span, local_day
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.plan import TripFacts, facts_of
from fieldtrip.trips.records import Trip
from fieldtrip.wording import clock_line, clock_text, height_text, short_date_text

NO_LOCATION = "Choose a location on the left to see its day."


@dataclass(frozen=True, slots=True)
class Choice:
    """What of the selection the strip depends on; not the minute."""

    day: date
    vantage_point_id: UUID | None = None
    trip_id: UUID | None = None
    leg_id: UUID | None = None


@dataclass(frozen=True, slots=True)
class DaySky:
    """The sky of a day, computed."""

    bands: tuple[LightBand, ...]
    events: DayEvents
    moon: MoonPhase  # at the middle of the day


@dataclass(frozen=True, slots=True)
class StripContent:
    """Everything the strip shows but the cursor."""

    heading: str
    clock: str
    span: Span
    hours: tuple[HourMark, ...]
    light: LightColumn
    tide: TideColumn
    wind: WindColumn
    plan: PlanColumn
    zone: str
    message: str = ""  # in place of the columns

    @property
    def foot(self) -> tuple[str, ...]:
        """The lines below the columns."""
        return (*self.light.foot, *self.tide.foot, *self.wind.foot)


def strip_content(
    dossier: Dossier | None,
    choice: Choice,
    settings: Settings,
    now: datetime,
    skylines: Sequence[Skyline] = (),
) -> StripContent:
    """Compute and word the whole strip of a day, as far as it is known at `now`.

    What fails for a reason the user can mend stands in its own column; the
    others are drawn all the same.
    """
    if dossier is None:
        return empty_strip(choice.day, NO_LOCATION)
    zone = dossier.location.zone
    span = local_day(choice.day, zone)
    if span.stop <= span.start:
        day = short_date_text(choice.day)
        return empty_strip(choice.day, f"{day} does not exist in {zone}.")
    seen = seen_from(dossier, choice.vantage_point_id, settings)
    clock = clock_line(choice.day, zone)
    try:
        sky = day_sky(seen, choice.day, zone)
    except UserError as error:
        light = LightColumn(message=str(error))
    else:
        lights = spot_lights(skylines, span)
        light = light_column(sky.bands, sky.events, zone, settings, seen.text, lights)
        clock = f"{clock} · {moon_words(sky.moon)}"
    trip = by_id(dossier.trips, choice.trip_id)
    limits = limits_from(settings.limits)
    return StripContent(
        heading=day_heading(choice.day),
        clock=clock,
        span=span,
        hours=hour_marks(choice.day, zone, settings),
        light=light,
        tide=_tide(dossier, choice, trip, span, settings),
        wind=wind_column(dossier.forecasts, span, zone, settings, limits),
        plan=_plan(dossier, trip, choice.day, settings, now),
        zone=zone,
    )


def empty_strip(day: date, message: str) -> StripContent:
    """A strip that says what to do next."""
    return StripContent(
        heading=day_heading(day),
        clock="",
        span=local_day(day, "UTC"),
        hours=(),
        light=LightColumn(),
        tide=TideColumn(),
        wind=WindColumn(),
        plan=PlanColumn(),
        zone="UTC",
        message=message,
    )


def day_sky(seen: Seen, day: date, zone: str) -> DaySky:
    """Compute the sky of a day; raises `UserError` outside the table's years."""
    events = day_events(seen.site, day, zone)
    span = local_day(day, zone)
    return DaySky(
        light_bands(seen.site, span.start, span.stop),
        events,
        moon_phase(seen.site, span.start + span.length / 2),
    )


def turn_backs(facts: TripFacts, limits: Limits) -> dict[UUID, datetime]:
    """When each stop of a trip must be left, by the same rule as the checklist.

    A stop of which that cannot be told is not among them.
    """
    found = {
        finding.about_id: finding.instant("turn_back")
        for finding in turn_back(facts, limits)
    }
    return {stop: at for stop, at in found.items() if stop and at}


def _plan(
    dossier: Dossier, trip: Trip | None, day: date, settings: Settings, now: datetime
) -> PlanColumn:
    if trip is None or trip.day != day:
        return plan_column(dossier, trip, day, settings)
    try:
        facts = facts_of(dossier, trip, now)
    except UserError:  # the checklist says why; the blocks are drawn all the same
        return plan_column(dossier, trip, day, settings)
    limits = limits_from(settings.limits)
    gates = gates_in_words(facts, settings, limits)
    return plan_column(dossier, trip, day, settings, turn_backs(facts, limits), gates)


def moon_words(moon: MoonPhase) -> str:
    """How the Moon is lit at midday, as in ``Moon 96 % lit at midday, waxing``."""
    way = "waxing" if moon.is_waxing else "waning"
    return f"Moon {moon.illuminated_fraction * 100.0:.0f} % lit at midday, {way}"


def reading(content: StripContent, instant: datetime, settings: Settings) -> str:
    """What the strip shows at one minute, in a line, for eye and screen reader."""
    parts = [clock_text(instant, content.zone, settings)]
    parts += [b.text for b in content.light.bands if _holds(b.span, instant)]
    for part in content.tide.curve:
        (first, _), (last, _) = part.points[0], part.points[-1]
        if first <= instant < last:
            at = (instant - first) / (last - first) * (len(part.points) - 1)
            height_m = part.points[min(round(at), len(part.points) - 1)][1]
            about = "about " if part.is_dashed else ""
            parts.append(f"tide {about}{height_text(height_m, settings)}")
    parts += [
        f"plan: {b.title}" for b in content.plan.blocks if _holds(b.span, instant)
    ]
    return " · ".join(parts)


def _holds(span: Span, instant: datetime) -> bool:
    return span.start <= instant < span.stop


def _tide(
    dossier: Dossier,
    choice: Choice,
    trip: Trip | None,
    span: Span,
    settings: Settings,
) -> TideColumn:
    facts = tide_facts(dossier, span, limits_from(settings.limits).margins, trip)
    legs = [
        leg_tide(leg, facts) for leg in legs_in_question(dossier, trip, choice.leg_id)
    ]
    stands = [
        stand_tide(vantage, facts)
        for vantage in stands_in_question(dossier, trip, choice.vantage_point_id)
    ]
    zone = dossier.location.zone
    return tide_column(facts.source, legs, stands, span, zone, settings)
