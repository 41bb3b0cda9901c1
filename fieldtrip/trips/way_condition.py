"""When a way over tidal ground is open both ways, as the checks count it.

From a leg's closing level are taken the margins for prediction, weather and run-up;
each leg must stay open from the first step in until the reserve after the last step
out, and in the dark the steps take longer.  What the checks would not know is not
known here either.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from itertools import pairwise

from fieldtrip.places.records import AccessRoute, Ground, Leg
from fieldtrip.tides.records import Exposure
from fieldtrip.tides.sources import TideSource
from fieldtrip.times import Span
from fieldtrip.trips.crossing_level import (
    LAPSES_AFTER,
    as_told_now,
    level_in_force,
)
from fieldtrip.trips.dossier import by_id
from fieldtrip.trips.in_the_dark import Walking, walking_in
from fieldtrip.trips.situation import Answer, Situation, not_known
from fieldtrip.trips.spans import (
    Spans,
    clipped,
    complement,
    difference,
    intersection,
    lasting,
    merged,
    union,
)
from fieldtrip.trips.tide_sources import counts_from, is_out_of_reach
from fieldtrip.trips.walking import pace_of, time_for_leg
from fieldtrip.trips.wanted import WayOpen
from fieldtrip.trips.water_conditions import Tide, reliable
from fieldtrip.trips.waves import WaveMargin, wave_margin
from fieldtrip.weather.hours import HOUR

# Longer than any stay and both ways, so that a window's ends beyond a span are seen.
_AROUND = timedelta(days=3)


@dataclass(frozen=True, slots=True)
class TidalLeg:
    """A leg that the sea may shut, and when it is walked about a stay beyond it."""

    leg: Leg
    before: timedelta  # from the first step on it to the stay
    after: timedelta  # from the stay to the last step on the way back
    is_time_known: bool  # climb and ground of all that is walked are known


@dataclass(frozen=True, slots=True)
class _Open:
    """When something is open: surely, and for all that is known perhaps."""

    surely: Spans
    perhaps: Spans
    why: str


def way_open(wanted: WayOpen, situation: Situation) -> Answer:
    """While one can stay beyond the tidal legs, having come in and still getting out.

    A span lasts from coming in off the last leg until leaving for the first; between
    the two no leg shuts, so that nobody is cut off.  Spans shorter than the stay are
    left out.  A leg of which the checks would not know whether it is open gives times
    that are not known, never times that hold.
    """
    span = situation.span
    legs = tidal_legs_of(situation, wanted)
    if isinstance(legs, str):
        return not_known(span, legs)
    around = Span(span.start - _AROUND, span.stop + _AROUND)
    least = timedelta(minutes=wanted.stay_min)
    surely = perhaps = merged((around,))
    why = ""
    walking = walking_in(situation, around)
    for leg in legs:
        found = _open(leg, situation, around, walking)
        surely = intersection(surely, found.surely)
        perhaps = intersection(perhaps, found.perhaps)
        why = why or found.why
    surely, perhaps = lasting(surely, least), lasting(perhaps, least)
    unknown = clipped(difference(perhaps, surely), span)
    return Answer(clipped(surely, span), unknown, why if unknown else "")


def tidal_legs_of(situation: Situation, wanted: WayOpen) -> tuple[TidalLeg, ...] | str:
    """The tidal legs of a way, or why they are not known, in a sentence.

    A route is walked in the order of its legs on the way in, and back on the way out.
    """
    dossier = situation.dossier
    routes: Sequence[AccessRoute] = dossier.routes
    if wanted.route_id is not None:
        route = by_id(dossier.routes, wanted.route_id)
        if route is None:
            return "The access route is not there any more."
        routes = (route,)
    if not routes:
        return "No access route is known."
    found: list[TidalLeg] = []
    for route in routes:
        legs = sorted(dossier.legs_of(route), key=lambda leg: leg.number)
        if not legs:
            return f"Nobody said what “{route.name}” leads over."
        found += _tidal_legs(legs, situation)
    return tuple(found)


def _tidal_legs(legs: Sequence[Leg], situation: Situation) -> list[TidalLeg]:
    pace = None if situation.trip is None else pace_of(situation.trip)
    found: list[TidalLeg] = []
    before = after = timedelta()
    is_time_known = True
    for leg in reversed(legs):
        inwards = time_for_leg(leg, pace=pace)
        outwards = time_for_leg(leg, is_reversed=True, pace=pace)
        before += inwards.length
        after += outwards.length
        is_time_known &= inwards.is_climb_known and leg.ground is not Ground.UNKNOWN
        if leg.is_tidal is not False or leg.shut_above_m is not None:
            found.append(TidalLeg(leg, before, after, is_time_known))
    return found


def _open(
    tidal: TidalLeg, situation: Situation, around: Span, walking: Walking
) -> _Open:
    """When a stay beyond a leg may be, over a span and something around it."""
    leg, name = tidal.leg, tidal.leg.name
    everything = merged((around,))
    if leg.shut_above_m is None:
        return _Open((), everything, f"At which tide “{name}” shuts is not known.")
    if not leg.shut_datum.strip():
        why = f"From which datum the closing level of “{name}” counts is not said."
        return _Open((), everything, why)
    sources = tuple(
        source
        for source in situation.tide_sources
        if counts_from(source, leg.shut_datum) and source.has_part(around)
    )
    if not sources:
        why = f"No tide is known that counts from the datum of “{name}”."
        return _Open((), everything, why)
    waves = wave_margin(leg.shore, leg.beach_slope, situation.trip)
    safe = perhaps = everything
    reached: Spans = ()
    why = ""
    for source in sources:
        part = source.part(around)
        reached = union(reached, merged((part,)))
        found = _open_by(source, tidal, waves, situation, part)
        beyond = complement(merged((part,)), around)
        safe = intersection(safe, union(found.surely, beyond))
        perhaps = intersection(perhaps, union(found.perhaps, beyond))
        why = why or found.why
    # Where no source tells anything, nothing is sure and nothing is refused.
    safe = intersection(safe, reached)
    if reached != everything:
        why = why or f"No tide for “{name}” is known for all of these days."
    if leg.is_tidal is None:
        safe, why = (), f"Whether the sea shuts “{name}” is not said."
    if not tidal.is_time_known:
        safe, why = (), f"How long “{name}” and the way beyond it take is not known."
    walks = (tidal.before, tidal.after, situation.reserve)
    return _Open(walking.eroded(safe, *walks), walking.eroded(perhaps, *walks), why)


def _open_by(
    source: TideSource,
    tidal: TidalLeg,
    waves: WaveMargin,
    situation: Situation,
    part: Span,
) -> _Open:
    """When one source has a leg passable, over its own part of a span."""
    margins = situation.margins
    why = _doubt(source, waves, tidal.leg)
    # Where something is not said, only the smallest margins prove a leg shut.
    run_up_m = waves.least_m if why else waves.margin_m
    passable: list[Span] = []
    for piece, pressure_hpa in _pressures(situation, part):
        weather_m = margins.weather_m(source.exposure, pressure_hpa)
        if source.exposure is None:
            weather_m = min(margins.weather_m(each, pressure_hpa) for each in Exposure)
        for stretch, level_m in _levels(tidal.leg, situation, piece):
            windows = source.curve.passable_windows(
                level_m - run_up_m, stretch, margins, weather_m
            )
            passable += (window.span for window in windows)
    found = merged(passable)
    if why:
        return _Open((), found, why)
    doubtful = complement(reliable(Tide(source, part)), part)
    if doubtful:
        why = f"The tide of {source.name} between its turns cannot be relied on."
    return _Open(difference(found, doubtful), found, why)


def _doubt(source: TideSource, waves: WaveMargin, leg: Leg) -> str:
    """Why the checks would not know, in a sentence; empty where they would."""
    if source.exposure is None:
        return f"How far the weather lifts the sea at {source.name} is not said."
    if not waves.is_shore_said:
        return f"What waves meet at “{leg.name}” is not said."
    if waves.is_rock:
        return f"Nobody can tell how far waves run up the rock of “{leg.name}”."
    if not waves.is_sea_said:
        return f"How far waves will run up “{leg.name}” is not known before the day."
    if source.is_station and source.away_m is None:
        return f"How far away {source.name} lies is not said."
    if is_out_of_reach(source):
        return f"{source.name} is too far away."
    return ""


def _levels(leg: Leg, situation: Situation, part: Span) -> list[tuple[Span, float]]:
    """The closing level by what was seen of the leg, from change to change."""
    seen = situation.dossier.observations_of(leg)
    told = as_told_now(seen, situation.tide_sources) if seen else ()
    changes = {part.start, part.stop}
    for each in told:
        changes |= {each.instant, each.instant + LAPSES_AFTER}
    edges = sorted(change for change in changes if part.contains(change))
    found: list[tuple[Span, float]] = []
    for start, stop in pairwise(edges):
        middle = start + (stop - start) / 2
        level = level_in_force(leg, told, middle, situation.zone)
        if level.level_m is not None:
            found.append((Span(start, stop), level.level_m))
    return found


def _pressures(situation: Situation, part: Span) -> list[tuple[Span, float | None]]:
    """The part with the lowest pressure forecast for it, and the rest without one."""
    newest = max(
        situation.dossier.forecasts, key=lambda each: each.issued, default=None
    )
    hours = () if newest is None else newest.hours
    told = [hour for hour in hours if hour.pressure_hpa is not None]
    reach = clipped(merged(Span(h.instant, h.instant + HOUR) for h in told), part)
    if not reach:
        return [(part, None)]
    lowest = min(hour.pressure_hpa for hour in told if hour.pressure_hpa is not None)
    inside = Span(reach[0].start, reach[-1].stop)
    found: list[tuple[Span, float | None]] = [(inside, lowest)]
    return [*found, *((rest, None) for rest in complement((inside,), part))]
