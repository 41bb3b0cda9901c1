"""The commands that search for dates: alignments, and everything that is wanted."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Sequence
from datetime import UTC, date, datetime
from functools import partial
from pathlib import Path
from typing import Any

from fieldtrip.errors import UserError
from fieldtrip.exchange.dates_calendar import dates_calendar
from fieldtrip.exchange.dates_csv import dates_csv
from fieldtrip.exchange.dates_request import DatesRequest, read_request
from fieldtrip.exchange.request_file import request_text
from fieldtrip.settings import Settings
from fieldtrip.sky.alignment import Aim, AlignedWindow, alignments
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.site import Site
from fieldtrip.times import Span
from fieldtrip.trips.conditions import NotKnown
from fieldtrip.trips.date_search import (
    DateWindow,
    Fit,
    search_dates,
    search_span,
)
from fieldtrip.trips.near_misses import NearMiss
from fieldtrip.trips.wanted import Condition
from fieldtrip.trips.wanted_json import condition_to_json
from fieldtrip.wanted_words import condition_text

Answer = dict[str, Any]
_BODIES = {body.name.lower(): body for body in Body}


def add_dates(
    topics: Any,
    site: Callable[[argparse.Namespace], Site],
    number: Callable[[str, str, float, float], float],
    day: Callable[[str], date],
) -> None:
    """Add ``compute align`` and ``compute dates``; the readers raise `UserError`."""
    align = topics.add_parser(
        "align",
        help="when Sun, Moon or galactic centre stand near a bearing",
        allow_abbrev=False,
    )
    align.add_argument("--lat", required=True, help="latitude, north positive")
    align.add_argument("--lon", required=True, help="longitude, east positive")
    align.add_argument("--elevation", default="0", help="metres above sea level")
    align.add_argument("--body", required=True, choices=list(_BODIES))
    align.add_argument("--bearing", required=True, help="true, in degrees")
    align.add_argument("--tolerance", required=True, help="degrees to either side")
    align.add_argument("--altitude-min", required=True, help="apparent, in degrees")
    align.add_argument("--altitude-max", required=True, help="apparent, in degrees")
    align.add_argument("--from", dest="first", required=True, metavar="DATE")
    align.add_argument("--to", dest="last", required=True, metavar="DATE")

    def answer_align(options: argparse.Namespace) -> Answer:
        span = search_span(day(options.first), day(options.last), "UTC")
        aim = _aim(options, number)
        return compute_align(_BODIES[options.body], site(options), span, aim)

    align.set_defaults(answer=answer_align, status=_fine)
    dates = topics.add_parser(
        "dates",
        help="when light, tide, Moon, way and free days come together",
        allow_abbrev=False,
    )
    dates.add_argument("--request", required=True, type=Path, metavar="FILE.json")
    dates.add_argument("--csv", type=Path, metavar="FILE.csv")
    dates.add_argument("--calendar", type=Path, metavar="FILE.ics")
    dates.set_defaults(answer=compute_dates, status=_fine)


def compute_align(body: Body, site: Site, span: Span, aim: Aim) -> Answer:
    """Answer ``compute align``: every window of a span."""
    windows = alignments(body, site, span.start, span.stop, aim)
    return {"windows": [_aligned(window) for window in windows]}


def compute_dates(options: argparse.Namespace) -> Answer:
    """Answer ``compute dates``; the windows go to files as well, if asked."""
    request = read_request(request_text(options.request))
    found = search_dates(request.conditions, request.situation, least=request.least)
    words = partial(_words, request)
    if options.csv is not None:
        table = dates_csv(found, request.situation.zone, words)
        _write(options.csv, table.encode())
    if options.calendar is not None:
        title = f"{request.situation.location.name}: dates"
        place = request.situation.vantage_point or request.situation.location
        calendar = dates_calendar(found.windows, place, title, words, datetime.now(UTC))
        _write(options.calendar, calendar)
    return {
        "zone": request.situation.zone,
        "span": _ends(found.span),
        "windows": [_window(each, request.conditions) for each in found.windows],
        "unknown": [_unknown(each, request.conditions) for each in found.unknown],
        "near_misses": [_near(each, request.conditions) for each in found.near_misses],
        "never_together": [
            [_named(condition, request.conditions) for condition in clash.conditions]
            for clash in found.clashes
        ],
    }


def _aim(
    options: argparse.Namespace, number: Callable[[str, str, float, float], float]
) -> Aim:
    tolerance_deg = number("--tolerance", options.tolerance, 0.0, 90.0)
    if tolerance_deg <= 0.0:
        raise UserError("--tolerance must be above 0 degrees.")
    low_deg = number("--altitude-min", options.altitude_min, -90.0, 90.0)
    high_deg = number("--altitude-max", options.altitude_max, -90.0, 90.0)
    if low_deg >= high_deg:
        raise UserError("--altitude-min must lie below --altitude-max.")
    return Aim(
        bearing_deg=number("--bearing", options.bearing, -360.0, 360.0) % 360.0,
        tolerance_deg=tolerance_deg,
        altitude_min_deg=low_deg,
        altitude_max_deg=high_deg,
    )


def _aligned(window: AlignedWindow) -> Answer:
    return {
        **_ends(Span(window.start, window.stop)),
        "best": {
            "time": _iso(window.best),
            "azimuth_deg": round(window.azimuth_deg, 6),
            "apparent_altitude_deg": round(window.apparent_altitude_deg, 6),
        },
    }


def _window(window: DateWindow, asked: Sequence[Condition]) -> Answer:
    tightest = window.tightest
    return {
        **_ends(window.span),
        "best": _iso(window.best),
        "score": round(window.score, 4),
        "tightest": tightest and _named(tightest.condition, asked),
        "conditions": [_fit(fit, asked) for fit in window.fits],
        "unknown": [_unknown(each, asked) for each in window.unknown],
    }


def _fit(fit: Fit, asked: Sequence[Condition]) -> Answer:
    found = {**_named(fit.condition, asked), "unit": fit.unit}
    if fit.is_by_days:
        return {**found, "value": None, "margin": None, "share": None}
    return {
        **found,
        "value": None if fit.value is None else round(fit.value, 4),
        "margin": round(fit.margin, 4),
        "share": round(fit.share, 4),
    }


def _near(miss: NearMiss, asked: Sequence[Condition]) -> Answer:
    return {
        **_ends(miss.span),
        "nearest": _iso(miss.at),
        "fails": _named(miss.condition, asked),
        "by": round(miss.by, 4),
        "unit": miss.unit,
        "is_too_short": miss.is_too_short,
    }


def _unknown(each: NotKnown, asked: Sequence[Condition]) -> Answer:
    return {**_named(each.condition, asked), "why": each.why}


def _named(condition: Condition, asked: Sequence[Condition]) -> Answer:
    """A condition by its place in the request, counted from 1."""
    want = condition_to_json(condition)["want"]
    return {"condition": asked.index(condition) + 1, "want": want}


def _ends(span: Span) -> Answer:
    return {"start": _iso(span.start), "end": _iso(span.stop)}


def _iso(instant: datetime) -> str:
    at = instant.astimezone(UTC).isoformat(timespec="milliseconds")
    return at.replace("+00:00", "Z")


def _words(request: DatesRequest, condition: Condition) -> str:
    names = {route.id: route.name for route in request.situation.dossier.routes}
    return condition_text(condition, names, Settings())


def _write(path: Path, content: bytes) -> None:
    try:
        path.write_bytes(content)
    except OSError as error:
        raise UserError(f"{path} cannot be written: {error.strerror}.") from error


def _fine(_answer: Answer) -> int:
    return 0
