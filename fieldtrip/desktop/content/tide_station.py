"""Where a day's tide comes from, how far away that is, and how good, in words."""

from __future__ import annotations

from datetime import UTC, datetime

from fieldtrip.places.records import Location
from fieldtrip.settings import Settings
from fieldtrip.tides.curve import Confidence
from fieldtrip.tides.extremes import (
    UsualRanges,
    largest_range_m,
    range_class,
    usual_ranges,
)
from fieldtrip.tides.harmonic import HarmonicCurve
from fieldtrip.tides.margins import Margins
from fieldtrip.tides.sources import TideSource
from fieldtrip.tides.stations import StationKind
from fieldtrip.times import Span
from fieldtrip.trips.tide_sources import FAR_M, distance_to_m
from fieldtrip.wording import distance_text, height_text

_ANY_TIME = datetime(2000, 1, 1, tzinfo=UTC)  # such a curve is as good everywhere
_KINDS = {
    StationKind.CONSTANTS: "computed from its harmonic constants",
    StationKind.FIT: "computed from constants fitted to a year of its table",
    StationKind.PRINTED: "half a cosine between the turns of its table",
    StationKind.SECONDARY: "turns of its standard port with the published differences",
}


def station_lines(
    location: Location, source: TideSource, settings: Settings
) -> tuple[str, ...]:
    """How a station's tide is found, how far away it is, and what to look out for.

    Empty for a table that was typed for the place itself.
    """
    if not source.is_station:
        return ()
    lines = [f"Station {source.name}: {_KINDS[source.kind]}."]
    distance_m = distance_to_m(location, source)
    if distance_m is None:
        lines.append("? Nobody said where the station lies, so it may be far away.")
    else:
        lines.append(f"It is {distance_text(distance_m, settings)} away.")
        if distance_m > FAR_M:
            far = distance_text(FAR_M, settings)
            lines.append(
                f"▲ That is more than {far}: times and heights may differ here."
            )
    if location.is_station_beyond_headland is None:
        lines.append("▲ Nobody said whether it lies round a headland from here.")
    elif location.is_station_beyond_headland:
        lines.append("▲ It lies round a headland: times and heights may differ here.")
    if isinstance(source.curve, HarmonicCurve):
        lines += _curve_lines(source.curve, settings)
    if source.licence:
        lines.append(source.licence)
    return tuple(lines)


def range_words(source: TideSource, day: Span, settings: Settings) -> str:
    """The day's largest rise or fall, and what that is beside the usual ones."""
    around = source.part(day)
    if around.length.total_seconds() <= 0.0:
        return ""
    range_m = largest_range_m(source.curve.turns(around))
    if range_m is None:
        return ""
    text = f"Largest rise or fall of the day: {height_text(range_m, settings, 2)}"
    usual = usual_of(source)
    found = None if usual is None else range_class(range_m, usual)
    return f"{text}, {found}." if found else f"{text}."


def usual_of(source: TideSource) -> UsualRanges | None:
    """The usual ranges of a station with constants; None where not known."""
    if not isinstance(source.curve, HarmonicCurve):
        return None
    return usual_ranges(source.curve.tide.constants)


def _curve_lines(curve: HarmonicCurve, settings: Settings) -> list[str]:
    margin_m = curve.prediction_margin_m(None, Margins())
    words = {
        Confidence.GOOD: "Confidence good",
        Confidence.LOW: "Low confidence",
        Confidence.UNKNOWN: "Not to be relied on",
    }
    word = words[_confidence(curve)]
    margin = height_text(margin_m, settings, 2)
    lines = [f"{word}: without weather it may be wrong by {margin}."]
    unknown = curve.unrecognised
    if unknown.names:
        left_out = height_text(unknown.amplitude_m, settings, 2)
        names = ", ".join(unknown.names)
        lines.append(f"Constituents not known and left out, {left_out}: {names}.")
    return lines


def _confidence(curve: HarmonicCurve) -> Confidence:
    return curve.confidence(Span(_ANY_TIME, _ANY_TIME))
