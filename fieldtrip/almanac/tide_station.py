"""Where a day's tide comes from, how far away that is, and how good, in words."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime

from fieldtrip.almanac.tide_day import turn_pairs
from fieldtrip.places.records import Location
from fieldtrip.settings import Settings
from fieldtrip.tides.curve import Confidence
from fieldtrip.tides.extremes import (
    RangeClass,
    UsualRanges,
    range_class,
    usual_ranges,
)
from fieldtrip.tides.harmonic import HarmonicCurve
from fieldtrip.tides.margins import Margins
from fieldtrip.tides.sources import TideSource
from fieldtrip.tides.stations import StationKind
from fieldtrip.times import Span
from fieldtrip.trips.tide_sources import FAR_M, TOO_FAR_M, distance_to_m
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
        if distance_m > TOO_FAR_M:
            lines.append(
                "? That is so far that its tide tells nothing about this place."
            )
        elif distance_m > FAR_M:
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
        if distance_m is None or distance_m > FAR_M:
            lines.append("That holds at the station itself, not here.")
    if source.licence:
        lines.append(source.licence)
    return tuple(lines)


def range_words(source: TideSource, day: Span, settings: Settings) -> str:
    """The day's largest rise or fall, and what that is beside the usual ones."""
    ranges_m = ranges_of(source, day)
    if not ranges_m:
        return ""
    text = f"Largest rise or fall of the day: {height_text(max(ranges_m), settings, 2)}"
    found = class_of(source, ranges_m)
    return f"{text}, {found}." if found else f"{text}."


def ranges_of(source: TideSource, day: Span) -> tuple[float, ...]:
    """Every rise and fall that has a part of a day, in metres."""
    pairs = turn_pairs(source, day)
    return tuple(abs(after.height_m - before.height_m) for before, after in pairs)


def class_of(source: TideSource, ranges_m: Sequence[float]) -> RangeClass | None:
    """What a day's rises and falls are beside the usual ones; None where not known.

    Their mean, since of two high waters a day one may be much the higher; the
    largest where one high water a day prevails.
    """
    usual = usual_of(source)
    if usual is None or not ranges_m:
        return None
    mean_m = sum(ranges_m) / len(ranges_m)
    return range_class(max(ranges_m) if usual.is_diurnal else mean_m, usual)


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
    if curve.lacking:
        lines.append(
            f"? Main constituents that are missing: {', '.join(curve.lacking)}."
        )
    unknown = curve.unrecognised
    if unknown.names:
        left_out = height_text(unknown.amplitude_m, settings, 2)
        names = ", ".join(unknown.names)
        lines.append(f"Constituents not known and left out, {left_out}: {names}.")
    return lines


def _confidence(curve: HarmonicCurve) -> Confidence:
    return curve.confidence(Span(_ANY_TIME, _ANY_TIME))
