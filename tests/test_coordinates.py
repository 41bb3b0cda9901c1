"""Positions as people write them: read right, or refused with the reason."""

from __future__ import annotations

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from fieldtrip.coordinates import (
    decimal_text,
    degrees_minutes_text,
    dms_text,
    read_position,
    utm_text,
)
from fieldtrip.errors import UserError
from fieldtrip.geo import Position, distance_m

SKERRY = Position(49 + 36.205 / 60, -(8 + 24.067 / 60))
positions = st.builds(Position, st.floats(-90.0, 90.0), st.floats(-180.0, 180.0))


@pytest.mark.parametrize(
    ("text", "lat_deg", "lon_deg"),
    [
        ("49.6034, -8.4012", 49.6034, -8.4012),
        ("49.6034 -8.4012", 49.6034, -8.4012),
        ("49.6034,-8.4012", 49.6034, -8.4012),
        ("49.6034; -8.4012", 49.6034, -8.4012),
        ("  +49.6034 \t −8.4012\n", 49.6034, -8.4012),
        ("49.6034° -8.4012°", 49.6034, -8.4012),
        ("49,6034 -8,4012", 49.6034, -8.4012),
        ("49,6034, -8,4012", 49.6034, -8.4012),
        ("49,6034; -8,4012", 49.6034, -8.4012),
        ("49,-8", 49.0, -8.0),
        ("-0.5 0.25", -0.5, 0.25),
        ("49.6034N 8.4012W", 49.6034, -8.4012),
        ("n 49.6034 w 8.4012", 49.6034, -8.4012),
        ("N49.6034,W8.4012", 49.6034, -8.4012),
        ("49,6034 N, 8,4012 W", 49.6034, -8.4012),
        ("N49 36.205 W008 24.067", SKERRY.lat_deg, SKERRY.lon_deg),
        ("49° 36.205′ N 8° 24.067′ W", SKERRY.lat_deg, SKERRY.lon_deg),
        ("N 49° 36.205′ W 8° 24.067′", SKERRY.lat_deg, SKERRY.lon_deg),
        ("49 36.205N 8 24.067W", SKERRY.lat_deg, SKERRY.lon_deg),
        ("49°36,205'N, 8°24,067'W", SKERRY.lat_deg, SKERRY.lon_deg),
        ("49d36.205m N 8d24.067m W", SKERRY.lat_deg, SKERRY.lon_deg),
        ("36° 50′ 12″ S 174° 45′ 33″ E", -36.8366667, 174.7591667),
        ("36 50 12 S, 174 45 33 E", -36.8366667, 174.7591667),
        ("36d50m12s S 174d45m33s E", -36.8366667, 174.7591667),
        ("36°50'12''S 174°45'33''E", -36.8366667, 174.7591667),
        ("-36d50m12s 174d45m33s", -36.8366667, 174.7591667),
        ("-0° 30′ 0° 15′", -0.5, 0.25),
        ("S0 30 E0 15", -0.5, 0.25),
        ("geo:49.6034,-8.4012", 49.6034, -8.4012),
        ("GEO:49.6034,-8.4012,35.5;crs=WGS84;u=10", 49.6034, -8.4012),
        ("90 180", 90.0, 180.0),
        ("-90 -180", -90.0, -180.0),
    ],
)
def test_what_can_be_read(text: str, lat_deg: float, lon_deg: float) -> None:
    position = read_position(text)

    assert position.lat_deg == pytest.approx(lat_deg, abs=1e-7)
    assert position.lon_deg == pytest.approx(lon_deg, abs=1e-7)


