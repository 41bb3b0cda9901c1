"""The tide of a month, day by day: range, springs and neaps, and a chosen hour."""

from __future__ import annotations

import calendar
from dataclasses import dataclass
from datetime import date, datetime, time

import numpy as np

from fieldtrip.almanac.tide_day import WEATHER
from fieldtrip.almanac.tide_station import class_of, ranges_of
from fieldtrip.errors import UserError
from fieldtrip.settings import Settings
from fieldtrip.sky.events import EventName, day_events
from fieldtrip.sky.site import Site
from fieldtrip.tides.curve import Confidence
from fieldtrip.tides.extremes import RangeClass
from fieldtrip.tides.sources import TideSource
from fieldtrip.times import Span, at_clock, local_day, to_instant
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.tide_sources import source_for, sources_of
from fieldtrip.wording import clock_text, height_text

COLUMNS = ("Day", "Range", "Water", "Height then")
_LARGE = (RangeClass.SPRINGS, RangeClass.TROPIC)
_SMALL = (RangeClass.NEAPS, RangeClass.EQUATORIAL)
UNKNOWN = "?"


@dataclass(frozen=True, slots=True)
class MonthRow:
    """One day."""

    day: date
    texts: tuple[str, ...]  # one for each column
    is_large: bool  # springs, or the tropic tides where one high water a day prevails


@dataclass(frozen=True, slots=True)
class TideMonth:
    """What the month's table says."""

    heading: str = ""
    rows: tuple[MonthRow, ...] = ()
    note: str = ""


def tide_month(
    dossier: Dossier | None, day: date, clock: time | None, settings: Settings
) -> TideMonth:
    """The days of a month; heights at a clock time, or at sunset without one."""
    if dossier is None:
        return TideMonth()
    sources = sources_of(dossier)
    _, count = calendar.monthrange(day.year, day.month)
    days = [day.replace(day=number) for number in range(1, count + 1)]
    rows = tuple(_row(dossier, sources, each, clock, settings) for each in days)
    then = "at sunset" if clock is None else f"at {clock:%H:%M}"
    return TideMonth(
        heading=f"{day:%B %Y}, {then}, times in {dossier.location.zone}",
        rows=rows,
        note="Range: the largest rise or fall of the day; water: its lowest and "
        f"highest turn. {WEATHER}",
    )


def _row(
    dossier: Dossier,
    sources: tuple[TideSource, ...],
    day: date,
    clock: time | None,
    settings: Settings,
) -> MonthRow:
    zone = dossier.location.zone
    span = local_day(day, zone)
    label = f"{day:%a} {day.day}"
    source = source_for(sources, span)
    if source is None:
        unknown = [UNKNOWN] * (len(COLUMNS) - 1)
        return MonthRow(day, (label, *unknown), is_large=False)
    ranges_m = ranges_of(source, span)
    found = class_of(source, ranges_m)
    turns = [turn.height_m for turn in source.curve.turns(span)]
    then = _moment(dossier, day, clock)
    return MonthRow(
        day,
        (
            label,
            _range_words(ranges_m, found, settings),
            _reach_words(turns, settings),
            _height_words(source, then, zone, settings, with_time=clock is None),
        ),
        is_large=found in _LARGE,
    )


def _range_words(
    ranges_m: tuple[float, ...], found: RangeClass | None, settings: Settings
) -> str:
    if not ranges_m:
        return UNKNOWN
    text = height_text(max(ranges_m), settings)
    return f"{text}, {found}" if found in (*_LARGE, *_SMALL) else text


def _reach_words(heights_m: list[float], settings: Settings) -> str:
    """As in ``0.3 to 4.1 m``."""
    if not heights_m:
        return UNKNOWN
    least, _ = height_text(min(heights_m), settings).rsplit(" ", 1)
    return f"{least} to {height_text(max(heights_m), settings)}"


def _moment(dossier: Dossier, day: date, clock: time | None) -> datetime | None:
    """The clock time on a day, or sunset; None where there is none."""
    zone = dossier.location.zone
    try:
        if clock is not None:
            return at_clock(day, clock, zone)
        events = day_events(Site(dossier.location.position), day, zone)
    except UserError:  # the clock skips it, or the Sun is not known in that year
        return None
    found = [e.instant for e in events.events if e.name is EventName.SUNSET]
    return found[-1] if found else None


def _height_words(
    source: TideSource,
    at: datetime | None,
    zone: str,
    settings: Settings,
    *,
    with_time: bool,
) -> str:
    if at is None:
        return "none"
    moment = Span(at, at)
    is_known = source.covers(moment)
    if not is_known or source.curve.confidence(moment) is Confidence.UNKNOWN:
        return UNKNOWN
    height_m = float(source.curve.heights_m(np.array([to_instant(at)]))[0])
    text = height_text(height_m, settings)
    return f"{text} ({clock_text(at, zone, settings)})" if with_time else text
