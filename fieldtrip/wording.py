"""Numbers and instants put into words, in the user's units and the place's time."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, time, timedelta

from fieldtrip.places.closures import Force, closure_state, has_expired
from fieldtrip.places.records import Closure, ClosureKind, Permit, StartPlace
from fieldtrip.settings import LengthUnit, Settings, SpeedUnit
from fieldtrip.times import Span, local_day, zone_of

METRES_PER_FOOT = 0.3048  # exact, by the 1959 agreement
METRES_PER_MILE = 1609.344  # exact, by the same
METRES_PER_SECOND_IN = {
    SpeedUnit.METRE_PER_SECOND: 1.0,
    SpeedUnit.KNOT: 1852.0 / 3600.0,
    SpeedUnit.MILE_PER_HOUR: METRES_PER_MILE / 3600.0,
    SpeedUnit.KILOMETRE_PER_HOUR: 1.0 / 3.6,
}
_MOST_DECIMALS = 4
_WINDS = ("N", "NE", "E", "SE", "S", "SW", "W", "NW")


def height_text(height_m: float, settings: Settings, decimals: int = 1) -> str:
    """A height and its unit, as in ``1.8 m`` or ``5.9 ft``; minus as a true minus."""
    match settings.length_unit:
        case LengthUnit.METRE:
            value, unit = height_m, "m"
        case LengthUnit.FOOT:
            value, unit = height_m / METRES_PER_FOOT, "ft"
    return f"{number_text(value, decimals)} {unit}"


def distance_text(distance_m: float, settings: Settings) -> str:
    """A distance on the ground, to two or three figures: ``310 m``, ``2.4 km``."""
    match settings.length_unit:
        case LengthUnit.METRE:
            if distance_m < 995.0:
                return f"{_two_figures(distance_m)} m"
            return f"{distance_m / 1000.0:.1f} km"
        case LengthUnit.FOOT:
            if distance_m < 0.2 * METRES_PER_MILE:
                return f"{_two_figures(distance_m / METRES_PER_FOOT)} ft"
            return f"{distance_m / METRES_PER_MILE:.1f} mi"


def speed_text(speed_m_s: float, settings: Settings, decimals: int = 0) -> str:
    """A wind speed and its unit, as in ``13 m/s``."""
    value = speed_m_s / METRES_PER_SECOND_IN[settings.speed_unit]
    return f"{value:.{decimals}f} {settings.speed_unit}"


def speed_number(speed_m_s: float, settings: Settings, decimals: int = 0) -> str:
    """The same without its unit, for columns whose heading names it."""
    return f"{speed_m_s / METRES_PER_SECOND_IN[settings.speed_unit]:.{decimals}f}"


def speed_decimals(
    speed_m_s: float, limits_m_s: Iterable[float], settings: Settings
) -> int:
    """Decimals enough to tell a speed from each limit that it is not: 0, mostly."""
    others = [limit for limit in limits_m_s if limit != speed_m_s]
    decimals = 0
    while decimals < _MOST_DECIMALS and any(
        speed_number(speed_m_s, settings, decimals)
        == speed_number(other, settings, decimals)
        for other in others
    ):
        decimals += 1
    return decimals


def wind_text(from_deg: float) -> str:
    """The point of the compass that wind comes from, one of eight."""
    return _WINDS[round(from_deg / 45.0) % 8]


def bearing_text(bearing: float) -> str:
    """A true bearing in whole degrees, 0 to 359."""
    return f"{round(bearing) % 360}°"


def altitude_text(altitude_deg: float) -> str:
    """How far above or below the horizontal, as in ``3.4° up`` or ``2.0° down``."""
    if abs(altitude_deg) < 0.05:
        return "on the horizon"
    return f"{abs(altitude_deg):.1f}° {'up' if altitude_deg > 0 else 'down'}"


def clock_text(instant: datetime, zone: str, settings: Settings) -> str:
    """Time of day at the place, nearest minute, as in ``06:05`` or ``6:05 am``."""
    local = nearest_minute(instant).astimezone(zone_of(zone))
    if settings.clock_24h:
        return f"{local:%H:%M}"
    return f"{local:%I:%M %p}".lstrip("0").lower()


def span_text(span: Span, zone: str, settings: Settings) -> str:
    """From one time of day to another, as in ``15:05 to 17:50``."""
    start = clock_text(span.start, zone, settings)
    return f"{start} to {clock_text(span.stop, zone, settings)}"


def window_text(span: Span, zone: str, settings: Settings) -> str:
    """A passable window, its edges rounded to the safe side: later and earlier."""
    opens = span.start + timedelta(seconds=59, microseconds=999_999)
    shown = Span(_whole(opens), _whole(span.stop))
    return span_text(shown, zone, settings)


def when_text(instant: datetime, zone: str, settings: Settings, day: date) -> str:
    """Time of day, with the date where it is not `day`.

    One that the clock shows twice says which, as in ``01:30 BST``.
    """
    local = nearest_minute(instant).astimezone(zone_of(zone))
    clock = clock_text(instant, zone, settings)
    if local.replace(fold=1 - local.fold).utcoffset() != local.utcoffset():
        clock = f"{clock} {local:%Z}"
    if local.date() == day:
        return clock
    return f"{clock} on {short_date_text(local.date())}"


def date_text(day: date) -> str:
    """A day in full, as in ``Saturday 14 November 2026``."""
    return f"{day:%A} {day.day} {day:%B %Y}"


def short_date_text(day: date) -> str:
    """A day in short, as in ``Sat 14 Nov``."""
    return f"{day:%a} {day.day} {day:%b}"


def day_text(day: date, near: date) -> str:
    """A day without its weekday, and without its year where that is the one of `near`.

    As in ``31 July`` or ``28 February 2028``.
    """
    return f"{day.day} {day:%B}" if day.year == near.year else f"{day.day} {day:%B %Y}"


def plain_clock_text(clock: time, settings: Settings) -> str:
    """A time on a place's clock, of no day, as in ``08:00`` or ``8:00 am``."""
    if settings.clock_24h:
        return f"{clock:%H:%M}"
    return f"{clock:%I:%M %p}".lstrip("0").lower()


