"""Events against printed tables, and what must hold for every day anywhere."""

from __future__ import annotations

import re
from collections import defaultdict
from datetime import UTC, date, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from skyfield.api import wgs84

from fieldtrip.errors import UserError
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.events import (
    SUN_ALTITUDES,
    DayEvents,
    Event,
    EventName,
    day_events,
    events_between,
    next_event,
)
from fieldtrip.sky.positions import sky_position, uniform_track
from fieldtrip.sky.site import Site
from fieldtrip.times import from_instant, local_day
from tests.sky.published import (
    USNO,
    de421,
    site,
    timescale,
    usno_clock,
    usno_year,
)

PRINTED_MINUTE = timedelta(seconds=40)  # half a minute of rounding, and our own error
DUNEDIN = site(-45.87, 170.5)
NEW_YORK = site(40.758, -73.985)
ALTITUDE_OF = {
    (name, direction): altitude
    for altitude, rising, sinking in SUN_ALTITUDES
    for direction, names in ((1, rising), (-1, sinking))
    for name in names
}
# Within some tables only, so that they are made once.
days = st.one_of(
    [st.dates(date(y, 1, 1), date(y + 1, 12, 28)) for y in (1902, 2026, 2096)]
)
places = st.builds(site, st.floats(-90.0, 90.0), st.floats(-180.0, 180.0))


def by_date(
    place: Site, year: int, offset: timedelta
) -> defaultdict[tuple[date, EventName], list[Event]]:
    """The events of a year by their date at a fixed offset from UTC, and name."""
    start = datetime(year, 1, 1, tzinfo=timezone(offset))
    stop = datetime(year + 1, 1, 1, tzinfo=timezone(offset))
    found: defaultdict[tuple[date, EventName], list[Event]] = defaultdict(list)
    for event in events_between(place, start, stop):
        found[event.instant.astimezone(timezone(offset)).date(), event.name] += [event]
    return found


def test_a_year_of_the_sun_over_atlanta() -> None:
    # Source: US Naval Observatory, rise and set for the Sun for 2007, Atlanta
    # (W 84 25, N 33 46), Eastern Standard Time; in the ephem wheel.
    table = usno_year("riset_sun.txt", 2007)
    atlanta = site(33 + 46 / 60, -(84 + 25 / 60))
    assert len(table) == 365

    found = by_date(atlanta, 2007, timedelta(hours=-5))
    for day, (rise, fall) in table.items():
        for name, text in ((EventName.SUNRISE, rise), (EventName.SUNSET, fall)):
            (event,) = found[day, name]
            printed = usno_clock(day, text, hours_west=5)
            assert abs(event.instant - printed) <= PRINTED_MINUTE, (day, name)


def test_a_year_of_the_moon_over_boston() -> None:
    # Source: US Naval Observatory, rise and set for the Moon for 1984, Boston
    # (W 71 05, N 42 19), Eastern Standard Time; in the ephem wheel.
    table = usno_year("riset_moon.txt", 1984)
    boston = site(42 + 19 / 60, -(71 + 5 / 60))
    assert len(table) == 366
    blanks = 0

    found = by_date(boston, 1984, timedelta(hours=-5))
    for day, (rise, fall) in table.items():
        for name, text in ((EventName.MOONRISE, rise), (EventName.MOONSET, fall)):
            if not text:
                blanks += 1
                assert not found[day, name]
                continue
            (event,) = found[day, name]
            printed = usno_clock(day, text, hours_west=5)
            assert abs(event.instant - printed) <= PRINTED_MINUTE, (day, name)
    assert blanks == 25


