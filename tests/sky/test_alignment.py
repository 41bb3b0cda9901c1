"""Alignments: against what was published, against a plain look every 20 seconds."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

import numpy as np
import pytest
from numpy.testing import assert_allclose

from fieldtrip.arrays import Array
from fieldtrip.errors import UserError
from fieldtrip.sky.alignment import Aim, AlignedWindow, alignments
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.positions import sky_position, uniform_track
from fieldtrip.sky.runs import Cells
from fieldtrip.sky.site import Site
from fieldtrip.sky.skyline import skyline_at_deg
from tests.sky.published import site

MANHATTAN = site(40.7536, -73.9800)  # from memory: its middle, 42nd Street
STREETS_DEG = 299.1  # from memory: the grid lies 29 degrees east of north
EASTERN = timezone(timedelta(hours=-4))
# The horizon beyond the river, of which nothing is published: half a degree high fits
# all four evenings, to a tenth.  A whole disc stands on it with its centre higher by
# its semidiameter.
FAR_SHORE_DEG = 0.5
SEMIDIAMETER_DEG = 0.2625  # around the aphelion: 959.63" / 1.016
SLACK_DEG = 0.085
# Source: American Museum of Natural History, times of the sunsets along the grid of
# Manhattan's streets in 2019 and 2024, to the minute.
SUNSETS = [
    ("2024-07-12T20:20", SEMIDIAMETER_DEG),
    ("2024-07-13T20:21", 0.0),
    ("2019-05-29T20:13", 0.0),
    ("2019-05-30T20:12", SEMIDIAMETER_DEG),
]


def aim(
    bearing_deg: float, tolerance_deg: float, low_deg: float, high_deg: float
) -> Aim:
    """Where the body is wanted."""
    return Aim(
        bearing_deg=bearing_deg,
        tolerance_deg=tolerance_deg,
        altitude_min_deg=low_deg,
        altitude_max_deg=high_deg,
    )


@pytest.mark.parametrize(("published", "higher_deg"), SUNSETS)
def test_the_sunset_along_the_streets_of_new_york_is_found_on_its_evening(
    published: str, higher_deg: float
) -> None:
    minute = datetime.fromisoformat(published).replace(tzinfo=EASTERN)
    centre_deg = FAR_SHORE_DEG + higher_deg
    streets = aim(STREETS_DEG, 0.01, centre_deg - SLACK_DEG, centre_deg + SLACK_DEG)

    found = alignments(
        Body.SUN,
        MANHATTAN,
        minute - timedelta(days=8),
        minute + timedelta(days=8),
        streets,
    )

    assert len(found) == 1
    # The published minute may be rounded or cut off.
    assert abs(found[0].best - minute) < timedelta(seconds=60)
    assert_allclose(found[0].azimuth_deg, STREETS_DEG, atol=1e-6)


CASES = [
    # latitude, longitude, start, bearing, tolerance, low, high
    (49.6, -8.4, "2027-02-01", 250.0, 0.25, -0.5, 5.0),
    (49.6, -8.4, "2027-06-10", 90.0, 20.0, 10.0, 60.0),
    (0.0, -150.0, "2027-03-15", 90.0, 0.05, 5.0, 90.0),  # equinox on the equator
    (0.0, 30.0, "2027-03-15", 0.0, 6.0, 80.0, 90.0),  # through the zenith
    (15.2, -61.0, "2027-04-25", 80.0, 0.25, -1.0, 90.0),  # azimuth turns back
    (15.2, -61.0, "2027-05-01", 82.0, 1.0, 20.0, 70.0),
    (23.4, 120.0, "2027-06-15", 0.0, 90.0, 85.0, 90.0),
    (-36.8, 174.8, "2027-12-15", 245.0, 0.25, -1.0, 30.0),
    (78.2, 15.6, "2027-06-15", 0.0, 5.0, 8.0, 15.0),  # midnight sun
    (89.9, 0.0, "2027-03-18", 123.0, 1.0, -1.0, 1.0),
    (-66.0, -60.0, "2027-12-20", 180.0, 0.5, -0.6, 0.6),
]


def brute_force(
    body: Body, here: Site, start: datetime, days: int, wanted: Aim, skyline: Array
) -> tuple[Array, Cells]:
    """Seconds since 1970, one every 20, and whether the body is aligned."""
    count = days * 4320
    track = uniform_track(body, here, start, 20.0, count)
    off = (track.azimuth_deg - wanted.bearing_deg + 180.0) % 360.0 - 180.0
    apparent = track.apparent_altitude_deg
    is_aligned = np.abs(off) <= wanted.tolerance_deg
    is_aligned &= apparent >= wanted.altitude_min_deg
    is_aligned &= apparent <= wanted.altitude_max_deg
    is_aligned &= apparent >= skyline_at_deg(skyline, track.azimuth_deg)
    at_s = start.timestamp() + 20.0 * np.arange(count, dtype=np.float64)
    return at_s, is_aligned


@pytest.mark.parametrize("body", list(Body))
@pytest.mark.parametrize("is_hilly", [False, True])
@pytest.mark.parametrize(
    ("lat", "lon", "first", "bearing", "tolerance", "low", "high"), CASES
)
def test_nothing_is_missed_and_nothing_is_spurious(
    body: Body,
    is_hilly: bool,
    lat: float,
    lon: float,
    first: str,
    bearing: float,
    tolerance: float,
    low: float,
    high: float,
) -> None:
    here, wanted = site(lat, lon, 20.0), aim(bearing, tolerance, low, high)
    start, days = datetime.fromisoformat(first).replace(tzinfo=UTC), 14
    generator = np.random.default_rng(7)
    hills = generator.uniform(low, min(low + 12.0, high), 360)
    skyline = hills if is_hilly else np.full(4, -90.0)
    at_s, is_aligned = brute_force(body, here, start, days, wanted, skyline)

    found = alignments(
        body,
        here,
        start,
        start + timedelta(days=days),
        wanted,
        hills if is_hilly else None,
    )

    is_inside = np.zeros(len(at_s), dtype=np.bool_)
    is_well_inside = np.zeros(len(at_s), dtype=np.bool_)
    slack_s = 0.02  # of a root, where the brute force may see either
    for window in found:
        a, b = window.start.timestamp(), window.stop.timestamp()
        is_inside |= (at_s >= a - slack_s) & (at_s <= b + slack_s)
        is_well_inside |= (at_s >= a + slack_s) & (at_s <= b - slack_s)
    assert not np.any(is_aligned & ~is_inside)
    assert not np.any(is_well_inside & ~is_aligned)


def test_the_brute_force_sees_alignments_in_every_corner_of_the_world() -> None:
    level = np.full(4, -90.0)
    hits = 0
    for lat, lon, first, *wanted in CASES:
        start = datetime.fromisoformat(first).replace(tzinfo=UTC)
        here = site(lat, lon, 20.0)
        _, seen = brute_force(Body.SUN, here, start, 14, aim(*wanted), level)
        assert seen.any(), (lat, first)
        hits += int(seen.sum())
    assert hits > 5_000


def whole_year(body: Body, here: Site, wanted: Aim) -> tuple[AlignedWindow, ...]:
    """Every window of 2027."""
    start = datetime(2027, 1, 1, tzinfo=UTC)
    return alignments(body, here, start, datetime(2028, 1, 1, tzinfo=UTC), wanted)


@pytest.mark.parametrize("body", list(Body))
def test_the_best_instant_lies_on_the_bearing_and_within_its_window(
    body: Body,
) -> None:
    here = site(49.6, -8.4)

    found = whole_year(body, here, aim(160.0, 0.5, 2.0, 30.0))

    assert len(found) > 100
    on_bearing = [w for w in found if abs(w.azimuth_deg - 160.0) < 1e-4]
    assert len(on_bearing) > 0.95 * len(found)  # a few only graze a corner
    for window in found:
        at = sky_position(body, here, window.best)
        assert window.start <= window.best <= window.stop
        assert_allclose(at.azimuth_deg, window.azimuth_deg, atol=2e-5)
        assert_allclose(
            at.apparent_altitude_deg, window.apparent_altitude_deg, atol=2e-5
        )


def test_where_the_azimuth_turns_back_the_best_is_the_nearest() -> None:
    # North of the zenith at noon, the Sun climbs away from north and turns back.
    here = site(15.0, 0.0)
    day = datetime(2027, 5, 20, tzinfo=UTC)
    track = uniform_track(Body.SUN, here, day + timedelta(hours=6), 1.0, 5 * 3600)
    turned = int(np.argmax(track.azimuth_deg))
    most_deg = float(track.azimuth_deg[turned])
    assert 0 < turned < 5 * 3600 - 1

    (found,) = alignments(
        Body.SUN,
        here,
        day,
        day + timedelta(hours=10),
        aim(most_deg + 0.1, 0.3, 5.0, 80.0),
    )

    assert_allclose(found.azimuth_deg, most_deg, atol=1e-4)
    nearest = day + timedelta(hours=6, seconds=turned)
    assert abs(found.best - nearest) < timedelta(seconds=20)


def test_windows_are_cut_off_where_the_span_starts_and_stops() -> None:
    here, wanted = site(49.6, -8.4), aim(180.0, 40.0, 5.0, 80.0)
    start = datetime(2027, 6, 1, 12, tzinfo=UTC)
    stop = start + timedelta(minutes=50)

    (found,) = alignments(Body.SUN, here, start, stop, wanted)

    assert (found.start, found.stop) == (start, stop)
    assert alignments(Body.SUN, here, stop, start, wanted) == ()


def test_a_skyline_hides_what_stands_below_it() -> None:
    here, wanted = site(49.6, -8.4), aim(250.0, 3.0, 0.0, 20.0)
    start = datetime(2027, 2, 5, tzinfo=UTC)
    stop = start + timedelta(days=30)
    wall = np.full(720, 6.0)

    level = alignments(Body.SUN, here, start, stop, wanted)
    hidden = alignments(Body.SUN, here, start, stop, wanted, wall)

    assert 0 < len(hidden) < len(level)
    for window in hidden:
        for instant in (window.start, window.stop):
            at = sky_position(Body.SUN, here, instant)
            assert at.apparent_altitude_deg > 6.0 - 1e-5


def test_outside_the_computed_years_it_is_said() -> None:
    start = datetime(2090, 1, 1, tzinfo=UTC)

    with pytest.raises(UserError, match="1900 to 2099"):
        alignments(
            Body.SUN,
            site(0.0, 0.0),
            start,
            start + timedelta(days=40_000),
            aim(0, 1, 0, 5),
        )


@pytest.mark.parametrize(
    ("tolerance_deg", "low_deg", "high_deg"),
    [(0.0, 0.0, 1.0), (91.0, 0.0, 1.0), (1.0, 5.0, 5.0), (float("nan"), 0.0, 1.0)],
)
def test_an_aim_that_nothing_can_meet_is_a_fault(
    tolerance_deg: float, low_deg: float, high_deg: float
) -> None:
    with pytest.raises(ValueError, match=r"tolerance|altitude"):
        aim(0.0, tolerance_deg, low_deg, high_deg)
