"""When a leg or a spot is open, as the crossing rules count it, over a whole span.

The rules judge one walk; the scheduler needs every minute at which a walk would not
be stopped.  Sources, levels and margins are the same, and where the rules would hear
several sources, the worst counts here too.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from fieldtrip.places.records import Leg, VantagePoint
from fieldtrip.safety.crossings import is_tidal
from fieldtrip.safety.finding import Reason
from fieldtrip.safety.limits import Limits
from fieldtrip.tides.curve import Confidence
from fieldtrip.tides.sources import TideSource
from fieldtrip.times import Span
from fieldtrip.trips.crossing_level import as_told_now, level_in_force
from fieldtrip.trips.plan import TripFacts
from fieldtrip.trips.spans import (
    Spans,
    clipped,
    complement,
    intersection,
    merged,
    union,
)
from fieldtrip.trips.tide_sources import counts_from, is_out_of_reach
from fieldtrip.trips.waves import WaveMargin, wave_margin
from fieldtrip.weather.hours import smallest

_HOUR = timedelta(hours=1)
_LONGEST_WALK = timedelta(hours=3)  # across what the sea shuts
_AROUND = timedelta(days=1)  # windows are not cut off near the span


@dataclass(frozen=True, slots=True)
class OpenSpans:
    """When something stands above the sea, with every margin but the reserve."""

    spans: Spans  # reaching beyond the span where it stays open
    unknown: Reason | None = None  # why nothing is known: then `spans` is empty
    is_sure: bool = True  # the rules would not call it unknown or odd


def leg_open(
    leg: Leg, facts: TripFacts, limits: Limits, span: Span
) -> OpenSpans | None:
    """When a leg can be crossed; None where the sea does not shut it.

    Nor where nobody said whether it does, and gave no level.
    """
    if not is_tidal(leg) or (leg.is_tidal is None and leg.shut_above_m is None):
        return None
    seen = as_told_now(facts.observations, facts.tide_sources)
    zone = facts.location.zone
    levels = [
        level_in_force(leg, seen, at, zone).level_m for at in (span.start, span.stop)
    ]
    known = [level for level in levels if level is not None]
    if len(known) < len(levels):
        return OpenSpans((), Reason.LEVEL_NOT_KNOWN)
    waves = wave_margin(leg.shore, leg.beach_slope, facts.trip)
    found = _below(min(known), leg.shut_datum, waves, facts, limits, span)
    if leg.is_tidal is None:
        return OpenSpans(found.spans, found.unknown, is_sure=False)
    return found


def spot_open(
    vantage: VantagePoint, facts: TripFacts, limits: Limits, span: Span
) -> OpenSpans | None:
    """When a spot stands dry; None where nobody said that the sea floods it."""
    level_m = vantage.flooded_above_m
    if level_m is None:
        return None
    waves = wave_margin(vantage.shore, vantage.beach_slope, facts.trip)
    return _below(level_m, vantage.level_datum, waves, facts, limits, span)


def _below(
    level_m: float,
    datum: str,
    waves: WaveMargin,
    facts: TripFacts,
    limits: Limits,
    span: Span,
) -> OpenSpans:
    if not datum.strip():
        return OpenSpans((), Reason.DATUM_NOT_SAID)
    around = Span(span.start - _AROUND, span.stop + _AROUND)
    sources = [s for s in facts.tide_sources if s.has_part(span)]
    if not sources:
        missing = Reason.OUTSIDE_TABLE if facts.tide_sources else Reason.NO_TABLE
        return OpenSpans((), missing)
    fitting = [s for s in sources if counts_from(s, datum)]
    if not fitting:
        return OpenSpans((), Reason.DATUM_DIFFERS)
    if all(is_out_of_reach(source) for source in fitting):
        return OpenSpans((), Reason.STATION_TOO_FAR)
    heard: Spans = ()
    found: Spans = merged((around,))
    is_open_ever = False
    for source in fitting:
        reach = merged((source.part(around),))
        safe = _safe(level_m, waves, source, facts, limits, span, around)
        is_open_ever |= bool(safe)
        found = intersection(found, union(safe, complement(reach, around)))
        if not is_out_of_reach(source):
            heard = union(heard, _relied_on(source, safe, reach))
    if is_open_ever and not heard:
        return OpenSpans((), Reason.GAP_IN_TABLE)
    is_sure = waves.is_shore_said and waves.is_sea_said and not waves.is_rock
    is_sure &= all(
        s.exposure is not None and s.curve.confidence(s.part(span)) is Confidence.GOOD
        for s in fitting
    )
    return OpenSpans(intersection(found, heard), is_sure=is_sure)


def _relied_on(source: TideSource, safe: Spans, reach: Spans) -> Spans:
    """Where a source tells of the water well enough to go by it."""
    return merged(
        window
        for window in intersection(safe, reach)
        if source.curve.confidence(window) is not Confidence.UNKNOWN
    )


def _safe(
    level_m: float,
    waves: WaveMargin,
    source: TideSource,
    facts: TripFacts,
    limits: Limits,
    span: Span,
    around: Span,
) -> Spans:
    """Windows with all margins, by the pressure of the hours about each moment."""
    usual_m = limits.margins.weather_m(source.exposure)

    def windows(weather_m: float) -> Spans:
        return merged(
            window.span
            for window in source.curve.passable_windows(
                level_m - waves.margin_m, around, limits.margins, weather_m
            )
        )

    found = windows(usual_m)
    if facts.forecast is None:
        return found
    raised: dict[float, list[Span]] = {}
    start = span.start
    while start < span.stop:
        hour = Span(start, start + _HOUR)
        about = Span(hour.start - _LONGEST_WALK, hour.stop + _LONGEST_WALK)
        value = smallest(facts.forecast.hours, about, lambda h: h.pressure_hpa).value
        margin_m = limits.margins.weather_m(source.exposure, value)
        if margin_m > usual_m:
            raised.setdefault(margin_m, []).append(hour)
        start += _HOUR
    for margin_m, hours in raised.items():
        low = merged(hours)
        shut = complement(windows(margin_m), around)
        found = intersection(found, complement(intersection(low, shut), around))
    return clipped(found, around)