def test_the_moon_over_fairbanks_with_days_on_which_it_stays_down_or_up() -> None:
    # Source: US Naval Observatory, rise, set and azimuths for the Moon, Fairbanks
    # (W 147 45, N 64 48 36), June and July 2006, 8 h west; in the ephem wheel.
    fairbanks = site(64 + 48 / 60 + 36 / 3600, -147.75)
    compared = 0
    for line in (USNO / "risettran_moon.txt").read_text().splitlines():
        if not re.match(r"2006 [A-Z]", line):
            continue
        day = datetime.strptime(line[:11], "%Y %b %d").replace(tzinfo=UTC).date()
        found = day_events(fairbanks, day, "Etc/GMT+8")
        for name, column in ((EventName.MOONRISE, 25), (EventName.MOONSET, 59)):
            cell = line[column : column + 9]
            events = found.all_of(name)
            if not cell.strip() or "*" in cell:
                assert not events, (day, name)
                continue
            (event,) = events
            printed = usno_clock(day, cell[:5], hours_west=8)
            assert abs(event.instant - printed) <= timedelta(seconds=60), (day, name)
            assert abs(event.azimuth_deg - float(cell[5:])) <= 1.0, (day, name)
            compared += 1
    assert compared == 35  # of 21 days, with six cells of stars and one blank


def test_the_twilights_of_a_november_day() -> None:
    # Source: US Naval Observatory for 41.281944 N, 84.362778 W, 2019-11-08, to the
    # minute in UT, as skyfield's tests/test_almanac.py carries it.
    found = day_events(site(41.281944, -84.362778), date(2019, 11, 8), "Etc/GMT+5")
    printed = {
        EventName.ASTRONOMICAL_DAWN: "1042",
        EventName.NAUTICAL_DAWN: "1115",
        EventName.CIVIL_DAWN: "1148",
        EventName.SUNRISE: "1217",
        EventName.SUNSET: "2225",
        EventName.CIVIL_DUSK: "2254",
        EventName.NAUTICAL_DUSK: "2327",
        EventName.ASTRONOMICAL_DUSK: "2359",
    }

    for name, text in printed.items():
        (event,) = found.all_of(name)
        expected = usno_clock(date(2019, 11, 8), text, hours_west=0)
        assert abs(event.instant - expected) <= PRINTED_MINUTE, name


@pytest.mark.parametrize("seed", range(6))
def test_events_fall_to_the_second_where_de421_has_them(seed: int) -> None:
    # Source: JPL DE421 through skyfield; UT1 - UTC, up to 0.15 s, counts against us.
    random = np.random.default_rng(seed)
    lat, lon = random.uniform(-52.0, 52.0), random.uniform(-180.0, 180.0)
    day = date(2024, 1, 1) + timedelta(days=int(random.integers(0, 4380)))
    events = [
        event
        for event in day_events(site(lat, lon), day, "UTC").events
        if event.name is not EventName.SOLAR_NOON
    ]
    assert len(events) >= 10
    observer = de421()["earth"] + wgs84.latlon(lat, lon)

    for event in events:
        is_moon = event.name in (EventName.MOONRISE, EventName.MOONSET)
        moments = [event.instant + timedelta(seconds=k) for k in (-10, 0, 10)]
        seen = observer.at(timescale().from_datetimes(moments))
        body = seen.observe(de421()["moon" if is_moon else "sun"]).apparent()
        altitude, _, distance = body.altaz()
        if is_moon:
            radius_deg = np.degrees(np.arcsin(1737.4 / distance.km))
            above = altitude.degrees + radius_deg + 34.0 / 60.0
        else:
            off = altitude.degrees[1] - np.array(
                [level for level, _, _ in SUN_ALTITUDES]
            )
            above = altitude.degrees - altitude.degrees[1] + off[np.abs(off).argmin()]
        late_s = above[1] / ((above[2] - above[0]) / 20.0)
        assert abs(late_s) < (1.5 if is_moon else 0.3), event


def test_a_moon_of_37_minutes() -> None:
    # Source: US Naval Observatory, 70 N 0 E, 2023-02-19: rises 11:28, sets 12:05,
    # as skyfield's tests/test_almanac.py carries it.
    found = day_events(site(70.0, 0.0), date(2023, 2, 19), "UTC")

    (rise,), (fall,) = (
        found.all_of(EventName.MOONRISE),
        found.all_of(EventName.MOONSET),
    )
    day = date(2023, 2, 19)
    assert abs(rise.instant - usno_clock(day, "1128", 0)) <= PRINTED_MINUTE
    assert abs(fall.instant - usno_clock(day, "1205", 0)) <= PRINTED_MINUTE


