"""Bearings read back from the page, against the engine that worked them out."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime

import pytest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.content.map_features import moon_features, sun_features
from fieldtrip.desktop.map.map_view import MapView
from fieldtrip.geo import Position, bearing_deg, distance_m
from fieldtrip.places.records import Location, Subject
from fieldtrip.settings import Settings
from fieldtrip.sky.bodies import Body
from fieldtrip.sky.events import EventName, day_events
from fieldtrip.sky.light import shadow
from fieldtrip.sky.positions import sky_position
from fieldtrip.sky.site import Site
from tests.desktop.map.features import Ask, Words

pytestmark = pytest.mark.web

PLACES = [
    # position, zone, zoom
    (Position(37.8069, -122.4650), "America/Los_Angeles", 15.0),
    (Position(-36.8, 174.8), "Pacific/Auckland", 13.0),
    (Position(0.0, 6.6), "Africa/Sao_Tome", 17.0),
    (Position(68.2, 13.9), "Europe/Oslo", 12.0),
    (Position(-17.0, 179.9999), "Pacific/Fiji", 14.0),  # rays cross the date line
]
DAY = date(2026, 9, 23)
SETTINGS = Settings()


@pytest.mark.parametrize(("position", "zone", "zoom"), PLACES)
@pytest.mark.parametrize("hour", [3, 9, 15, 21])
def test_rays_read_back_equal_the_engine(
    qtbot: QtBot,
    view: MapView,
    ask: Ask,
    position: Position,
    zone: str,
    zoom: float,
    hour: int,
) -> None:
    site = Site(position)
    instant = datetime(2026, 9, 23, hour, 17, tzinfo=UTC)
    events = day_events(site, DAY, zone)
    sun = sky_position(Body.SUN, site, instant)
    moon = sky_position(Body.MOON, site, instant)
    view.look_at(position, zoom)
    view.show_layer(
        "moon",
        moon_features(
            position, events=events, instant=instant, moon=moon, zone=zone,
            settings=SETTINGS,
        ),
    )  # fmt: skip
    with qtbot.waitSignal(view.painted, check_params_cb=lambda name: name == "sun"):
        view.show_layer(
            "sun",
            sun_features(
                position, events=events, instant=instant, sun=sun, zone=zone,
                settings=SETTINGS,
            ),
        )  # fmt: skip

    rays = json.loads(ask("fieldtripRays()"))

    expected = {("sun", "taper"): [sun.azimuth_deg]}
    expected["moon", "taper-dots"] = [moon.azimuth_deg]
    for layer, stroke, name in (
        ("sun", "solid", EventName.SUNRISE),
        ("sun", "dash", EventName.SUNSET),
        ("moon", "dots", EventName.MOONRISE),
        ("moon", "dots-wide", EventName.MOONSET),
    ):
        found = [event.azimuth_deg for event in events.all_of(name)]
        if found:
            expected[layer, stroke] = found
    shown: dict[tuple[str, str], list[float]] = {}
    for ray in rays:
        start, end = (wrapped(*ray[side]) for side in ("start", "end"))
        assert distance_m(start, position) < 0.01
        assert distance_m(start, end) > 20.0
        # Issue's own tolerance: a hundredth of a degree.
        assert turn(bearing_deg(start, end), ray["azimuth_deg"]) < 0.01
        shown.setdefault((ray["layer"], ray["stroke"]), []).append(ray["azimuth_deg"])
    assert shown == expected


def test_every_ray_carries_its_words_inside_the_view(
    qtbot: QtBot, view: MapView, ask: Ask, words: Words
) -> None:
    position, zone, _ = PLACES[0]
    site, instant = Site(position), datetime(2026, 9, 23, 22, 0, tzinfo=UTC)
    events = day_events(site, DAY, zone)
    sun = sky_position(Body.SUN, site, instant)
    features = sun_features(
        position, events=events, instant=instant, sun=sun, zone=zone, settings=SETTINGS
    )
    view.show_layer("sun", features)
    for zoom in (11.0, 13.0, 15.0, 17.0):
        view.look_at(position, zoom)
        wait_for_zoom(qtbot, ask, zoom)

        labels = [ray["label"] for ray in json.loads(ask("fieldtripRays()"))]
        assert sorted(words()) == sorted(labels)
        inside = ask(
            "[...document.querySelectorAll('.words:not(.unseen)')].every(e => {"
            " const r = e.getBoundingClientRect();"
            " return r.left >= 0 && r.top >= 0 && r.right <= 800 && r.bottom <= 600 })"
        )
        assert inside
        assert len(labels) == 3


def test_rays_stay_in_sight_while_the_vantage_point_is_not_in_the_middle(
    qtbot: QtBot, view: MapView, ask: Ask, words: Words
) -> None:
    position, zone, _ = PLACES[0]
    site, instant = Site(position), datetime(2026, 9, 23, 22, 0, tzinfo=UTC)
    events = day_events(site, DAY, zone)
    sun = sky_position(Body.SUN, site, instant)
    view.show_layer(
        "sun",
        sun_features(
            position, events=events, instant=instant, sun=sun, zone=zone,
            settings=SETTINGS,
        ),
    )  # fmt: skip

    # The vantage point near the lower left corner.
    view.look_at(Position(37.8169, -122.4520), 15.0)

    qtbot.waitUntil(lambda: any("Sunrise" in text for text in words()))


def test_the_shadow_is_as_long_on_the_map_as_it_says(
    qtbot: QtBot, view: MapView, ask: Ask
) -> None:
    position, zone, _ = PLACES[0]
    location = Location(name="Bay", position=position, zone=zone)
    tower = Subject(
        location_id=location.id, name="Tower", position=position, height_m=19.0
    )
    site, instant = Site(position), datetime(2026, 9, 23, 22, 0, tzinfo=UTC)
    sun = sky_position(Body.SUN, site, instant)
    features = sun_features(
        position, events=day_events(site, DAY, zone), instant=instant, sun=sun,
        zone=zone, settings=SETTINGS, subject=tower,
    )  # fmt: skip
    with qtbot.waitSignal(view.painted):
        view.show_layer("sun", features)
    view.look_at(position, 18.0)
    wait_for_zoom(qtbot, ask, 18.0)

    drawn = [r for r in json.loads(ask("fieldtripRays()")) if r["kind"] == "shadow"]

    cast = shadow(sun, 19.0)
    assert cast is not None
    assert cast.length_m is not None
    (mark,) = drawn
    start, end = wrapped(*mark["start"]), wrapped(*mark["end"])
    assert distance_m(start, end) == pytest.approx(cast.length_m, rel=1e-3)
    assert turn(bearing_deg(start, end), cast.bearing_deg) < 0.01
    assert mark["label"].startswith("shadow ")


def wait_for_zoom(qtbot: QtBot, ask: Ask, zoom: float) -> None:
    qtbot.waitUntil(lambda: ask("fieldtripMap.getZoom()") == zoom)


def turn(a_deg: float, b_deg: float) -> float:
    """How far apart two bearings are."""
    return abs((a_deg - b_deg + 180.0) % 360.0 - 180.0)


def wrapped(lat_deg: float, lon_deg: float) -> Position:
    """A position of the page, whose longitudes go on past the date line."""
    return Position(lat_deg, (lon_deg + 180.0) % 360.0 - 180.0)
