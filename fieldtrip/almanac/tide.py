"""What the Tide page says: the day's turns, the minute's height and the windows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from uuid import UUID

import numpy as np

from fieldtrip.almanac.crossing_seen import level_words, seen_words
from fieldtrip.almanac.tide_day import (
    WEATHER,
    LegTide,
    StandTide,
    TideFacts,
    has_level,
    leg_tide,
    prediction_margins_m,
    stand_tide,
    tide_facts,
    why_no_curve,
)
from fieldtrip.almanac.tide_station import range_words, station_lines
from fieldtrip.places.records import Leg, Shore, VantagePoint, WantedTurn
from fieldtrip.safety.crossings import is_tidal
from fieldtrip.safety.limit_specs import limits_from
from fieldtrip.safety.limits import Limits
from fieldtrip.settings import Settings
from fieldtrip.tides.curve import Confidence
from fieldtrip.tides.harmonic import HarmonicCurve
from fieldtrip.tides.sources import TideSource
from fieldtrip.times import Span, local_date, local_day, to_instant
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.waves import WaveMargin
from fieldtrip.wording import (
    clock_line,
    clock_text,
    date_text,
    duration_text,
    height_text,
    nearest_minute,
    short_date_text,
)

NO_LOCATION = "Choose a location on the left to see its tide."
NO_TABLE = "No tide table for this day. Paste the printed one: Trip ▸ Type tide table…"
MINUTE = timedelta(minutes=1)
_CLOSE = "\N{NO-BREAK SPACE}"  # keeps a number and its unit on one line
_PART = "Not known for the hours of this day outside the tide table."
_CONFIDENCE = {
    Confidence.GOOD: "confidence good",
    Confidence.LOW: "low confidence: this rise or fall does not last from 5 to 7 hours",
}


@dataclass(frozen=True, slots=True)
class TurnRow:
    """One high or low water."""

    what: str
    time: str
    height: str
    instant: datetime


@dataclass(frozen=True, slots=True)
class LegWindows:
    """When one leg is open, and what that rests on."""

    name: str
    state: str  # its windows in a line, or why nothing is known
    is_known: bool
    lines: tuple[str, ...]  # the margins, the reserve, and what is left out


@dataclass(frozen=True, slots=True)
class TideDay:
    """What the page says of the whole day."""

    heading: str = ""
    rows: tuple[TurnRow, ...] = ()
    legs: tuple[LegWindows, ...] = ()
    legs_hint: str = ""
    range: str = ""  # of the day, beside the usual ones
    source: tuple[str, ...] = ()
    message: str = ""  # in place of the table


def tide_day(
    dossier: Dossier | None, chosen_id: UUID | None, day: date, settings: Settings
) -> TideDay:
    """Compute and word the tide of a day; the chosen leg or spot comes first."""
    if dossier is None:
        return TideDay(message=NO_LOCATION)
    zone, limits = dossier.location.zone, limits_from(settings.limits)
    span = local_day(day, zone)
    facts = tide_facts(dossier, span, limits.margins)
    said = [leg for leg in dossier.legs if leg.is_tidal or leg.shut_above_m is not None]
    said.sort(key=lambda leg: leg.id != chosen_id)
    stands = [v for v in dossier.vantage_points if has_level(v)]
    stands.sort(key=lambda vantage: vantage.id != chosen_id)
    legs = [leg_windows(leg_tide(leg, facts), facts, settings, limits) for leg in said]
    spots = [stand_windows(stand_tide(v, facts), facts, settings) for v in stands]
    is_spot_chosen = any(vantage.id == chosen_id for vantage in stands)
    windows = tuple([*spots, *legs] if is_spot_chosen else [*legs, *spots])
    hint = _legs_hint(dossier, said)
    source = facts.source
    if source is None:
        return TideDay(legs=windows, legs_hint=hint, message=NO_TABLE)
    return TideDay(
        heading=f"{date_text(day)}, times in {clock_line(day, zone)}",
        rows=tuple(
            TurnRow(
                "high water" if turn.is_high else "low water",
                clock_text(turn.instant, zone, settings),
                height_text(turn.height_m, settings, 2),
                min(nearest_minute(turn.instant), span.stop - MINUTE),
            )
            for turn in source.curve.turns(span)
            if turn.instant < span.stop
        ),
        legs=windows,
        legs_hint=hint,
        range=range_words(source, span, settings),
        source=source_lines(source, facts, settings),
    )


def tide_minute(
    dossier: Dossier | None, day: date, instant: datetime, settings: Settings
) -> str:
    """The height at a minute with its margin and confidence; empty without a table."""
    if dossier is None:
        return ""
    zone, limits = dossier.location.zone, limits_from(settings.limits)
    facts = tide_facts(dossier, local_day(day, zone), limits.margins)
    source = facts.source
    if source is None:
        return ""
    clock, moment = clock_text(instant, zone, settings), Span(instant, instant)
    if not source.covers(moment):
        return f"At {clock} the height is not known: the table does not reach so far."
    confidence = source.curve.confidence(moment)
    if confidence is Confidence.UNKNOWN:
        return f"At {clock} the height is not known. {_why_no_curve(source, facts)}"
    height_m = float(source.curve.heights_m(np.array([to_instant(instant)]))[0])
    margin_m = source.curve.prediction_margin_m(moment, limits.margins)
    weather_m = limits.margins.weather_m(source.exposure)
    margin = height_text(margin_m, settings, 2).replace(" ", _CLOSE)
    words = _CONFIDENCE[confidence]
    if confidence is Confidence.LOW and isinstance(source.curve, HarmonicCurve):
        words = "low confidence: the station's curve is rough"
    return (
        f"At {clock} the tide stands at {height_text(height_m, settings)} above "
        f"{source.datum}, ±{_CLOSE}{margin}; "
        f"{words}. Weather may add "
        f"{height_text(weather_m, settings, 2)} or more."
    )


def window_text(span: Span, day: Span, zone: str, settings: Settings) -> str:
    """A window in words, rounded inwards to whole minutes.

    An end at midnight or at the table's end is no opening or closing, and is
    said so.
    """
    start, stop = _up(span.start), _down(span.stop)
    begins, ends = span.start <= day.start, span.stop >= day.stop
    if begins and ends:
        return "all day"
    if begins:
        return f"until {clock_text(stop, zone, settings)}, open since the day before"
    if ends:
        return f"from {clock_text(start, zone, settings)} on, into the next day"
    opening = clock_text(start, zone, settings)
    return f"{opening} to {clock_text(stop, zone, settings)}"


def leg_windows(
    tide: LegTide, facts: TideFacts, settings: Settings, limits: Limits
) -> LegWindows:
    """When a leg is open on a day, in words, or why that is not known."""
    day, zone = facts.day, facts.dossier.location.zone
    seen = seen_words(tide.level, settings)
    if tide.unknown:
        state = f"? not known. {tide.unknown}"
        small = (*seen, WEATHER)
        return LegWindows(tide.leg.name, state, is_known=False, lines=small)
    state = _leg_state(tide, day, zone, settings)
    level = level_words(tide.level, tide.leg.shut_datum, settings)
    lines = [
        f"{level} {_margins(tide.sources, tide.waves, facts, settings)}",
        *_wave_lines(tide.waves, tide.leg.shore),
        *seen,
    ]
    reserve = duration_text(limits.tide_reserve)
    lines.append(f"Be off it {reserve} before it shuts, on a rising tide.")
    if tide.is_part:
        lines.append(_PART)
    lines.append(WEATHER)
    return LegWindows(tide.leg.name, state, tide.is_known, tuple(lines))


def _leg_state(tide: LegTide, day: Span, zone: str, settings: Settings) -> str:
    """Its windows in a line; what the checks do not know is not called open."""
    opened = "; ".join(_window_texts(tide.windows, day, zone, settings))
    bare = "; ".join(_window_texts(tide.bare, day, zone, settings))
    why = "" if tide.doubt is None else tide.doubt.words(settings)
    if not tide.is_known:
        when = opened or f"{bare} without any margin"
        return f"? By the tide alone it would be open {when}; not known: {why}."
    if opened and why:
        return f"▲ Open with all margins, with care: {opened}; {why}."
    if opened:
        return f"Open with all margins: {opened}."
    state = "Not open on this day with all margins."
    if bare:
        state += f" The bare curve says {bare}: do not rely on it."
    return state


def stand_windows(tide: StandTide, facts: TideFacts, settings: Settings) -> LegWindows:
    """When a vantage point is dry, and when its picture has the water it wants."""
    vantage, day, zone = tide.vantage, facts.day, facts.dossier.location.zone
    if not tide.is_known:
        state = f"? not known. {tide.unknown}"
        return LegWindows(vantage.name, state, is_known=False, lines=(WEATHER,))
    states, lines = [], []
    if tide.wanted is not None:
        texts = _window_texts(tide.wanted, day, zone, settings)
        wish = _wish(vantage, settings)
        states.append(
            f"Wanted water ({wish}): {'; '.join(texts)}."
            if texts
            else f"No wanted water on this day ({wish})."
        )
        lines.append("The wanted water is the bare curve's, without any margin.")
    if tide.dry is not None:
        states.append(_dry_state(tide, day, zone, settings))
        level = height_text(vantage.flooded_above_m or 0.0, settings, 2)
        margins = _margins(tide.sources, tide.waves, facts, settings)
        lines.append(f"Flooded above {level} ({vantage.level_datum}). {margins}")
        lines += _wave_lines(tide.waves, vantage.shore)
    if tide.is_part:
        lines.append(_PART)
    lines.append(WEATHER)
    return LegWindows(vantage.name, " ".join(states), tide.is_dry_known, tuple(lines))


def _dry_state(tide: StandTide, day: Span, zone: str, settings: Settings) -> str:
    """Its dry hours in a line; what the checks do not know is not called dry."""
    dry = "; ".join(_window_texts(tide.dry or (), day, zone, settings))
    why = "" if tide.doubt is None else tide.doubt.words(settings)
    if not dry:
        return "Not dry on this day with all margins."
    if not tide.is_dry_known:
        return f"? By the tide alone it would be dry {dry}; not known: {why}."
    if why:
        return f"▲ Dry with all margins, with care: {dry}; {why}."
    return f"Dry with all margins: {dry}."


def _wish(vantage: VantagePoint, settings: Settings) -> str:
    above_m, below_m = vantage.wanted_above_m, vantage.wanted_below_m
    parts = []
    if above_m is not None:
        parts.append(f"above {height_text(above_m, settings, 2)}")
    if below_m is not None:
        parts.append(f"up to {height_text(below_m, settings, 2)}")
    if vantage.wanted_turn is not WantedTurn.EITHER:
        parts.append(str(vantage.wanted_turn))
    return ", ".join(parts)


def _window_texts(
    spans: Sequence[Span], day: Span, zone: str, settings: Settings
) -> list[str]:
    return [
        window_text(span, day, zone, settings)
        for span in spans
        if _up(span.start) < _down(span.stop)
    ]


def _wave_lines(waves: WaveMargin, shore: Shore | None) -> list[str]:
    if not waves.is_shore_said:
        return ["Nobody said what waves meet there: nothing is taken off for run-up."]
    if not waves.is_sea_said:
        return [
            f"A {shore}, and no trip of this day says how the sea will be: the run-up "
            "of a heavy sea is taken off."
        ]
    return []


def _margins(
    sources: Sequence[TideSource],
    waves: WaveMargin,
    facts: TideFacts,
    settings: Settings,
) -> str:
    """What is taken off a level, part by part."""
    margins = facts.margins
    found = [
        margin_m
        for source in sources
        for margin_m in prediction_margins_m(source, facts.day, margins)
    ]
    least = height_text(min(found), settings, 2)
    most = height_text(max(found), settings, 2)
    prediction = most if least == most else f"{least} to {most}"
    source = sources[0]
    weather_m = margins.weather_m(source.exposure, facts.pressure_hpa)
    where = (
        str(source.exposure) if source.exposure else "exposure not said: the largest"
    )
    if weather_m > margins.weather_m(source.exposure):
        where += f", pressure {facts.pressure_hpa:.0f} hPa"
    parts = [
        f"{prediction} for the prediction",
        f"{height_text(weather_m, settings, 2)} for the weather ({where})",
    ]
    if waves.margin_m > 0.0:
        how = "from the waves' height and period" if waves.is_computed else "by class"
        parts.append(f"{height_text(waves.margin_m, settings, 2)} for run-up ({how})")
    return f"Taken off: {', '.join(parts)}."


def _legs_hint(dossier: Dossier, said: list[Leg]) -> str:
    unsaid = [leg.name for leg in dossier.legs if is_tidal(leg) and leg not in said]
    if unsaid:
        return f"Nobody said whether the sea can shut: {', '.join(unsaid)}."
    if not said:
        return "No leg of this location is said to be shut by the sea."
    return ""


def source_lines(
    source: TideSource, facts: TideFacts, settings: Settings
) -> tuple[str, ...]:
    """Port, datum, origin and reach of a source, and what it leaves out."""
    location = facts.dossier.location
    given = f"printed in {source.unit}, {source.zone} time"
    if isinstance(source.curve, HarmonicCurve):
        given = "computed in UTC"
    lines = [
        f"{source.name}: heights above {source.datum}, {given}. "
        f"Source: {source.origin}.",
        *station_lines(location, source, settings),
    ]
    if source.reach is not None and not source.covers(facts.day):
        ends = (source.reach.start, source.reach.stop)
        texts = [_moment(instant, location.zone, settings) for instant in ends]
        lines.append(f"The table reaches from {texts[0]} to {texts[1]}.")
    is_harmonic = isinstance(source.curve, HarmonicCurve)
    if source.is_distorted is not False and not is_harmonic:
        lines.append(_why_no_curve(source, facts))
    lines.append(WEATHER)
    return tuple(lines)


def _moment(instant: datetime, zone: str, settings: Settings) -> str:
    day = short_date_text(local_date(instant, zone))
    return f"{clock_text(instant, zone, settings)} on {day}"


def _why_no_curve(source: TideSource, facts: TideFacts) -> str:
    if isinstance(source.curve, HarmonicCurve):
        return why_no_curve(source, facts.margins)
    if source.is_distorted:
        return "A shallow or estuarine port: nothing between the turns can be told."
    if source.is_distorted is None:
        return (
            "Nobody said whether the port is shallow or estuarine, so nothing between "
            "the turns can be told."
        )
    return "The turns lie too far apart there: one is missing."


def _up(instant: datetime) -> datetime:
    whole = _down(instant)
    return whole if whole == instant else whole + MINUTE


def _down(instant: datetime) -> datetime:
    epoch = datetime(1970, 1, 1, tzinfo=UTC)
    return instant - (instant - epoch) % timedelta(minutes=1)