@pytest.mark.parametrize(
    ("day", "name", "clock"),
    [
        # Source: NREL/TP-560-34302 (2008), appendix A.5: sunrise 06:12:43 on
        # 2003-10-17. Its sunset 17:20:19 is that of the local day before: the report
        # solves within the day of UT.
        (date(2003, 10, 17), EventName.SUNRISE, "06:12:43"),
        (date(2003, 10, 16), EventName.SUNSET, "17:20:19"),
    ],
)
def test_sunrise_and_sunset_of_the_nrel_report(
    day: date, name: EventName, clock: str
) -> None:
    (event,) = day_events(site(39.742476, -105.1786), day, "America/Phoenix").all_of(
        name
    )

    printed = datetime.fromisoformat(f"{day}T{clock}-07:00")
    # The report's sunrise counts a fixed 0.8333 degrees too; it gives whole seconds.
    assert abs(event.instant - printed) <= timedelta(seconds=2.5)


@pytest.mark.parametrize(
    ("day", "rise", "fall"),
    [
        # Source: NREL's SPA calculator, 35 S 0 E, as pvlib's tests carry it.
        ("1996-07-05", "07:08:15", "17:01:04"),
        ("2004-12-04", "04:38:57", "19:02:03"),
    ],
)
def test_sunrise_and_sunset_of_the_nrel_calculator(
    day: str, rise: str, fall: str
) -> None:
    found = day_events(site(-35.0, 0.0), date.fromisoformat(day), "UTC")

    for name, clock in ((EventName.SUNRISE, rise), (EventName.SUNSET, fall)):
        (event,) = found.all_of(name)
        printed = datetime.fromisoformat(f"{day}T{clock}+00:00")
        assert abs(event.instant - printed) <= timedelta(seconds=2.5)


@pytest.mark.parametrize(
    ("clock", "half"),
    [
        # Source: American Museum of Natural History: full disc on the grid 12 July
        # 2024 8:20 pm and 30 May 2019 8:12 pm, half 13 July 2024 8:21 pm and 29 May
        # 2019 8:13 pm, all EDT.
        ("2024-07-12T20:20", False),
        ("2024-07-13T20:21", True),
        ("2019-05-30T20:12", False),
        ("2019-05-29T20:13", True),
    ],
)
def test_the_sun_sets_along_the_streets_of_new_york(clock: str, half: bool) -> None:
    moment = datetime.fromisoformat(clock).replace(tzinfo=ZoneInfo("America/New_York"))
    sun = sky_position(Body.SUN, NEW_YORK, moment)

    # The grid's bearing, 29.1 degrees north of west: from memory.
    assert sun.azimuth_deg == pytest.approx(299.1, abs=0.2)
    # The museum's minutes reckon without refraction. The Sun sinks 0.17 a minute.
    expected = 0.0 if half else sun.semidiameter_deg
    assert sun.altitude_deg == pytest.approx(expected, abs=0.17)


def test_an_ordinary_day_has_every_event_in_its_order() -> None:
    found = day_events(site(49.6, -8.4), date(2026, 3, 20), "Europe/Dublin")

    names = [event.name for event in found.events if "moon" not in event.name]
    assert names == [
        EventName.ASTRONOMICAL_DAWN,
        EventName.NAUTICAL_DAWN,
        EventName.CIVIL_DAWN,
        EventName.BLUE_HOUR_START,
        EventName.BLUE_HOUR_END,
        EventName.GOLDEN_HOUR_START,
        EventName.SUNRISE,
        EventName.GOLDEN_HOUR_END,
        EventName.SOLAR_NOON,
        EventName.GOLDEN_HOUR_START,
        EventName.SUNSET,
        EventName.GOLDEN_HOUR_END,
        EventName.BLUE_HOUR_START,
        EventName.BLUE_HOUR_END,
        EventName.CIVIL_DUSK,
        EventName.NAUTICAL_DUSK,
        EventName.ASTRONOMICAL_DUSK,
    ]
    assert found.sun_always is None


