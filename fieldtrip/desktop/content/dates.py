"""What the search for dates says: windows, or what stands in the way, in words."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from uuid import UUID

from fieldtrip.arrays import Array
from fieldtrip.errors import UserError
from fieldtrip.places.records import Subject, VantagePoint
from fieldtrip.planning.planned import trip_test
from fieldtrip.settings import Settings
from fieldtrip.times import Span, local_date, zone_of
from fieldtrip.trips.conditions import NotKnown
from fieldtrip.trips.date_search import (
    DatesFound,
    DateWindow,
    Fit,
    search_dates,
    situation_of_search,
)
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.near_misses import NearMiss
from fieldtrip.trips.records import DateSearch, Stop, Trip
from fieldtrip.trips.wanted import Alignment, LightFrom, TripPossible, WayOpen
from fieldtrip.wanted_words import condition_text
from fieldtrip.wording import (
    count_text,
    date_text,
    duration_text,
    height_text,
    nearest_minute,
    number_text,
    short_date_text,
    when_text,
    window_text,
)

COLUMNS = ("Day", "From and to", "Lasts", "Best at", "Tightest", "Not known")
NEAR_COLUMNS = (
    "Day", "From and to", "Lasts", "Nearest at", "Fails by", "What fails",
)  # fmt: skip
MOST_SHOWN = 2_000
UNNAMED = "New search"
LEVEL = (
    "Alignments are over a level horizon: no heights of the ground are at hand for "
    "this place, and what hides the sky there is not known."
)
_LIGHT_AHEAD = timedelta(days=366)
_PLANS_AHEAD = timedelta(days=30)  # a plan is worked out for each day
_LONGEST_STOP = timedelta(hours=4)  # longer windows are no time to stand in one place


@dataclass(frozen=True, slots=True, eq=False)
class KnownSkyline:
    """The ground against the sky, in degrees at even azimuths from north."""

    surely_deg: Array  # nan where heights are missing on the way
    least_deg: Array  # of the ground that is known: as high as this, or higher


SkylineOf = Callable[[VantagePoint | Subject], KnownSkyline | None]


@dataclass(frozen=True, slots=True)
class DateRow:
    """One window, as it stands in the table, and what sorts its columns."""

    texts: tuple[str, ...]  # as COLUMNS
    keys: tuple[object, ...]  # the same, to be sorted by
    day: date
    best: datetime
    span: Span
    hint: str  # how each condition is met


@dataclass(frozen=True, slots=True)
class DatesContent:
    """Everything that the answer to a search shows."""

    heading: str
    rows: tuple[DateRow, ...] = ()  # best first
    said: tuple[str, ...] = ()  # what is not known, near misses, clashes
    near: tuple[DateRow, ...] = ()  # near misses, nearest first, to go to
    found: DatesFound | None = None


@dataclass(frozen=True, slots=True)
class Asked:
    """A search with all that it is computed from."""

    dossier: Dossier
    search: DateSearch
    settings: Settings
    trip: Trip | None = None  # whose sea, pace and party count
    skyline_of: SkylineOf | None = None  # reads files
    now: datetime | None = None  # for which trips are tried; None: they are not


def new_search(
    dossier: Dossier,
    today: date,
    vantage_point_id: UUID | None,
    subject_id: UUID | None,
) -> DateSearch:
    """A search of the coming year in which nothing is asked for yet."""
    return DateSearch(
        location_id=dossier.location.id,
        name=UNNAMED,
        first_day=today,
        last_day=today + _LIGHT_AHEAD,
        conditions=(),
        vantage_point_id=vantage_point_id,
        subject_id=subject_id,
    )


def search_for_stop(dossier: Dossier, stop: Stop, today: date) -> DateSearch:
    """A search of the coming year for what a stop needs, for as long as it needs it."""
    spot = by_id(dossier.vantage_points, stop.vantage_point_id)
    search = new_search(dossier, today, None if spot is None else spot.id, None)
    return replace(
        search,
        name=UNNAMED if spot is None else f"Light for {spot.name}",
        conditions=stop.conditions,
        subject_id=stop.subject_id,
        least_min=max(1.0, stop.least_min),
    )


def find_dates(asked: Asked, progress: Callable[[float], None]) -> DatesContent:
    """Search, and say what was found.  Raises `UserError` for what cannot be asked."""
    search, dossier = asked.search, asked.dossier
    faults = search.faults()
    if faults:
        raise UserError(" ".join(faults))
    situation = situation_of_search(search, dossier)
    around = _skyline(asked, situation.vantage_point)
    beyond = _skyline(asked, situation.subject)
    situation = replace(
        situation,
        trip=asked.trip,
        skyline_deg=None if around is None else around.surely_deg,
        skyline_least_deg=None if around is None else around.least_deg,
        subject_skyline_deg=None if beyond is None else beyond.surely_deg,
        subject_skyline_least_deg=None if beyond is None else beyond.least_deg,
        trip_possible=None if asked.now is None else trip_test(dossier, asked.now),
    )
    found = search_dates(
        search.conditions,
        situation,
        least=timedelta(minutes=search.least_min),
        progress=progress,
    )
    content = dates_content(found, asked)
    is_level = around is None and _any_aligned(search)
    return replace(content, said=(*content.said, LEVEL)) if is_level else content


def _any_aligned(search: DateSearch) -> bool:
    return any(isinstance(each, Alignment) for each in search.conditions)


def _skyline(asked: Asked, spot: VantagePoint | Subject | None) -> KnownSkyline | None:
    if spot is None or asked.skyline_of is None:
        return None
    try:
        return asked.skyline_of(spot)
    except UserError:  # a file that is gone: then the skyline is not known
        return None


def dates_content(found: DatesFound, asked: Asked) -> DatesContent:
    """The answer in words."""
    names = names_of(asked.dossier)
    zone, settings = asked.dossier.location.zone, asked.settings
    unknown = _unknown_words(found, names, settings)
    if (
        asked.trip is None
        and asked.dossier.trips
        and any(isinstance(each.condition, WayOpen) for each in found.unknown)
    ):
        unknown.append("With the sea of a trip, chosen above, more may be known.")
    if found.windows:
        shown = found.windows[:MOST_SHOWN]
        days = len({local_date(each.best, zone) for each in found.windows})
        heading = (
            f"{count_text(len(found.windows), 'window')} on "
            f"{count_text(days, 'day')}, best first{_doubt(found)}. Times of {zone}."
        )
        left = len(found.windows) - len(shown)
        more = [f"The {left} least good are not shown."] if left else []
        rows = tuple(_row(each, names, zone, settings) for each in shown)
        return DatesContent(heading, rows, (*more, *unknown), (), found)
    near = tuple(_near_row(each, names, zone, settings) for each in found.near_misses)
    said = [*unknown]
    for clash in found.clashes:
        words = [condition_text(each, names, settings) for each in clash.conditions]
        said.append(
            f"Never in these days: {words[0]}."
            if len(words) == 1
            else f"Never at once in these days: {' and '.join(words)}."
        )
    heading = "No day brings all of it together."
    if near:
        heading += f" Nearest misses first; times of {zone}."
    elif found.unknown and not found.clashes:
        heading = "Nothing can be found: what is asked for is not known here."
    return DatesContent(heading, (), tuple(said), near, found)


def _doubt(found: DatesFound) -> str:
    """In how many windows something is not known, to go on a sentence."""
    doubtful = sum(1 for each in found.windows if each.unknown)
    if not doubtful:
        return ""
    if doubtful == len(found.windows):
        return "; in none of them is everything known"
    return f"; in {doubtful} of them something is not known"


def next_dates_words(
    found: DatesFound, search: DateSearch, zone: str, now: datetime, most: int = 3
) -> str:
    """The coming windows of a kept search, as in ``Dry sand: Sat 14 Nov, …``."""
    coming = sorted(
        (each for each in found.windows if each.span.stop > now),
        key=lambda each: each.span.start,
    )
    days: list[str] = []
    for window in coming:
        day = short_date_text(local_date(max(window.span.start, now), zone))
        doubt = " ?" if window.unknown else ""
        if f"{day}{doubt}" not in days:
            days.append(f"{day}{doubt}")
        if len(days) == most:
            break
    if not days:
        return f"“{search.name}”: none by {date_text(search.last_day)}"
    more = " …" if len(coming) > len(days) else ""
    return f"“{search.name}”: {', '.join(days)}{more}"


def next_dates(
    dossier: Dossier,
    vantage_point_id: UUID,
    today: date,
    now: datetime,
    settings: Settings,
    skyline_of: SkylineOf | None,
    progress: Callable[[float], None],
) -> tuple[tuple[UUID, str], ...]:
    """Each kept search of a vantage point, by its id, with its coming dates.

    Within a year; where a plan is wanted, within a month.
    """
    searches = [s for s in dossier.searches if s.vantage_point_id == vantage_point_id]
    found = []
    for number, search in enumerate(searches):
        first = max(search.first_day, today)
        has_plan = any(isinstance(each, TripPossible) for each in search.conditions)
        ahead = _PLANS_AHEAD if has_plan else _LIGHT_AHEAD
        last = min(search.last_day, first + ahead)
        if last < today:
            found.append((search.id, f"“{search.name}”: its last day is over"))
            continue
        coming = replace(search, first_day=first, last_day=last)

        def tell(share: float, done: int = number) -> None:
            progress((done + share) / len(searches))

        try:
            asked = Asked(dossier, coming, settings, skyline_of=skyline_of, now=now)
            content = find_dates(asked, tell)
        except UserError as error:
            found.append((search.id, f"“{search.name}”: {error}"))
            continue
        if content.found is not None:
            zone = dossier.location.zone
            words = next_dates_words(content.found, coming, zone, now)
            found.append((search.id, words))
    return tuple(found)


def names_of(dossier: Dossier) -> dict[UUID, str]:
    """What conditions may name."""
    routes = {route.id: route.name for route in dossier.routes}
    return {**routes, **{trip.id: trip.name for trip in dossier.trips}}


def trip_on(
    dossier: Dossier, search: DateSearch, row: DateRow
) -> tuple[Trip, Stop] | None:
    """A new trip on a found day, with a stop in the window; None without a spot.

    Of a window of many hours the stop takes an hour about its best instant.
    """
    spot = by_id(dossier.vantage_points, search.vantage_point_id)
    if spot is None:
        return None
    span = row.span
    if span.length > _LONGEST_STOP:
        half = timedelta(minutes=30)
        start = min(max(row.best - half, span.start), span.stop - 2 * half)
        span = Span(start, start + 2 * half)
    day = local_date(span.start, dossier.location.zone)
    name = spot.name if search.name == UNNAMED else search.name
    trip = Trip(location_id=dossier.location.id, name=name, day=day)
    stop = Stop(
        trip_id=trip.id,
        number=1,
        vantage_point_id=spot.id,
        subject_id=search.subject_id,
        arrive=nearest_minute(span.start),
        leave=nearest_minute(span.stop),
        conditions=search.conditions,
    )
    return trip, stop


def _row(
    window: DateWindow, names: Mapping[UUID, str], zone: str, settings: Settings
) -> DateRow:
    length = window.span.length
    tightest = window.tightest
    tight = "" if tightest is None else _fit_words(tightest, names, settings)
    unknown = "; ".join(
        condition_text(each.condition, names, settings) for each in window.unknown
    )
    hints = [_fit_words(fit, names, settings) for fit in window.fits]
    hints += [f"not known: {each.why}" for each in window.unknown]
    return DateRow(
        texts=(
            *_when(window.span, window.best, zone, settings),
            tight,
            unknown,
        ),
        keys=(
            window.span.start,
            window.span.start.astimezone(zone_of(zone)).time(),
            -length,
            window.best,
            1.0 if tightest is None else tightest.share,
            unknown,
        ),
        day=local_date(window.best, zone),
        best=window.best,
        span=window.span,
        hint="\n".join(hints),
    )


def _near_row(
    miss: NearMiss, names: Mapping[UUID, str], zone: str, settings: Settings
) -> DateRow:
    what = condition_text(miss.condition, names, settings)
    by = _amount(miss.by, miss.unit, settings)
    if miss.unit == "min" and miss.by < 2.5:
        by = f"{number_text(60.0 * miss.by, 0)} s"
    if miss.is_too_short:
        what = "it does not last long enough"
    return DateRow(
        texts=(
            *_when(miss.span, miss.at, zone, settings),
            by,
            what,
        ),
        keys=(
            miss.span.start,
            miss.span.start.astimezone(zone_of(zone)).time(),
            -miss.span.length,
            miss.at,
            (miss.unit, miss.by),
            what,
        ),
        day=local_date(miss.at, zone),
        best=miss.at,
        span=miss.span,
        hint=(
            f"All of it comes together, but for {by} less than is asked."
            if miss.is_too_short
            else f"All else comes together. Fails by {by}: {what}"
        ),
    )


def _when(
    span: Span, best: datetime, zone: str, settings: Settings
) -> tuple[str, str, str, str]:
    """The day on which a window begins, its ends, its length, and its best instant."""
    first = local_date(span.start, zone)
    # A window until midnight ends with the day before.
    last = local_date(span.stop - timedelta(milliseconds=1), zone)
    day = f"{short_date_text(first)} {first.year}"
    at = when_text(best, zone, settings, first)
    if span.length < timedelta(seconds=150):  # whole minutes tell too little of it
        seconds = span.length / timedelta(seconds=1)
        return day, f"about {at}", f"{number_text(seconds, 0)} s", at
    if span.length < timedelta(hours=24):
        return day, window_text(span, zone, settings), duration_text(span.length), at
    days = span.length / timedelta(days=1)
    text = duration_text(span.length)
    if days >= 2:
        text = f"{number_text(days, 1).removesuffix('.0')} days"
    ends = f"to {short_date_text(last)}" if last > first else "all day"
    if last.year != first.year:
        ends = f"{ends} {last.year}"
    return day, ends, text, at


def _fit_words(fit: Fit, names: Mapping[UUID, str], settings: Settings) -> str:
    what = condition_text(fit.condition, names, settings)
    if fit.is_by_days:
        return what
    within = f"{_amount(fit.margin, fit.unit, settings)} to spare"
    if fit.value is None:
        return f"{what}: {within}"
    if isinstance(fit.condition, Alignment):
        side = "left" if fit.value < 0.0 else "right"
        off = f"{_amount(abs(fit.value), fit.unit, settings)} to the {side} of it"
        if abs(fit.value) < 0.005:
            off = "right on it"
        return f"{what}: {off}, {within}"
    if isinstance(fit.condition, LightFrom):
        off = _amount(fit.value, fit.unit, settings)
        return f"{what}: the Sun {off} off the line of sight, {within}"
    return f"{what}: {_amount(fit.value, fit.unit, settings)}, {within}"


def _amount(value: float, unit: str, settings: Settings) -> str:
    match unit:
        case "m":
            return height_text(value, settings, 2)
        case "min":
            return duration_text(timedelta(minutes=value))
        case "%":
            return f"{number_text(value, 0)} %"
    return f"{number_text(value, 2 if abs(value) < 10.0 else 0)}{unit}"


def _unknown_words(
    found: DatesFound, names: Mapping[UUID, str], settings: Settings
) -> list[str]:
    return [
        f"{_how_far(each, found)}: "
        f"{condition_text(each.condition, names, settings)}. {each.why}"
        for each in found.unknown
    ]


def _how_far(unknown: NotKnown, found: DatesFound) -> str:
    is_everywhere = bool(found.windows) and all(
        any(each.condition == unknown.condition for each in window.unknown)
        for window in found.windows
    )
    if is_everywhere or unknown.spans == (found.span,):
        return "Not known"
    return "Not known for a part of the time"
