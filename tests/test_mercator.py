"""The grid of UTM against published points and against geodesics."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldtrip.geo import Position, distance_m
from fieldtrip.mercator import UtmPoint, band_range_deg, from_utm, to_utm


def test_the_example_of_a_geodesists_manual() -> None:
    # Source: GeographicLib, manual of GeoConvert, examples: 38SMB4488, the middle of
    # which is 38n 444500 3688500, is 33.33424 44.40363.
    position = from_utm(UtmPoint(38, "S", 444_500.0, 3_688_500.0))

    assert position is not None
    assert position.lat_deg == pytest.approx(33.33424, abs=0.000005)
    assert position.lon_deg == pytest.approx(44.40363, abs=0.000005)


def test_a_tower_in_zone_17() -> None:
    # Source: Wikipedia, "Universal Transverse Mercator": 43 38 33.24 N,
    # 79 23 13.7 W is 17T 630084 4833438, to the metre.
    point = to_utm(Position(43 + 38 / 60 + 33.24 / 3600, -(79 + 23 / 60 + 13.7 / 3600)))

    assert point is not None
    assert (point.zone, point.band) == (17, "T")
    assert point.easting_m == pytest.approx(630_084, abs=1.0)
    assert point.northing_m == pytest.approx(4_833_438, abs=1.0)


@given(st.floats(0.0, 83.9), st.integers(1, 60))
def test_on_a_zones_middle_the_northing_is_the_scaled_meridian(
    lat_deg: float, zone: int
) -> None:
    # The definition: scale 0.9996 on the central meridian; the geodesic along it comes
    # from geographiclib, another series than ours.
    middle_deg = 6.0 * zone - 183.0
    if lat_deg >= 56.0 and zone in (31, 32, 33, 34, 35, 36, 37):
        return  # Norway and Svalbard have their own zones
    point = to_utm(Position(lat_deg, middle_deg))

    assert point is not None
    assert point.zone == zone
    assert point.easting_m == pytest.approx(500_000.0, abs=1e-6)
    meridian_m = distance_m(Position(0.0, middle_deg), Position(lat_deg, middle_deg))
    assert point.northing_m == pytest.approx(0.9996 * meridian_m, abs=1e-6)


@given(st.floats(-79.9, 83.9), st.floats(-180.0, 180.0))
def test_there_and_back_closes_within_a_micrometre(
    lat_deg: float, lon_deg: float
) -> None:
    position = Position(lat_deg, lon_deg)
    point = to_utm(position)
    assert point is not None
    back = from_utm(point)

    assert back is not None
    assert distance_m(back, position) < 1e-6 + 1e-9
    south, north = band_range_deg(point.band)
    assert south - 1e-9 <= lat_deg <= north


@pytest.mark.parametrize(
    ("lat_deg", "lon_deg", "zone"),
    [
        # Source: NGA.SIG.0012, the zones of south-west Norway and Svalbard.
        (60.0, 4.0, 32),
        (60.0, 2.9, 31),
        (78.0, 8.0, 31),
        (78.0, 10.0, 33),
        (78.0, 25.0, 35),
        (78.0, 40.0, 37),
        (50.0, -180.0, 1),
        (50.0, 180.0, 1),
        (50.0, 179.9, 60),
    ],
)
def test_zones(lat_deg: float, lon_deg: float, zone: int) -> None:
    point = to_utm(Position(lat_deg, lon_deg))

    assert point is not None
    assert point.zone == zone


def test_far_beyond_its_zone_nothing_is_read() -> None:
    assert from_utm(UtmPoint(29, "U", 9_000.0, 5_493_210.0)) is None
    assert from_utm(UtmPoint(29, "X", 500_000.0, 10_500_000.0)) is None
    assert to_utm(Position(85.0, 0.0)) is None
