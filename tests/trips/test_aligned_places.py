"""From where a body stands over the subject on a day, and how far it is to walk."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from uuid import uuid4

import numpy as np
import pytest
from numpy.testing import assert_allclose

from fieldtrip.geo import Position, bearing_deg, destination, distance_m
from fieldtrip.places.records import Ground, VantagePoint
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.positions import sky_position
from fieldtrip.sky.site import Site
from fieldtrip.times import local_day
from fieldtrip.trips.aligned_places import AlignedPlace, WantedSky, aligned_places
from fieldtrip.trips.dossier import Dossier
from tests.trips.condition_story import (
    LEGS,
    LOCATION,
    ROUTE,
    TOWER,
    VANTAGE,
    ZONE,
    a_leg,
)

DAY = date(2027, 3, 20)
SKY = WantedSky(body=Body.SUN, tolerance_deg=0.5, altitude_max_deg=4.0)


def sun_low_over_tower() -> float:
    """The Sun's azimuth that evening, two degrees up."""
    span = local_day(DAY, ZONE)
    best = min(
        (
            sky_position(Body.SUN, Site(TOWER.position), span.start + k * _MINUTE)
            for k in range(15 * 60, 20 * 60)
        ),
        key=lambda at: abs(at.apparent_altitude_deg - 2.0),
    )
    return best.azimuth_deg


_MINUTE = timedelta(minutes=1)
AZIMUTH = sun_low_over_tower()
# From here the tower stands before the low Sun; from the north of it, it does not.
IN_LINE = destination(TOWER.position, AZIMUTH + 180.0, 600.0)
ELSEWHERE = destination(TOWER.position, 10.0, 600.0)


def vantage(name: str, position: Position) -> VantagePoint:
    """A vantage point of the place."""
    return replace(VANTAGE, name=name, position=position, id=uuid4())


def a_path_across() -> Dossier:
    """A straight level path of 400 m, of which the middle lies in line."""
    across = AZIMUTH + 90.0
    path = a_leg(
        1,
        "Path across",
        distance_m=None,
        line=(
            destination(IN_LINE, across, 200.0),
            destination(IN_LINE, across + 180.0, 200.0),
        ),
    )
    return Dossier(
        location=LOCATION,
        vantage_points=(
            vantage("In line", IN_LINE),
            vantage("Elsewhere", ELSEWHERE),
            vantage("Off the path", destination(IN_LINE, AZIMUTH + 180.0, 300.0)),
        ),
        subjects=(TOWER,),
        routes=(ROUTE,),
        legs=(path,),
    )


def named(found: tuple[AlignedPlace, ...]) -> dict[str, AlignedPlace]:
    """The places by name."""
    return {place.name: place for place in found}


def test_vantage_points_and_stretches_are_found_and_the_shortest_walk_comes_first() -> (
    None
):
    found = aligned_places(a_path_across(), TOWER, SKY, DAY)

    assert {place.name for place in found} == {"In line", "Off the path", "Path across"}
    walks = [place.walk for place in found]
    assert None not in walks
    assert walks == sorted(walks, key=lambda w: w or timedelta())
    by_name = named(found)
    # 200 m of path at 4 km/h; 300 m more without one, at 1.67 times the time.
    assert by_name["In line"].walk is not None
    assert by_name["Off the path"].walk is not None
    assert_allclose(by_name["In line"].walk.total_seconds(), 180.0, atol=10.0)
    assert_allclose(
        by_name["Off the path"].walk.total_seconds(), 180.0 + 270.0 * 1.67, atol=15.0
    )
    assert_allclose(by_name["Off the path"].off_way_m, 300.0, atol=1.0)


def test_at_the_best_instant_the_body_stands_over_the_subject() -> None:
    for place in aligned_places(a_path_across(), TOWER, SKY, DAY):
        for window in place.windows:
            at = sky_position(Body.SUN, Site(place.position), window.best)
            off = at.azimuth_deg - bearing_deg(place.position, TOWER.position)
            assert abs(off) <= 0.5 + 1e-3
            assert -0.5 <= at.apparent_altitude_deg <= 4.0
            assert window.start <= window.best <= window.stop


def test_a_stretch_ends_where_a_look_at_every_metre_says() -> None:
    dossier = a_path_across()
    (leg,) = dossier.legs
    place = named(aligned_places(dossier, TOWER, SKY, DAY))["Path across"]
    span = local_day(DAY, ZONE)
    seen = [
        sky_position(Body.SUN, Site(IN_LINE), span.start + k * _MINUTE / 4)
        for k in range(15 * 240, 20 * 240)
    ]
    azimuths = np.array(
        [at.azimuth_deg for at in seen if -0.5 <= at.apparent_altitude_deg <= 4.0]
    )

    towards = bearing_deg(*leg.line)
    works = []
    for metre in range(401):
        position = destination(leg.line[0], towards, float(metre))
        off = azimuths - bearing_deg(position, TOWER.position)
        if np.min(np.abs(off)) <= 0.5:
            works.append(metre)

    assert place.stretch_m is not None
    # Steps are a few metres long.
    assert_allclose(place.stretch_m, (works[0], works[-1]), atol=8.0)
    middle_m = distance_m(leg.line[0], place.position)
    assert_allclose(middle_m, sum(place.stretch_m) / 2.0, atol=5.0)


def test_above_the_top_needs_heights_and_takes_the_place_of_the_lower_altitude() -> (
    None
):
    over = replace(SKY, over_top=True)
    dossier = a_path_across()
    span = local_day(DAY, ZONE)
    lower = replace(TOWER, height_m=6.0)  # its top 1.8 degrees high
    high = replace(TOWER, height_m=60.0)

    found = named(aligned_places(dossier, lower, over, DAY, ground_at=lambda _p: 5.0))

    top_deg = found["In line"].top_deg
    assert top_deg is not None
    assert 1.7 < top_deg < 1.9
    assert aligned_places(dossier, high, over, DAY, ground_at=lambda _p: 5.0) == ()
    assert found["Path across"].top_deg is not None
    for window in found["In line"].windows:
        for instant in (window.start, window.stop):
            at = sky_position(Body.SUN, Site(IN_LINE, 6.0), instant)
            assert at.apparent_altitude_deg >= top_deg - 1e-3
            assert span.contains(instant)


def test_without_a_way_a_vantage_point_comes_last_and_its_walk_is_not_known() -> None:
    dossier = replace(a_path_across(), routes=(), legs=())

    found = aligned_places(dossier, TOWER, SKY, DAY)

    assert {place.name for place in found} == {"In line", "Off the path"}
    assert all(place.walk is None for place in found)


def test_what_is_not_known_of_a_climb_is_said() -> None:
    dossier = a_path_across()
    steep = replace(dossier.legs[0], ascent_m=None, ground=Ground.UNKNOWN)

    found = aligned_places(replace(dossier, legs=(steep,)), TOWER, SKY, DAY)

    assert found
    assert not any(place.is_climb_known for place in found)


@pytest.mark.parametrize("body", [Body.MOON, Body.GALACTIC_CENTRE])
def test_other_bodies_too_over_a_day_of_the_place(body: Body) -> None:
    dossier = replace(a_path_across(), legs=LEGS)
    wide = WantedSky(body=body, tolerance_deg=20.0, altitude_max_deg=60.0)

    found = aligned_places(dossier, TOWER, wide, DAY)

    span = local_day(DAY, ZONE)
    assert found
    for place in found:
        assert all(span.contains(window.best) for window in place.windows)