def test_the_addresses_of_the_standard() -> None:
    # Source: RFC 5870, sections 1 and 6.1.
    assert read_position("geo:13.4125,103.8667") == Position(13.4125, 103.8667)
    assert read_position("geo:48.2010,16.3695,183") == Position(48.2010, 16.3695)
    assert read_position("geo:66,30;u=6.500;FOo=this%2dthat") == Position(66.0, 30.0)
    assert read_position("geo:90,-22.43;crs=WGS84").lat_deg == 90.0


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("", "no position"),
        ("   ", "no position"),
        ("49.6034", "a latitude and a longitude"),
        ("49,6034", "one number with a decimal comma or two"),
        ("49,6", "one number with a decimal comma or two"),
        ("49,6,8,4", "commas could be"),
        ("49,6034,-8,4012", "commas could be"),
        ("49,6 8", "Only one of the numbers"),
        ("49.6 8,4", "mixed"),
        ("91 0", "latitude comes first"),
        ("174.7 -36.8", "latitude comes first"),
        ("20 180.5", "longitude lies between"),
        ("nan nan", "no part of a position"),
        ("inf 3", "no part of a position"),
        ("1e1 2e1", "one latitude"),
        ("49 60 N 8 10 W", "Minutes must be below 60"),
        ("49 36 60 N 8 10 12 W", "Seconds must be below 60"),
        ("90 30 N 8 10 W", "latitude comes first"),
        ("49 N 8 S", "one latitude"),
        ("49 N 36 N", "one latitude"),
        ("8 W 49 N", "Latitude comes first"),
        ("W 8 N 49", "Latitude comes first"),
        ("49 W 8 N", "Latitude comes first"),
        ("N 49 8 W", "both before or both after"),
        ("49 36 8 24", "which numbers belong together"),
        ("49 36 12 8 24 4", "which numbers belong together"),
        ("49° 36.2′ 8° 24.1′", "Write N or S"),
        ("49 36 N 8.4 W", "different ways"),
        ("N49.6", "both coordinates a letter"),
        ("49.6 N 8.4", "both coordinates a letter"),
        ("S -36.8 E 174.7", "not both"),
        ("49.5 36 N 8 1 W", "whole"),
        ("49 36.5 12 N 8 1 12 W", "whole"),
        ("49-36-12 N 8-24-4 W", "can have a sign"),
        ("49' 36\" N 8' 4\" W", "mixed up"),
        ("49..6 8", "no part of a position"),
        ("49.6. 8", "no part of a position"),
        ("49.6/8.4", "no part of a position"),
        ("49.6,, 8.4", "comma too many"),
        ("49.6 8.4 12", "which numbers belong together"),
        ("٤٩ ٨", "no part of a position"),
        ("lat 49.6 lon 8.4", "no part of a position"),
        ("<b>49</b> 8", "no part of a position"),
        ("9" * 300, "too long"),
        ("geo:49.6", "geo address"),
        ("geo:49,6;-8,4", "geo address"),
        ("geo:49.6,-8.4;crs=nad27", "only WGS 84"),
        ("geo:91,0", "latitude comes first"),
        ("61U 543210 5493210", "zones 1 to 60"),
        ("29O 543210 5493210", "no band"),
        ("29N 543210 5493210", "band of latitude"),
        ("29T 543210 5493210", "band of latitude"),
        ("29U 043210 5493210", "do not lie in"),
        ("29U 543210", "no part of a position"),
    ],
)
def test_what_is_refused_and_why(text: str, reason: str) -> None:
    with pytest.raises(UserError, match=reason) as refusal:
        read_position(text)

    assert "\n" not in str(refusal.value)
    assert str(refusal.value).endswith(".")


@given(st.text(alphabet="0123456789 .,;+-°'\"′″NSEWnsewdmgo:/", max_size=40))
@settings(max_examples=500)
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        position = read_position(text)
    except UserError:
        return
    assert -90.0 <= position.lat_deg <= 90.0
    assert -180.0 <= position.lon_deg <= 180.0


@given(positions)
@example(Position(-1e-9, -1e-9))
@example(Position(89.9999999, 179.9999999))
@example(Position(-89.99999999, -179.99999999))
def test_what_is_written_is_read_back(position: Position) -> None:
    # Half a unit of the last place written, and a degree is at most 111.7 km.
    for written, resolution_m in (
        (decimal_text(position), 0.5e-6 * 111_700),
        (degrees_minutes_text(position), 0.5e-3 / 60 * 111_700),
        (dms_text(position), 0.05 / 3600 * 111_700),
    ):
        assert distance_m(read_position(written), position) <= 1.5 * resolution_m


@given(st.floats(-79.99, 83.99), st.floats(-180.0, 180.0))
@example(55.9999999, 5.9999999)
@example(60.0, 3.0)
@example(78.0, 20.9999)
@example(-1e-7, 0.0)
@example(71.9999999, 10.0)
@example(45.0, 180.0)
def test_what_is_written_in_utm_is_read_back(lat_deg: float, lon_deg: float) -> None:
    position = Position(lat_deg, lon_deg)

    assert distance_m(read_position(utm_text(position)), position) < 0.75


@given(st.floats(0.01, 89.99), st.floats(0.01, 179.99))
def test_a_comma_for_the_point_reads_the_same(lat: float, lon: float) -> None:
    with_point = f"{lat:.5f} {-lon:.5f}"

    assert read_position(with_point.replace(".", ",")) == read_position(with_point)


@given(st.integers(0, 90), st.integers(0, 180))
def test_a_comma_between_two_whole_numbers_alone_is_refused(lat: int, lon: int) -> None:
    with pytest.raises(UserError, match="decimal comma"):
        read_position(f"{lat},{lon}")


def test_how_positions_are_written() -> None:
    position = Position(49.6034, -8.4012)

    assert decimal_text(position) == "49.603400, -8.401200"
    assert degrees_minutes_text(position) == "49° 36.204′ N, 8° 24.072′ W"
    assert dms_text(position) == "49° 36′ 12.2″ N, 8° 24′ 04.3″ W"
    assert utm_text(Position(33.33424, 44.40363)) == "38S 444500 3688501"


def test_rounding_carries_into_the_next_degree() -> None:
    nearly = Position(49.99999999, -8.99999999)

    assert degrees_minutes_text(nearly) == "50° 00.000′ N, 9° 00.000′ W"
    assert dms_text(nearly) == "50° 00′ 00.0″ N, 9° 00′ 00.0″ W"


@pytest.mark.parametrize("lat_deg", [84.1, 90.0, -80.1, -90.0])
def test_utm_ends_before_the_poles(lat_deg: float) -> None:
    with pytest.raises(UserError, match="UTM ends"):
        utm_text(Position(lat_deg, 10.0))