@given(place=places, day=days)
def test_every_event_happens_at_its_altitude(place: Site, day: date) -> None:
    found = day_events(place, day, "UTC")

    for event in found.events:
        if event.name is EventName.SOLAR_NOON:
            assert _is_on_the_meridian(place, event)
        elif event.name in (EventName.MOONRISE, EventName.MOONSET):
            moon = sky_position(Body.MOON, place, event.instant)
            limb = moon.altitude_deg + moon.semidiameter_deg
            assert limb == pytest.approx(-34.0 / 60.0, abs=1e-4)
        else:
            sun = sky_position(Body.SUN, place, event.instant)
            altitudes = {
                altitude
                for (name, _), altitude in ALTITUDE_OF.items()
                if name is event.name
            }
            nearest = min(altitudes, key=lambda a: abs(a - sun.altitude_deg))
            assert sun.altitude_deg == pytest.approx(nearest, abs=1e-4)
            assert sun.azimuth_deg == pytest.approx(event.azimuth_deg % 360.0, abs=0.01)


@given(place=places, day=days)
def test_events_lie_in_the_day_in_order_and_the_rest_is_missing(
    place: Site, day: date
) -> None:
    found = day_events(place, day, "Pacific/Auckland")
    span = local_day(day, "Pacific/Auckland")

    times = [event.instant for event in found.events]
    assert times == sorted(times)
    assert all(span.start <= time < span.stop for time in times)
    names = {event.name for event in found.events}
    assert names.isdisjoint(found.missing)
    assert names | set(found.missing) == set(EventName)


@given(place=places, day=days)
@settings(max_examples=50)
def test_days_one_after_the_other_lose_and_double_nothing(
    place: Site, day: date
) -> None:
    zone = "Europe/Dublin"
    three = [day_events(place, day + timedelta(days=k), zone).events for k in range(3)]
    start = local_day(day, zone).start
    stop = local_day(day + timedelta(days=2), zone).stop

    together = events_between(place, start, stop)

    apart = [event for events in three for event in events]
    assert [e.name for e in apart] == [e.name for e in together]
    for a, b in zip(apart, together, strict=True):
        assert abs(a.instant - b.instant) <= timedelta(milliseconds=20)


@given(lat=st.floats(-60.0, 60.0), lon=st.floats(-180.0, 180.0), day=days)
def test_sunrise_and_sunset_mirror_each_other(
    lat: float, lon: float, day: date
) -> None:
    noon = next_event(
        site(lat, lon),
        EventName.SOLAR_NOON,
        datetime(day.year, day.month, day.day, tzinfo=UTC),
    )
    assert noon is not None
    around = events_between(
        site(lat, lon),
        noon.instant - timedelta(hours=12),
        noon.instant + timedelta(hours=12),
    )
    (rise,) = [e for e in around if e.name is EventName.SUNRISE]
    (fall,) = [e for e in around if e.name is EventName.SUNSET]

    # The Sun's declination changes by at most 0.4 degrees a day.
    mirrored = 360.0 - fall.azimuth_deg
    assert rise.azimuth_deg == pytest.approx(mirrored, abs=0.9)
    before, after = noon.instant - rise.instant, fall.instant - noon.instant
    assert abs(before - after) < timedelta(minutes=4)


def test_the_sun_rises_due_east_at_an_equinox_for_everybody() -> None:
    # Source: US Naval Observatory: equinox of 2018-09-23 at 01:54 UT.
    for lat in (-40.0, 0.0, 40.0):
        (rise,) = day_events(site(lat, 0.0), date(2018, 9, 23), "UTC").all_of(
            EventName.SUNRISE
        )
        # Refraction and the upper limb move it by 0.83 tan(latitude).
        shift = -0.8333 * np.tan(np.radians(lat))
        assert rise.azimuth_deg == pytest.approx(90.0 + shift, abs=0.15)


