"""What the Tide page says: the day's turns, the minute's height and the windows."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from uuid import UUID

from fieldtrip.desktop.content.day_clock import MINUTE, clock_line
from fieldtrip.desktop.content.tide_day import (
    WEATHER,
    LegTide,
    covered_part,
    leg_tide,
    lowest_pressure_hpa,
    table_of_day,
)
from fieldtrip.places.records import Leg
from fieldtrip.safety.crossings import is_tidal
from fieldtrip.safety.limits import Limits
from fieldtrip.settings import Settings
from fieldtrip.tides.curve import Confidence, height_at
from fieldtrip.tides.records import TideTable
from fieldtrip.times import Span, local_date, local_day
from fieldtrip.trips.dossier import Dossier
from fieldtrip.wording import (
    clock_text,
    date_text,
    duration_text,
    height_text,
    nearest_minute,
    short_date_text,
)

NO_LOCATION = "Choose a location on the left to see its tide."
NO_TABLE = "No tide table for this day. Paste the printed one: Trip ▸ Type tide table…"
_CLOSE = "\N{NO-BREAK SPACE}"  # keeps a number and its unit on one line
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
    source: tuple[str, ...] = ()
    message: str = ""  # in place of the table


def tide_day(
    dossier: Dossier | None, leg_id: UUID | None, day: date, settings: Settings
) -> TideDay:
    """Compute and word the tide of a day; `leg_id`, where chosen, comes first."""
    if dossier is None:
        return TideDay(message=NO_LOCATION)
    zone, limits = dossier.location.zone, Limits()
    span = local_day(day, zone)
    pressure_hpa = lowest_pressure_hpa(dossier.forecasts, span)
    said = [leg for leg in dossier.legs if leg.is_tidal or leg.shut_above_m is not None]
    said.sort(key=lambda leg: leg.id != leg_id)
    legs = tuple(
        _leg_windows(
            leg_tide(leg, dossier.tide_tables, span, limits.margins, pressure_hpa),
            span,
            zone,
            settings,
            limits,
            pressure_hpa,
        )
        for leg in said
    )
    hint = _legs_hint(dossier, said)
    table = table_of_day(dossier.tide_tables, span)
    if table is None:
        return TideDay(legs=legs, legs_hint=hint, message=NO_TABLE)
    return TideDay(
        heading=f"{date_text(day)}, times in {clock_line(day, zone)}",
        rows=tuple(
            TurnRow(
                "high water" if turn.is_high else "low water",
                clock_text(turn.instant, zone, settings),
                height_text(turn.height_m, settings, 2),
                min(nearest_minute(turn.instant), span.stop - MINUTE),
            )
            for turn in table.turns
            if span.start <= turn.instant < span.stop
        ),
        legs=legs,
        legs_hint=hint,
        source=_source(table, span, zone, settings),
    )


def tide_minute(
    dossier: Dossier | None, day: date, instant: datetime, settings: Settings
) -> str:
    """The height at a minute with its margin and confidence; empty without a table."""
    if dossier is None:
        return ""
    zone = dossier.location.zone
    table = table_of_day(dossier.tide_tables, local_day(day, zone))
    if table is None:
        return ""
    clock, limits = clock_text(instant, zone, settings), Limits()
    found = height_at(table, instant, limits.margins)
    if found is None:
        return f"At {clock} the height is not known: the table does not reach so far."
    if found.confidence is Confidence.UNKNOWN:
        return f"At {clock} the height is not known. {_why_no_curve(table)}"
    weather_m = limits.margins.weather_m(table.exposure)
    margin = height_text(found.margin_m, settings, 2).replace(" ", _CLOSE)
    return (
        f"At {clock} the tide stands at {height_text(found.height_m, settings)} above "
        f"{table.datum}, ±{_CLOSE}{margin}; "
        f"{_CONFIDENCE[found.confidence]}. Weather may add "
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


def _leg_windows(
    tide: LegTide,
    day: Span,
    zone: str,
    settings: Settings,
    limits: Limits,
    pressure_hpa: float | None,
) -> LegWindows:
    if not tide.is_known:
        state = f"? not known. {tide.unknown}"
        return LegWindows(tide.leg.name, state, is_known=False, lines=(WEATHER,))
    spans = [span for span in tide.windows if _up(span.start) < _down(span.stop)]
    if spans:
        texts = [window_text(span, day, zone, settings) for span in spans]
        state = f"Open with all margins: {'; '.join(texts)}."
    else:
        state = "Not open on this day with all margins."
        if tide.bare:
            bare = [window_text(span, day, zone, settings) for span in tide.bare]
            state += f" The bare curve says {'; '.join(bare)}: do not rely on it."
    lines = [_margins(tide, day, settings, limits, pressure_hpa)]
    reserve = duration_text(limits.tide_reserve)
    lines.append(f"Be off it {reserve} before it shuts, on a rising tide.")
    if tide.is_part:
        lines.append("Not known for the hours of this day outside the tide table.")
    lines.append(WEATHER)
    return LegWindows(tide.leg.name, state, is_known=True, lines=tuple(lines))


def _margins(
    tide: LegTide,
    day: Span,
    settings: Settings,
    limits: Limits,
    pressure_hpa: float | None,
) -> str:
    """What is taken off the closing level, part by part."""
    level_m = tide.leg.shut_above_m or 0.0
    found = [
        limits.margins.prediction_m(a, b)
        for table in tide.tables
        for a, b in pairwise(table.turns)
        if a.instant < day.stop and b.instant > day.start
    ]
    least = height_text(min(found), settings, 2)
    most = height_text(max(found), settings, 2)
    prediction = most if least == most else f"{least} to {most}"
    table = tide.tables[0]
    weather_m = limits.margins.weather_m(table.exposure, pressure_hpa)
    where = str(table.exposure) if table.exposure else "exposure not said: the largest"
    if weather_m > limits.margins.weather_m(table.exposure):
        where += f", pressure {pressure_hpa:.0f} hPa"
    return (
        f"It shuts above {height_text(level_m, settings, 2)} ({tide.leg.shut_datum}). "
        f"Taken off: {prediction} for the prediction, "
        f"{height_text(weather_m, settings, 2)} for the weather ({where})."
    )


def _legs_hint(dossier: Dossier, said: list[Leg]) -> str:
    unsaid = [leg.name for leg in dossier.legs if is_tidal(leg) and leg not in said]
    if unsaid:
        return f"Nobody said whether the sea can shut: {', '.join(unsaid)}."
    if not said:
        return "No leg of this location is said to be shut by the sea."
    return ""


def _source(
    table: TideTable, day: Span, zone: str, settings: Settings
) -> tuple[str, ...]:
    lines = [
        f"{table.port}: heights above {table.datum}, printed in {table.unit}, "
        f"{table.zone} time. Source: {table.source}."
    ]
    if covered_part(table, day) != day:
        first, last = table.turns[0].instant, table.turns[-1].instant
        texts = [_moment(instant, zone, settings) for instant in (first, last)]
        lines.append(f"The table reaches from {texts[0]} to {texts[1]}.")
    if table.is_distorted is not False:
        lines.append(_why_no_curve(table))
    lines.append(WEATHER)
    return tuple(lines)


def _moment(instant: datetime, zone: str, settings: Settings) -> str:
    day = short_date_text(local_date(instant, zone))
    return f"{clock_text(instant, zone, settings)} on {day}"


def _why_no_curve(table: TideTable) -> str:
    if table.is_distorted:
        return "A shallow or estuarine port: nothing between the turns can be told."
    return (
        "Nobody said whether the port is shallow or estuarine, so nothing between "
        "the turns can be told."
    )


def _up(instant: datetime) -> datetime:
    whole = _down(instant)
    return whole if whole == instant else whole + MINUTE


def _down(instant: datetime) -> datetime:
    epoch = datetime(1970, 1, 1, tzinfo=UTC)
    return instant - (instant - epoch) % timedelta(minutes=1)