def closure_text(closure: Closure, day: date, settings: Settings) -> str:
    """What a closure does on a day, as in ``closed until 31 July``."""
    state = closure_state(closure, day)
    until = f" until {day_text(state.last_day, day)}" if state.last_day else ""
    match state.force:
        case Force.SHUT:
            return f"closed{until}" if until else "closed, its end not known"
        case Force.HOURS if closure.hours is not None:
            opens = plain_clock_text(closure.hours.opens, settings)
            shuts = plain_clock_text(closure.hours.shuts, settings)
            return f"open {opens} to {shuts} only{until}"
        case Force.NONE if state.next_day is not None:
            return f"not now, closed from {day_text(state.next_day, day)}"
        case Force.NONE:
            return "no longer in force"
    what = "hours" if closure.kind is ClosureKind.HOURS else "days"
    return f"its {what} not known{until}, may be closed"


def start_place_text(place: StartPlace, settings: Settings) -> str:
    """What a start is and when it is open, as in ``car park, open 08:00 to 18:30``."""
    if place.hours is not None:
        opens = plain_clock_text(place.hours.opens, settings)
        shuts = plain_clock_text(place.hours.shuts, settings)
        return f"{place.kind}, open {opens} to {shuts}"
    if place.is_always_open:
        return f"{place.kind}, never shuts"
    return f"{place.kind}, hours not known"


def permit_text(permit: Permit, day: date) -> str:
    """Whether a permit holds on a day, as in ``expired on 31 December 2026``."""
    if permit.expires is None:
        return "expiry not known"
    if has_expired(permit, day):
        return f"expired on {day_text(permit.expires, day)}"
    return f"holds until {day_text(permit.expires, day)}"


def zone_text(instant: datetime, zone: str) -> str:
    """What the place's clock is called then, as in ``GMT`` or ``IST (UTC+1)``."""
    local = instant.astimezone(zone_of(zone))
    offset = local.utcoffset() or timedelta()
    name = local.tzname() or zone
    hours, minutes = divmod(abs(round(offset.total_seconds() / 60)), 60)
    sign = "−" if offset < timedelta() else "+"
    utc = f"UTC{sign}{hours}" + (f":{minutes:02d}" if minutes else "")
    if name[:1] in "+-":
        return utc
    return name if not offset else f"{name} ({utc})"


def clock_line(day: date, zone: str) -> str:
    """What the clock is called on a day, and how long the day is if not 24 hours."""
    span = local_day(day, zone)
    first = zone_text(span.start, zone)
    last = zone_text(span.stop - timedelta(minutes=1), zone)
    if first == last:
        return first
    hours = round(span.length / timedelta(hours=1), 1)
    length = count_text(int(hours), "hour") if hours == int(hours) else f"{hours} hours"
    return f"{first}, then {last}: a day of {length}"


def duration_text(length: timedelta) -> str:
    """How long, as in ``25 min`` or ``1 h 40 min``; a negative one with its minus."""
    total = round(abs(length.total_seconds()) / 60)
    hours, minutes = divmod(total, 60)
    text = f"{hours} h {minutes:02d} min" if hours else f"{minutes} min"
    return f"−{text}" if length < timedelta() and total else text


def number_text(value: float, decimals: int = 1) -> str:
    """A number with a true minus and no minus zero."""
    text = f"{abs(value):.{decimals}f}"
    is_zero = not text.strip("0.")
    return text if value >= 0 or is_zero else f"−{text}"


def count_text(count: int, one: str, many: str = "") -> str:
    """A count with its word, as in ``1 stop`` or ``3 stops``."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def nearest_minute(instant: datetime) -> datetime:
    """The whole minute nearest to an instant."""
    return (instant + timedelta(seconds=30)).replace(second=0, microsecond=0)


def _whole(instant: datetime) -> datetime:
    return instant.replace(second=0, microsecond=0)


def _two_figures(value: float) -> str:
    if value < 10.0:
        return f"{value:.1f}".removesuffix(".0")
    return f"{value:.0f}" if value < 100.0 else f"{round(value / 10.0) * 10}"
