"""What is said of a measured line, against surveyors' and the model's figures."""

from __future__ import annotations

from datetime import date

import pytest
from geographiclib.test.test_geodesic import GeodesicTest

from fieldtrip.desktop.content.measuring import (
    area_text,
    compass_text,
    length_text,
    measured_features,
    measured_text,
    north_text,
)
from fieldtrip.geo import Position
from fieldtrip.geomagnetic import Declination, declination
from fieldtrip.settings import LengthUnit, Settings

DAY = date(2026, 11, 14)
METRIC = Settings()
FEET = Settings(length_unit=LengthUnit.FOOT)
# Source: Geoscience Australia's test line, as GeodePy's tests carry it: 54 972.271 m
# at 306 degrees 52 minutes 5.37 seconds.
FLINDERS = Position(-37.95103341666667, 144.42486788888889)
BUNINYONG = Position(-37.65282113888889, 143.92649552777777)


def said(*line: Position, closed: bool = False, aimed: bool = False) -> list[str]:
    text = measured_text(
        line, is_aimed=aimed, is_closed=closed, day=DAY, settings=METRIC
    )
    return text.split("\n")


def test_flinders_peak_to_buninyong() -> None:
    last, total, north = said(FLINDERS, BUNINYONG)

    assert last.startswith("Last piece: 54.97 km, 307° true, ")
    assert total == "Total: 54.97 km in 1 piece"
    assert north.startswith("Magnetic north is ")


@pytest.mark.parametrize("case", GeodesicTest.testcases[:6])
def test_karneys_lines(case: tuple[float, ...]) -> None:
    # Source: C. F. F. Karney's test cases in the geographiclib wheel.
    lat1, lon1, azimuth, lat2, lon2, _, metres, *_ = case
    a, b = Position(lat1, lon1), Position(lat2, (lon2 + 180.0) % 360.0 - 180.0)

    last, total, _ = said(a, b)

    assert f"{metres / 1000.0:.2f} km" in last
    assert f"{round(azimuth) % 360}° true" in last
    assert f"{metres / 1000.0:.2f} km" in total


def test_pieces_add_up_and_the_pointer_is_said_to_be_one() -> None:
    a, b, c = (Position(49.6 + 0.001 * i, -8.4) for i in range(3))

    last, total, _ = said(a, b, c, aimed=True)

    # A thousandth of a degree of the meridian at 49.6 N: 111.2 m.  Source: WGS 84.
    assert last.startswith("To the pointer: 111 m, 0° true")
    assert total == "Total: 222 m in 2 pieces"


def test_a_closed_ring_has_an_area() -> None:
    # Source: GeographicLib's own example, Antarctica: 13 662 703 680 020.1 square
    # metres, 16 831 067.893 m round.
    ring = (
        (-63.1, -58.0), (-72.9, -74.0), (-71.9, -102.0), (-74.9, -102.0),
        (-74.3, -131.0), (-77.5, -163.0), (-77.4, 163.0), (-71.7, 172.0),
        (-65.9, 140.0), (-65.7, 113.0), (-66.6, 88.0), (-66.9, 59.0),
        (-69.8, 25.0), (-70.0, -4.0), (-71.0, -14.0), (-77.3, -33.0),
        (-77.9, -46.0), (-74.7, -61.0),
    )  # fmt: skip

    _, around, area, _ = said(*(Position(*place) for place in ring), closed=True)

    assert around == "All round: 16831.07 km in 18 pieces"
    assert area.replace("\u2009", "") == "Area: 13662703.68 km²"


def test_before_there_is_a_line_it_says_what_to_do() -> None:
    assert said() == ["Click where to measure from."]
    assert said(FLINDERS, aimed=True) == ["Click where to measure from."]
    assert said(FLINDERS) == ["Click where to measure to."]


@pytest.mark.parametrize(
    ("metres", "settings", "text"),
    [
        (12.34, METRIC, "12.3 m"),
        (312.4, METRIC, "312 m"),
        (999.6, METRIC, "1.00 km"),
        (1237.0, METRIC, "1.24 km"),
        (30.48, FEET, "100 ft"),  # exact: 0.3048 m
        (1609.344, FEET, "1.00 mi"),  # exact: 5280 ft
    ],
)
def test_lengths_in_the_users_unit(
    metres: float, settings: Settings, text: str
) -> None:
    assert length_text(metres, settings) == text


@pytest.mark.parametrize(
    ("square_metres", "settings", "text"),
    [
        (840.0, METRIC, "840 m²"),
        (32_000.0, METRIC, "3.20 ha"),  # exact: 10 000 m²
        (1_500_000.0, METRIC, "1.50 km²"),
        (92.90304, FEET, "1000 sq ft"),  # exact, from 0.3048 m
        (4046.8564224, FEET, "1.00 acres"),  # exact: 43 560 square feet
        (2_589_988.110336, FEET, "1.00 sq mi"),  # exact: 640 acres
    ],
)
def test_areas_in_the_users_unit(
    square_metres: float, settings: Settings, text: str
) -> None:
    assert area_text(square_metres, settings) == text


def test_a_bearing_by_compass_is_told_with_its_model_and_its_years() -> None:
    here = Declination(east_deg=-10.4, error_deg=0.4, horizontal_nt=20_000.0)

    assert compass_text(100.0, here) == "100° true, 110° magnetic"
    assert north_text(here, DAY) == (
        "Magnetic north is 10.4° west of true north here on Sat 14 Nov 2026 (World "
        "Magnetic Model 2025, for 2025 to 2029; good to about 0.4°, less near iron)."
    )


def test_outside_its_years_the_magnetic_bearing_is_not_known() -> None:
    late = date(2031, 1, 1)
    here = declination(FLINDERS, late)

    assert compass_text(100.0, here) == "100° true, magnetic not known"
    assert "not known for Wed 1 Jan 2031" in north_text(here, late)


def test_where_a_compass_is_of_no_use_none_is_given() -> None:
    here = Declination(east_deg=90.0, error_deg=5.0, horizontal_nt=1_000.0)

    assert compass_text(10.0, here) == "10° true, a compass is of no use here"


def test_each_piece_carries_its_length_even_across_the_date_line() -> None:
    a, b = Position(-17.0, 179.999), Position(-17.0, -179.999)

    found = measured_features((a, b), is_closed=False, settings=METRIC)

    (piece,) = found["features"]
    assert piece["geometry"]["coordinates"][1][0] == pytest.approx(180.001)
    assert piece["properties"]["label"] == "213 m"  # 0.002° of the parallel of 17 S