@pytest.mark.parametrize(
    ("lat", "day", "always"),
    [
        (78.2, date(2026, 6, 21), "up"),
        (78.2, date(2026, 12, 21), "down"),
        (-78.2, date(2026, 12, 21), "up"),
        (90.0, date(2026, 6, 21), "up"),
        (-90.0, date(2026, 6, 21), "down"),
        (90.0, date(2026, 12, 21), "down"),
    ],
)
def test_polar_day_and_polar_night(lat: float, day: date, always: str) -> None:
    found = day_events(site(lat, 15.6), day, "UTC")

    assert found.sun_always == always
    assert {EventName.SUNRISE, EventName.SUNSET} <= set(found.missing)


def test_the_sun_of_the_pole_rises_once_a_year() -> None:
    year = events_between(
        site(90.0, 0.0),
        datetime(2026, 1, 1, tzinfo=UTC),
        datetime(2027, 1, 1, tzinfo=UTC),
    )

    counts = {name: sum(e.name is name for e in year) for name in EventName}
    assert (counts[EventName.SUNRISE], counts[EventName.SUNSET]) == (1, 1)
    assert counts[EventName.MOONRISE] in (13, 14)


def test_golden_light_all_day_without_a_day() -> None:
    # At 66 N in midwinter the Sun passes -4 and never reaches +6.
    found = day_events(site(66.0, 25.7), date(2026, 12, 21), "Europe/Helsinki")

    assert len(found.all_of(EventName.GOLDEN_HOUR_START)) == 1
    assert len(found.all_of(EventName.GOLDEN_HOUR_END)) == 1
    assert found.first(EventName.CIVIL_DAWN) is not None


@pytest.mark.parametrize("lat", [65.6, 65.75, 65.9, 66.3, 67.4])
@pytest.mark.parametrize("start", [date(2026, 5, 25), date(2026, 11, 25)])
def test_nothing_is_missed_where_the_sun_grazes_the_horizon(
    lat: float, start: date
) -> None:
    place = site(lat, 25.7)
    first = datetime(start.year, start.month, start.day, tzinfo=UTC)
    found = [
        event
        for event in events_between(place, first, first + timedelta(days=45))
        if event.name in (EventName.SUNRISE, EventName.SUNSET)
    ]

    # Every change of sign in steps of 20 s must be an event; events closer together
    # than that may stand between two steps.
    path = uniform_track(Body.SUN, place, first, 20.0, 45 * 4320)
    is_up = path.altitude_deg > -50.0 / 60.0
    changes = np.nonzero(is_up[1:] != is_up[:-1])[0]
    for k in changes:
        before, after = (
            from_instant(path.instants[k]),
            from_instant(path.instants[k + 1]),
        )
        assert sum(before <= event.instant <= after for event in found) % 2 == 1
    assert len(found) - len(changes) in (0, 2)


def test_a_date_can_have_two_sunsets() -> None:
    # As the nights grow shorter the Sun sets just after midnight, and again before
    # the next.
    place = site(66.0, 25.7)
    doubles = [
        day
        for day in (date(2026, 5, 20) + timedelta(days=k) for k in range(80))
        if len(day_events(place, day, "Europe/Helsinki").all_of(EventName.SUNSET)) == 2
    ]

    assert doubles


@pytest.mark.parametrize(
    ("day", "hours"), [(date(2026, 3, 29), 23), (date(2026, 10, 25), 25)]
)
def test_days_on_which_the_clock_changes(day: date, hours: int) -> None:
    span = local_day(day, "Europe/Dublin")
    found = day_events(site(49.6, -8.4), day, "Europe/Dublin")

    assert span.length == timedelta(hours=hours)
    assert len(found.all_of(EventName.SUNRISE)) == 1
    assert len(found.all_of(EventName.SUNSET)) == 1
    assert len(found.all_of(EventName.SOLAR_NOON)) == 1


