"""Published tables in the wheels of test dependencies, and how to read them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from pathlib import Path
from typing import Any

import ephem
import erfa
import numpy as np
import skyfield_data
from skyfield.api import load, load_file

from fieldtrip.arrays import Array
from fieldtrip.geo import Position
from fieldtrip.sky import ephemeris, horizontal
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.site import Site, site_frame
from fieldtrip.sky.table import table_for

ARCSECOND = 1.0 / 3600.0
USNO = Path(ephem.__file__).parent / "tests" / "usno"


def site(lat_deg: float, lon_deg: float, elevation_m: float = 0.0) -> Site:
    return Site(Position(lat_deg, lon_deg), elevation_m)


def tt_days(year: int, month: int, day: float) -> Array:
    """TT days since J2000.0 of a date given in dynamical time."""
    first, second = erfa.cal2jd(year, month, int(day))
    return np.array([first - ephemeris.J2000 + second + day - int(day)])


def utc_of(tt: Array) -> datetime:
    """The instant in UTC of TT days since J2000.0."""
    guess_s = (tt + 10_957.5) * 86400.0
    unix_s = guess_s - ephemeris.tt_minus_utc_s(guess_s)
    return datetime.fromtimestamp(float(unix_s[0]), UTC)


def equatorial_deg(gcrs: Array, tt: Array) -> tuple[float, float]:
    """Apparent right ascension and declination, true equator and equinox of date."""
    x, y, z = erfa.pnm06a(ephemeris.J2000, tt)[0] @ gcrs[0]
    ra = np.degrees(np.arctan2(y, x)) % 360.0
    return float(ra), float(np.degrees(np.arctan2(z, np.hypot(x, y))))


def topocentric_deg_km(
    body: Body, place: Site, instant: datetime
) -> tuple[float, float, float]:
    """Apparent topocentric right ascension, declination and distance of the engine."""
    frame = site_frame(place)
    unix_s = np.array([instant.timestamp()])
    enu_km = horizontal.east_north_up_km(
        table_for(instant, instant), frame, body, unix_s
    )
    x, y, z = frame.axes.T @ enu_km[:, 0]
    rotation = float(ephemeris.earth_rotation_rad(unix_s)[0])
    tt = (unix_s + ephemeris.tt_minus_utc_s(unix_s)) / 86400.0 - 10_957.5
    origins = float(erfa.eo06a(ephemeris.J2000, tt)[0])  # of CIO and equinox
    ra = np.degrees(np.arctan2(y, x) + rotation - origins) % 360.0
    dec = np.degrees(np.arctan2(z, np.hypot(x, y)))
    return float(ra), float(dec), float(horizontal.distance_km(enu_km)[0])


def usno_positions(name: str) -> Iterator[tuple[datetime, float, float, float]]:
    """Rows of a USNO topocentric table: instant, RA, declination, distance."""
    for line in (USNO / name).read_text().splitlines():
        if not re.match(r"\d{4} [A-Z][a-z]{2} \d\d", line):
            continue
        instant = datetime.strptime(line[:20], "%Y %b %d %H:%M:%S").replace(tzinfo=UTC)
        hours, minutes, seconds, sign, deg, arcmin, arcsec, distance = line[22:].split()
        ra = 15.0 * (float(hours) + float(minutes) / 60.0 + float(seconds) / 3600.0)
        dec = float(deg) + float(arcmin) / 60.0 + float(arcsec) / 3600.0
        yield instant, ra, -dec if sign == "-" else dec, float(distance)


def usno_year(name: str, year: int) -> dict[date, tuple[str, str]]:
    """A USNO year of rising and setting: hours and minutes as printed, or blank."""
    year_of: dict[date, tuple[str, str]] = {}
    for line in (USNO / name).read_text().splitlines():
        if not re.match(r"\d\d  ", line):
            continue
        for month in range(12):
            cell = line[4 + 11 * month : 13 + 11 * month].ljust(9)
            try:
                day = date(year, month + 1, int(line[:2]))
            except ValueError:  # 30 February
                continue
            year_of[day] = cell[:4].strip(), cell[5:9].strip()
    return year_of


def usno_clock(day: date, text: str, hours_west: int) -> datetime:
    """The instant of a printed hour and minute of standard time."""
    hours, minutes = int(text[:2]), int(text[-2:])
    midnight = datetime(day.year, day.month, day.day, tzinfo=UTC)
    return midnight + timedelta(hours=hours + hours_west, minutes=minutes)


@lru_cache(maxsize=1)
def de421() -> Any:
    """JPL's DE421, as skyfield reads it."""
    # Not by the package's own function: it warns of another file that has expired.
    folder = Path(skyfield_data.__file__).parent / "data"
    return load_file(str(folder / "de421.bsp"))


@lru_cache(maxsize=1)
def timescale() -> Any:
    """Skyfield's clock without files that expire."""
    return load.timescale(builtin=True)