@pytest.mark.parametrize(
    ("lat", "lon", "zone"),
    [
        (1.87, -157.4, "Pacific/Kiritimati"),  # UTC+14, west of Greenwich
        (-13.83, -171.77, "Pacific/Apia"),
        (-43.95, -176.55, "Pacific/Chatham"),
        (-36.85, 174.76, "Pacific/Auckland"),
        (46.79, 101.95, "Asia/Ulaanbaatar"),
        (21.3, -157.86, "Pacific/Honolulu"),
    ],
)
def test_every_date_of_a_year_has_its_sun_on_either_side_of_the_date_line(
    lat: float, lon: float, zone: str
) -> None:
    day = date(2026, 1, 1)
    while day.year == 2026:
        found = day_events(site(lat, lon), day, zone)
        for name in (EventName.SUNRISE, EventName.SOLAR_NOON, EventName.SUNSET):
            (event,) = found.all_of(name)
            assert event.instant.astimezone(ZoneInfo(zone)).date() == day
        assert found.all_of(EventName.GOLDEN_HOUR_START)
        day += timedelta(days=11)


def test_a_date_that_the_date_line_took_is_refused() -> None:
    with pytest.raises(UserError, match="30 December 2011 does not exist"):
        day_events(site(-13.83, -171.77), date(2011, 12, 30), "Pacific/Apia")


def test_an_unknown_zone_is_refused() -> None:
    with pytest.raises(UserError, match="no time zone"):
        day_events(DUNEDIN, date(2026, 1, 1), "Mars/Olympus")


@pytest.mark.parametrize("year", [1, 1899, 2100, 9999])
def test_years_that_are_not_computed_are_refused(year: int) -> None:
    with pytest.raises(UserError, match="1900 to 2099"):
        day_events(DUNEDIN, date(year, 1, 1), "Pacific/Auckland")


def test_the_last_and_the_first_day_are_computed_in_every_zone() -> None:
    for zone in ("Pacific/Kiritimati", "Pacific/Honolulu"):
        for day in (date(1900, 1, 1), date(2099, 12, 31)):
            assert day_events(site(0.0, 0.0), day, zone).events


def test_the_next_event_is_the_next_one() -> None:
    place = site(49.6, -8.4)
    start = datetime(2026, 8, 15, 12, tzinfo=UTC)
    sunset = next_event(place, EventName.SUNSET, start)
    assert sunset is not None

    after = next_event(place, EventName.SUNSET, sunset.instant)

    assert after is not None
    gap = after.instant - sunset.instant
    assert timedelta(hours=23, minutes=55) < gap < timedelta(hours=24)


def test_the_end_of_a_polar_day_is_found_and_nothing_where_there_is_none() -> None:
    start = datetime(2026, 6, 1, tzinfo=UTC)
    sunset = next_event(site(78.2, 15.6), EventName.SUNSET, start)
    assert sunset is not None
    assert sunset.instant.month == 8

    # In the tropics the Sun always reaches its twilights, and never stays up.
    assert next_event(site(78.2, 15.6), EventName.SUNSET, start, within_days=20) is None


def test_a_span_of_no_length_holds_nothing() -> None:
    moment = datetime(2026, 6, 1, tzinfo=UTC)

    assert events_between(DUNEDIN, moment, moment) == ()


def test_first_is_none_for_what_does_not_occur() -> None:
    found = DayEvents((), tuple(EventName), "down")

    assert found.first(EventName.SUNRISE) is None
    assert found.all_of(EventName.SUNRISE) == ()


def _is_on_the_meridian(place: Site, event: Event) -> bool:
    azimuth = sky_position(Body.SUN, place, event.instant).azimuth_deg
    from_meridian = min(azimuth % 180.0, 180.0 - azimuth % 180.0)
    altitude = sky_position(Body.SUN, place, event.instant).altitude_deg
    return bool(from_meridian * np.cos(np.radians(altitude)) < 1e-4)
